// `beckhand hear`: the beat in a recording, or why it cannot be told.
#include <algorithm>
#include <iostream>

#include "engine/quantity/text.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/microphone.h"

namespace beckhand {
namespace {

std::string why_not(Unheard why) {
    switch (why) {
        case Unheard::none: return "";
        case Unheard::too_short: return "It is too short: " + how_long_to_hear() + ".";
        case Unheard::silent: return "It is silent.";
        case Unheard::no_beat: return "No beat can be told from the other sounds.";
        case Unheard::two_rates: return "It knocks, but whether each knock is a beat or every other cannot be told.";
        case Unheard::out_of_range: return "What repeats there is no beat between 20 and 180 a minute.";
    }
    return "";
}

} // namespace

std::string how_long_to_hear() {
    const auto number = [](double value) { return fixed_text(value, 0); };
    return number(least_seconds_heard) + " s at least; " + number(seconds_to_hear) + " s are safe, " + number(most_seconds_heard) +
           " s below " + number(slow_below) + " beats a minute";
}

int command_hear(const std::string& file) {
    const Result<Recording> recording = read_recording(file);
    if (!recording) return complain(recording.error(), 2);
    Ear ear(recording->samples_per_second);
    const auto most = static_cast<std::size_t>(most_seconds_heard * recording->samples_per_second);
    ear.hear(std::span<const float>(recording->samples).first(std::min(most, recording->samples.size())));
    const HeardBeat heard = ear.beat();
    if (heard.why != Unheard::none) {
        std::cout << "Not told. " << why_not(heard.why) << "\n";
        return 1;
    }
    std::cout << format_beat(heard.rate.value) << ", give or take " << significant_text(2 * heard.rate.error.in(beats_per_minute), 2)
              << " (" << significant_text(ear.seconds(), 2) << " s heard)\n";
    return 0;
}

} // namespace beckhand
