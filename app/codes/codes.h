// A site on its way to another device's camera: the sealed bytes as a row of codes, ten a second while they
// are looked at.
#pragma once

#include <optional>
#include <string>

#include "engine/bundle/frames.h"
#include "engine/bundle/hand_over.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

struct CodesOnScreen {
    std::string site_id, site_name;
    std::string device;                              // this device's digits, to be compared
    std::size_t bytes = 0;
    std::optional<bundle::FrameSource> frames{};
    Instant began;
    std::uint16_t number = 0;                        // of the frame that is shown
};

/// The frame whose turn it is; after a clock that went back, the first.
[[nodiscard]] std::uint16_t frame_at(const CodesOnScreen& codes, Instant now);
/// Seconds until a steady camera that loses about a third has it all.
[[nodiscard]] int seconds_needed(const CodesOnScreen& codes);

} // namespace beckhand
