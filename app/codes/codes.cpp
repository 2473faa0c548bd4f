#include "app/codes/codes.h"

#include <cmath>

#include "engine/bundle/qr.h"

namespace beckhand {

std::uint16_t frame_at(const CodesOnScreen& codes, Instant now) {
    const std::int64_t passed = now.ms - codes.began.ms;
    return passed < 0 ? std::uint16_t{0} : static_cast<std::uint16_t>(passed * bundle::frames_a_second / 1'000);
}

int seconds_needed(const CodesOnScreen& codes) {
    constexpr double arriving = 0.7; // of the frames: the loss that tests/engine/bundle_codes_test.cpp measures with
    const double parts = codes.frames ? static_cast<double>(codes.frames->parts()) : 0.0;
    return static_cast<int>(std::ceil(parts / arriving / bundle::frames_a_second));
}

} // namespace beckhand
