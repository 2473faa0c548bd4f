// A figure measured with what the hand has: which way, what was struck and typed so far, and what comes of it.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/measuring/ear.h"
#include "engine/measuring/taps.h"
#include "engine/quantity/text.h"

namespace beckhand {

enum class Way { tapped, by_ear, bucket, hose, staff, gauge, notch, floated };

/// What the microphone is doing, while the screen listens.
struct HearingOnScreen {
    bool open = false;                 // sound has come
    double seconds = 0, level = 0;
    HeardBeat heard;
    std::string trouble;               // why there is no sound
};

struct MeasuringOnScreen {
    std::string wanted;                // measurement of the pack, or key of a site's field
    std::optional<Way> way;            // none: still to be chosen
    std::vector<double> struck;        // s: taps; for the bucket start, stop, start, stop ...
    std::map<std::string, double> typed;   // by slot, SI
    int option = 0;                    // notch: 90, 60, 45 degrees; float: stones, mud
    HearingOnScreen hearing;
    std::string trouble;               // why the figure was not taken
};

/// The ways to measure this figure, the best first; none: only the keypad.
[[nodiscard]] std::vector<Way> ways_to(std::string_view wanted);

[[nodiscard]] std::string_view name_of(Way way);
/// What is needed, one line.
[[nodiscard]] std::string_view needs_of(Way way);
/// Short steps, in order.
[[nodiscard]] std::vector<std::string_view> steps_of(Way way);
/// What to choose between, if anything.
[[nodiscard]] std::vector<std::string_view> options_of(Way way);

/// A figure that the way needs typed.
struct Slot {
    std::string key, title;
    Figure kind = Figure::length;
    double least_si = 0, most_si = 0;
    bool must = true;
};
/// All of them now: a way of many steps has one more than is filled.
[[nodiscard]] std::vector<Slot> slots_of(const MeasuringOnScreen& now);

/// What it comes to.
struct MeasuredFigure {
    std::optional<double> value_si;    // once there is enough
    double error_si = 0;               // one standard deviation
    bool ready = false;                // good enough to be used
    std::vector<std::string> good, mind;   // said beside it, in sentences
};
[[nodiscard]] MeasuredFigure figure_of(const MeasuringOnScreen& now, Units units);
/// The same of taps whose beat is already known.
[[nodiscard]] MeasuredFigure figure_of(const TappedBeat& beat);

/// Of the bucket: how long each fill took, s.
[[nodiscard]] std::vector<double> fills_of(const MeasuringOnScreen& now);

/// "About what was expected, 40 to 60 L/min." or by how much it is not; empty where nothing is expected.
[[nodiscard]] std::string plausible_words(Figure kind, double value_si, double error_si, double least_si, double most_si,
                                          Units units);

} // namespace beckhand
