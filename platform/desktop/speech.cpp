#include "platform/desktop/speech.h"

#include <chrono>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <span>
#include <thread>

#include <SDL.h>
#include <flite/flite.h>

extern "C" cst_voice* register_cmu_us_slt(const char* voice_folder);

namespace beckhand {
namespace {

constexpr float slowed = 1.45f;              // of the voice's own pace, which is quicker than 150 words a minute
constexpr int voice_rate = 16000;             // samples a second
constexpr int pause_ms = 400;                // between sentences
constexpr auto look_again = std::chrono::milliseconds(50);

cst_voice* voice() {
    static cst_voice* const one = [] {
        flite_init();
        cst_voice* const made = register_cmu_us_slt(nullptr);
        feat_set_float(made->features, "duration_stretch", slowed);
        return made;
    }();
    return one;
}

} // namespace

Sound sound_of(const std::string& sentence) {
    static std::mutex one_at_a_time; // the synthesiser keeps state of its own
    const std::lock_guard lock(one_at_a_time);
    const std::unique_ptr<cst_wave, void (*)(cst_wave*)> wave(flite_text_to_wave(sentence.c_str(), voice()), delete_wave);
    if (!wave) return {};
    const std::span<const short> samples(wave->samples, static_cast<std::size_t>(wave->num_samples));
    return {wave->sample_rate, {samples.begin(), samples.end()}};
}

struct Speech::Inside {
    std::mutex lock;
    std::condition_variable_any woken;
    std::deque<std::string> sentences;
    unsigned said_anew = 0;            // what was begun before the last change is not heard
    SDL_AudioDeviceID device = 0;
    bool has_sound = false;
    std::jthread worker;               // last: it ends before the rest goes

    void work(const std::stop_token& stop);
    void close() {
        if (device != 0) SDL_CloseAudioDevice(device);
        device = 0;
    }
};

void Speech::Inside::work(const std::stop_token& stop) {
    std::unique_lock held(lock);
    while (!stop.stop_requested()) {
        if (sentences.empty()) {
            const bool sounding = device != 0 && SDL_GetQueuedAudioSize(device) > 0;
            if (device != 0 && !sounding) close();
            const auto more = [&] { return !sentences.empty(); };
            if (sounding) woken.wait_for(held, stop, look_again, more);
            else woken.wait(held, stop, more);
            continue;
        }
        const std::string sentence = std::move(sentences.front());
        sentences.pop_front();
        const unsigned mine = said_anew;
        held.unlock();
        Sound sound = sound_of(sentence);
        sound.samples.resize(sound.samples.size() + static_cast<std::size_t>(sound.rate * pause_ms / 1000));
        held.lock();
        if (mine == said_anew && device != 0) {
            SDL_QueueAudio(device, sound.samples.data(), static_cast<Uint32>(sound.samples.size() * sizeof(std::int16_t)));
        }
    }
    close();
}

Speech::Speech() : inside_(std::make_unique<Inside>()) {}

Speech::~Speech() {
    if (inside_->worker.joinable()) {
        inside_->worker.request_stop();
        inside_->worker.join();
    }
    if (inside_->has_sound) SDL_QuitSubSystem(SDL_INIT_AUDIO);
}

Outcome Speech::say(std::vector<std::string> sentences) {
    const auto trouble = [](const char* what) {
        return Problem{"sound", std::string(what) + ": " + SDL_GetError() + ".",
                       "Read the screen instead; the choice to read aloud is off now."};
    };
    Inside& in = *inside_;
    const std::lock_guard held(in.lock);
    if (in.device == 0) {
        // Its own share of SDL's sound, for as long as it lives: the microphone gives its share back.
        in.has_sound = in.has_sound || SDL_InitSubSystem(SDL_INIT_AUDIO) == 0;
        if (!in.has_sound) return trouble("This device has no sound");
        SDL_AudioSpec wanted{};
        wanted.freq = voice_rate;
        wanted.format = AUDIO_S16SYS;
        wanted.channels = 1;
        wanted.samples = 2048;
        in.device = SDL_OpenAudioDevice(nullptr, 0, &wanted, nullptr, 0);
        if (in.device == 0) return trouble("The loudspeaker cannot be used");
        SDL_PauseAudioDevice(in.device, 0);
    }
    ++in.said_anew;
    SDL_ClearQueuedAudio(in.device);
    in.sentences.assign(sentences.begin(), sentences.end());
    if (!in.worker.joinable()) in.worker = std::jthread([&in](const std::stop_token& stop) { in.work(stop); });
    in.woken.notify_one();
    return Done{};
}

void Speech::hush() {
    Inside& in = *inside_;
    const std::lock_guard held(in.lock);
    ++in.said_anew;
    in.sentences.clear();
    if (in.device != 0) SDL_ClearQueuedAudio(in.device);
}

} // namespace beckhand
