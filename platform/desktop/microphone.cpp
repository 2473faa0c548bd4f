#include "platform/desktop/microphone.h"

#include <array>
#include <filesystem>
#include <memory>
#include <utility>

#include <SDL.h>

#include "platform/desktop/logging.h"

namespace beckhand {

namespace {

constexpr int wanted_rate = 44100;
constexpr const char* no_microphone = "There is no microphone here that can be used. Tap the beat instead.";

constexpr const char* record_anew = "Record 30 seconds or more beside the pump and save it as WAV.";

} // namespace

Microphone::~Microphone() { close(); }

void Microphone::close() {
    if (device_ == 0) return;
    SDL_CloseAudioDevice(device_);
    SDL_QuitSubSystem(SDL_INIT_AUDIO);
    device_ = 0;
    log_line("microphone closed");
}

bool Microphone::follow(App& app) {
    if (!app.wants_sound()) {
        close();
        refused_ = false;
        return false;
    }
    if (refused_) return false;
    if (device_ == 0) {
        SDL_AudioSpec wanted{}, given{};
        wanted.freq = wanted_rate;
        wanted.format = AUDIO_F32SYS;
        wanted.channels = 1;
        wanted.samples = 1024;
        const bool ready = SDL_InitSubSystem(SDL_INIT_AUDIO) == 0;
        device_ = ready ? SDL_OpenAudioDevice(nullptr, 1, &wanted, &given, SDL_AUDIO_ALLOW_FREQUENCY_CHANGE) : 0;
        if (device_ == 0) {
            log_line(std::string("no microphone: ") + SDL_GetError());
            if (ready) SDL_QuitSubSystem(SDL_INIT_AUDIO);
            refused_ = true;
            app.cannot_hear(no_microphone);
            return true;
        }
        rate_ = given.freq;
        SDL_PauseAudioDevice(device_, 0);
        log_line("microphone opened");
    }
    if (SDL_GetAudioDeviceStatus(device_) == SDL_AUDIO_STOPPED) { // unplugged
        close();
        refused_ = true;
        app.cannot_hear(no_microphone);
        return true;
    }
    std::array<float, 4096> piece{};
    bool heard = false;
    for (Uint32 bytes = 0; (bytes = SDL_DequeueAudio(device_, piece.data(), sizeof piece)) > 0; heard = true) {
        app.hear(std::span<const float>(piece.data(), bytes / sizeof(float)), rate_);
    }
    return heard;
}

Result<Recording> read_recording(const std::string& file) {
    SDL_AudioSpec spec{};
    Uint8* bytes = nullptr;
    Uint32 length = 0;
    std::error_code unknown;
    if (!std::filesystem::exists(file, unknown)) {
        return Problem{file, "There is no such file.", "Check its name and folder. " + std::string(record_anew)};
    }
    // SDL's words are for programmers: they go to the program's own log.
    if (SDL_LoadWAV(file.c_str(), &spec, &bytes, &length) == nullptr || length == 0) {
        log_line(std::string("no recording: ") + (length == 0 && bytes != nullptr ? "no samples" : SDL_GetError()));
        if (bytes != nullptr) SDL_FreeWAV(bytes);
        return Problem{file, "It holds no sound that can be read as WAV.", record_anew};
    }
    const std::unique_ptr<Uint8, decltype(&SDL_FreeWAV)> held(bytes, SDL_FreeWAV);
    SDL_AudioCVT change{};
    if (SDL_BuildAudioCVT(&change, spec.format, spec.channels, spec.freq, AUDIO_F32SYS, 1, spec.freq) < 0 || spec.freq < 8000) {
        return Problem{file, "Its kind of sound is not known here.", "Save it with 8000 samples a second or more."};
    }
    std::vector<float> room((static_cast<std::size_t>(length) * static_cast<std::size_t>(change.len_mult) + 3) / sizeof(float));
    change.buf = reinterpret_cast<Uint8*>(room.data());
    change.len = static_cast<int>(length);
    change.len_cvt = static_cast<int>(length);
    SDL_memcpy(change.buf, bytes, length);
    if (change.needed != 0 && SDL_ConvertAudio(&change) != 0) {
        log_line(std::string("no recording: ") + SDL_GetError());
        return Problem{file, "Its sound cannot be used.", record_anew};
    }
    room.resize(static_cast<std::size_t>(change.len_cvt) / sizeof(float));
    return Recording{std::move(room), static_cast<double>(spec.freq)};
}

} // namespace beckhand
