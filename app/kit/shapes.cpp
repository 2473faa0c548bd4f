#include "app/kit/shapes.h"

#include <cmath>
#include <numbers>

namespace beckhand::kit {

Colour mix(Colour a, Colour b, float share) {
    const auto between = [share](std::uint8_t from, std::uint8_t to) {
        return static_cast<std::uint8_t>(
            std::lround(static_cast<float>(from) * (1.0f - share) + static_cast<float>(to) * share));
    };
    return {between(a.r, b.r), between(a.g, b.g), between(a.b, b.b), between(a.a, b.a)};
}

Colour readable_on(Colour ground, Colour a, Colour b) {
    return contrast(ground, a) >= contrast(ground, b) ? a : b;
}

Colour fill_of(const Palette& palette, Tone tone) {
    switch (tone) {
    case Tone::plain:
        return palette.ink;
    case Tone::good:
        return palette.good;
    case Tone::watch:
        return palette.watch;
    case Tone::stop:
        return palette.stop;
    case Tone::water:
        return palette.water;
    case Tone::unknown:
        return palette.quiet;
    }
    return palette.ink;
}

Colour text_of(const Palette& palette, Tone tone) {
    switch (tone) {
    case Tone::plain:
        return palette.ink;
    case Tone::good:
        return palette.good_text;
    case Tone::watch:
        return palette.watch_text;
    case Tone::stop:
        return palette.stop_text;
    case Tone::water:
        return palette.water_text;
    case Tone::unknown:
        return palette.quiet;
    }
    return palette.ink;
}

void tone_sign(ImDrawList& ink, const Palette& palette, Tone tone, ImVec2 centre, float size) {
    const ImU32 fill = paint(fill_of(palette, tone)), edge = paint(text_of(palette, tone));
    const float r = size / 2.0f, stroke = std::max(1.0f, size * 0.09f);
    const ImVec2 c = centre;
    switch (tone) {
    case Tone::plain:
        return;
    case Tone::good:
        ink.AddCircleFilled(c, r, fill, 32);
        ink.AddCircle(c, r - stroke / 2.0f, edge, 32, stroke);
        return;
    case Tone::watch:
        ink.AddRectFilled({c.x - r, c.y - r * 0.45f}, {c.x + r, c.y + r * 0.45f}, fill);
        ink.AddRect({c.x - r, c.y - r * 0.45f}, {c.x + r, c.y + r * 0.45f}, edge, 0.0f, 0, stroke);
        return;
    case Tone::stop: {
        const ImVec2 top{c.x, c.y - r}, right{c.x + r * 1.1f, c.y + r * 0.85f},
            left{c.x - r * 1.1f, c.y + r * 0.85f};
        ink.AddTriangleFilled(top, right, left, fill);
        ink.AddTriangle(top, right, left, edge, stroke);
        return;
    }
    case Tone::water:
        ink.AddTriangleFilled({c.x, c.y - r}, {c.x + r * 0.60f, c.y + r * 0.02f},
                              {c.x - r * 0.60f, c.y + r * 0.02f}, fill);
        ink.AddCircleFilled({c.x, c.y + r * 0.32f}, r * 0.68f, fill, 32);
        return;
    case Tone::unknown:
        for (int part = 0; part < 6; ++part) {
            const float from = static_cast<float>(part) * std::numbers::pi_v<float> / 3.0f;
            ink.PathArcTo(c, r - stroke, from, from + 0.62f, 6);
            ink.PathStroke(edge, 0, stroke * 1.4f);
        }
        return;
    }
}

void warning_sign(ImDrawList& ink, const Palette& palette, ImVec2 centre, float size) {
    const Colour black = readable_on(palette.watch, palette.ink, palette.paper);
    const float r = size / 2.0f, stroke = size * 0.09f;
    const ImVec2 top{centre.x, centre.y - r * 0.92f}, right{centre.x + r, centre.y + r * 0.82f},
        left{centre.x - r, centre.y + r * 0.82f};
    ink.AddTriangleFilled(top, right, left, paint(palette.watch));
    ink.AddTriangle(top, right, left, paint(black), stroke);
    // On dark ground the black edge would be lost: a light one around it.
    if (contrast(black, palette.paper) < 4.5) {
        ink.AddTriangle({top.x, top.y - stroke}, {right.x + stroke, right.y + stroke * 0.6f},
                        {left.x - stroke, left.y + stroke * 0.6f}, paint(palette.watch), stroke * 0.7f);
    }
    ink.AddRectFilled({centre.x - size * 0.05f, centre.y - r * 0.30f},
                      {centre.x + size * 0.05f, centre.y + r * 0.30f}, paint(black));
    ink.AddCircleFilled({centre.x, centre.y + r * 0.54f}, size * 0.062f, paint(black), 16);
}

void mandatory_sign(ImDrawList& ink, const Palette& palette, ImVec2 centre, float size) {
    const Colour white = readable_on(palette.water_text, palette.paper, palette.ink);
    const float r = size / 2.0f;
    ink.AddCircleFilled(centre, r * 0.94f, paint(palette.water_text), 32);
    ink.AddRectFilled({centre.x - size * 0.05f, centre.y - r * 0.55f},
                      {centre.x + size * 0.05f, centre.y + r * 0.15f}, paint(white));
    ink.AddCircleFilled({centre.x, centre.y + r * 0.45f}, size * 0.066f, paint(white), 16);
}

void tick_mark(ImDrawList& ink, Colour colour, ImVec2 centre, float size, float stroke) {
    const ImVec2 points[] = {{centre.x - size * 0.34f, centre.y + size * 0.02f},
                             {centre.x - size * 0.08f, centre.y + size * 0.28f},
                             {centre.x + size * 0.36f, centre.y - size * 0.28f}};
    round_line(ink, colour, points, stroke);
}

void plus_or_minus(ImDrawList& ink, Colour colour, ImVec2 centre, float size, float stroke, bool plus) {
    const float r = size / 2.0f;
    const ImVec2 across[] = {{centre.x - r, centre.y}, {centre.x + r, centre.y}};
    round_line(ink, colour, across, stroke);
    if (plus) {
        const ImVec2 up[] = {{centre.x, centre.y - r}, {centre.x, centre.y + r}};
        round_line(ink, colour, up, stroke);
    }
}

void dashed(ImDrawList& ink, Colour colour, ImVec2 from, ImVec2 to, float stroke, float dash) {
    const float dx = to.x - from.x, dy = to.y - from.y;
    const float length = std::sqrt(dx * dx + dy * dy);
    for (float at = 0.0f; at < length; at += dash * 2.0f) {
        const float a = at / length, b = std::min(1.0f, (at + dash) / length);
        ink.AddLine({from.x + dx * a, from.y + dy * a}, {from.x + dx * b, from.y + dy * b}, paint(colour),
                    stroke);
    }
}

void round_line(ImDrawList& ink, Colour colour, std::span<const ImVec2> points, float stroke) {
    ink.AddPolyline(points.data(), static_cast<int>(points.size()), paint(colour), 0, stroke);
    if (stroke > 2.0f) {
        for (const ImVec2& point : points) {
            ink.AddCircleFilled(point, stroke / 2.0f, paint(colour), 24);
        }
    }
}

} // namespace beckhand::kit
