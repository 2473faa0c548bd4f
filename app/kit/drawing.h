// What the two drawings share: a pencil that knows the millimetre, fades what is not asked about, and marks
// what is. Only the kit includes this.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include <imgui.h>

#include "app/kit/kit.h"
#include "app/kit/labels.h"
#include "app/kit/shapes.h"

namespace beckhand::kit {

struct Pencil {
    Kit& kit;
    ImDrawList& ink;
    const Palette& palette;
    const Metrics& m;
    Box frame;
    std::string_view lit;     // part id, or empty
    std::vector<Box> taken{}; // where no words may stand
    std::vector<Box> words{}; // the words that stand already

    [[nodiscard]] float mm(float millimetres) const { return m.mm(millimetres); }
    [[nodiscard]] bool is_lit(std::string_view part) const { return !lit.empty() && lit == part; }
    /// Faded to 40 % when another part is asked about.
    [[nodiscard]] Colour shade(Colour colour, std::string_view part) const {
        return lit.empty() || is_lit(part) ? colour : mix(colour, palette.paper, 0.45f);
    }
};

/// Pipe with water inside, joints filled.
void pencil_pipe(const Pencil& p, std::span<const ImVec2> points, float bore, Colour wall, Colour water);
/// Ring around a box: a broad yellow stroke under a firm dark one, as with a marker pen.
void pencil_ring(Pencil& p, ImVec2 centre, float rx, float ry);
/// The same around a line, drawn before the line itself.
void pencil_halo(const Pencil& p, std::span<const ImVec2> points, float width);
/// The name of the lit part on a yellow tag, with a leader to a ring of these half axes around the centre.
void pencil_tag(Pencil& p, std::string_view name, Spot centre, float rx, float ry, Spot prefer);
[[nodiscard]] float tag_height(const Pencil& p);
/// The same tag at a place of the caller's.
void pencil_tag_at(Pencil& p, std::string_view name, const Box& box);
[[nodiscard]] float tag_width(const Pencil& p, std::string_view name);
/// A quiet label with a leader line where it stands away from its anchor; left out where there is no free
/// ground for it, so that it never runs across the drawing.
void pencil_label(Pencil& p, std::string_view text, Spot anchor, Spot prefer);
/// Short slanted strokes below a line: ground.
void pencil_hatch(const Pencil& p, std::span<const ImVec2> points, Colour colour);
void pencil_arrow(const Pencil& p, ImVec2 from, ImVec2 to, Colour colour, float stroke);

} // namespace beckhand::kit
