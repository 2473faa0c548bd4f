// What the small drawings are made with: strokes and plain shapes on a grid of 100 by 80, in the roles of the
// palette. No stroke is thinner than half a millimetre of glass, however small the drawing.
#pragma once

#include <initializer_list>
#include <span>
#include <string_view>
#include <vector>

#include <imgui.h>

#include "app/kit/kit.h"

namespace beckhand::drawings {

inline constexpr float grid_w = 100, grid_h = 80;
/// One turn of a small drawing; courses are given in steps of it.
inline constexpr int steps_a_turn = 24;
inline constexpr float seconds_a_step = 0.25f, seconds_a_turn = steps_a_turn * seconds_a_step;

/// The level, 0 to 1, of a course at a moment: a digit a step, 0 to 9, again from its start when it is over. It
/// stays for most of a step and then goes to the next one. An empty course is full.
[[nodiscard]] float level_at(std::string_view course, float seconds);

using Points = std::span<const ImVec2>;

struct Brush {
    ImDrawList& ink;
    const kit::Palette& palette;
    float x, y, unit;      // where the grid begins, and pixels for each step of it
    float least_stroke;    // pixels of half a millimetre
    float seconds;         // into the turn; of the still form the moment that tells most
    bool moving;

    /// The same brush on a part of the grid.
    [[nodiscard]] Brush at_part(float px, float py, float size) const {
        return {ink, palette, x + px * unit, y + py * unit, unit * size, least_stroke, seconds, moving};
    }
    [[nodiscard]] ImVec2 at(float gx, float gy) const { return {x + gx * unit, y + gy * unit}; }
    [[nodiscard]] float wide(float units) const {
        const float pixels = units * unit;
        return pixels > least_stroke ? pixels : least_stroke;
    }

    // roles of colour
    [[nodiscard]] kit::Colour metal() const { return palette.ink; }
    [[nodiscard]] kit::Colour quiet() const { return palette.quiet; }
    [[nodiscard]] kit::Colour hollow() const { return palette.paper; }
    [[nodiscard]] kit::Colour water() const { return palette.water; }
    [[nodiscard]] kit::Colour pale() const; // still water behind other things
    [[nodiscard]] kit::Colour earth() const { return palette.earth; }

    // shapes; widths in units of the grid
    void line(std::initializer_list<ImVec2> points, kit::Colour colour, float width = 3) const;
    void line(Points points, kit::Colour colour, float width = 3) const;
    void box(float x0, float y0, float x1, float y1, kit::Colour colour, float round = 0) const;
    void frame(float x0, float y0, float x1, float y1, kit::Colour colour, float width = 3, float round = 0) const;
    /// Convex, clockwise as seen.
    void shape(std::initializer_list<ImVec2> points, kit::Colour colour) const;
    void disc(float cx, float cy, float r, kit::Colour colour) const;
    void ring(float cx, float cy, float r, kit::Colour colour, float width = 3) const;
    /// Degrees, clockwise from three o'clock.
    void arc(float cx, float cy, float r, float from, float to, kit::Colour colour, float width = 3) const;
    void dashes(ImVec2 from, ImVec2 to, kit::Colour colour, float width = 3, float dash = 5) const;
    void arrow(ImVec2 from, ImVec2 to, kit::Colour colour, float width = 3.2f) const;
    void cross(float cx, float cy, float r, kit::Colour colour) const;

    // water and metal
    /// A pipe along these points: walls and what is in it.
    void pipe(std::initializer_list<ImVec2> points, float bore, kit::Colour inside) const;
    /// Falling or thrown water along a bow from `from` over `top` to `to`; `strength` 0 to 1 is its width. Gaps run
    /// along it while it moves.
    void stream(ImVec2 from, ImVec2 top, ImVec2 to, float strength, float width = 6) const;
    /// Straight water, as a jet or in a pipe.
    void jet(ImVec2 from, ImVec2 to, float strength, float width = 5) const;
    void drop(float cx, float cy, float size) const;
    void bubble(float cx, float cy, float r) const;

private:
    void gaps(Points points, float width) const;
};

} // namespace beckhand::drawings
