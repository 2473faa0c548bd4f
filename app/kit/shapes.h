// The few signs the screens use, drawn from strokes and plain shapes: tone signs, the warning triangle, a
// tick, plus and minus, dashed lines. Only the kit and the drawings include this.
#pragma once

#include <span>

#include <imgui.h>

#include "app/kit/kit.h"

namespace beckhand::kit {

[[nodiscard]] inline ImU32 paint(Colour c) {
    return IM_COL32(c.r, c.g, c.b, c.a);
}
/// From a (share 0) to b (share 1).
[[nodiscard]] Colour mix(Colour a, Colour b, float share);
/// Whichever of the two reads better on the ground.
[[nodiscard]] Colour readable_on(Colour ground, Colour a, Colour b);

[[nodiscard]] Colour fill_of(const Palette& palette, Tone tone);
[[nodiscard]] Colour text_of(const Palette& palette, Tone tone);

/// The shape of a tone in a square of this size around the centre: disc good, bar watch, triangle stop,
/// dashed ring unknown, drop water; plain has none.
void tone_sign(ImDrawList& ink, const Palette& palette, Tone tone, ImVec2 centre, float size);

/// The general warning sign of ISO 7010 (W001): black on yellow, point upwards, with the exclamation mark.
void warning_sign(ImDrawList& ink, const Palette& palette, ImVec2 centre, float size);

/// The general mandatory sign of ISO 7010 (M001): a blue disc with a white exclamation mark. For ordinary
/// cautions, which say what to do; the triangle is kept for what stops the job.
void mandatory_sign(ImDrawList& ink, const Palette& palette, ImVec2 centre, float size);

void tick_mark(ImDrawList& ink, Colour colour, ImVec2 centre, float size, float stroke);
void plus_or_minus(ImDrawList& ink, Colour colour, ImVec2 centre, float size, float stroke, bool plus);
void dashed(ImDrawList& ink, Colour colour, ImVec2 from, ImVec2 to, float stroke, float dash);
/// A line with round ends and joints.
void round_line(ImDrawList& ink, Colour colour, std::span<const ImVec2> points, float stroke);

} // namespace beckhand::kit
