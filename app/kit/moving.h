// What moves in the drawings of the installation: the moment of the beat, water that runs in a pipe, the pressure that
// runs up it. Only the kit includes this.
#pragma once

#include <optional>
#include <string>

#include "app/kit/drawing.h"
#include "engine/pump/one_beat.h"

namespace beckhand::kit {

/// The pump at rest, its waste valve hanging open.
inline constexpr BeatMoment at_rest{.valve = 1.0, .vessel = 0.5};

struct Motion {
    bool moves = false;
    BeatMoment now = at_rest;
    double share = 0;        // of the beat, since the valve shut
    double fastest = 1;      // m/s in the drive pipe, in this beat
    double run = 0;          // metres that the water in the drive pipe has run since the drawing began to move
    double pulses = 0;       // beats since then
    int slower = 1;          // times slower than the pump
};

/// So many times slower is a beat drawn that it takes about four seconds.
[[nodiscard]] int times_slower(const OneBeat& beat);
/// At this many seconds of the drawing.
[[nodiscard]] Motion motion_at(const OneBeat& beat, double seconds);
/// Of this frame: still where there is no beat or nothing may move now.
[[nodiscard]] Motion motion_of(Kit& kit, const OneBeat* beat);
/// "4 times slower"; while still "tap: it moves", where it can. Empty where it cannot.
[[nodiscard]] std::string motion_words(const Kit& kit, const OneBeat* beat, const Motion& motion);

/// Short gaps in the water of a pipe, shifted by so many pixels along it.
void pencil_flow(const Pencil& p, std::span<const ImVec2> points, float bore, float shift, Colour colour);
/// Where the gaps in the drive pipe stand: they run with the speed of the water, fastest at 14 mm/s.
[[nodiscard]] float drive_shift(const Pencil& p, const Motion& motion);
/// The pressure that runs from the shut valve up the pipe: a band across it. `points` from the header down.
void pencil_pulse(const Pencil& p, std::span<const ImVec2> points, float bore, const Motion& motion);

} // namespace beckhand::kit
