#include "app/drawings/brush.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "app/kit/shapes.h"

namespace beckhand::drawings {

using kit::mix;
using kit::paint;

namespace {

constexpr float radians = std::numbers::pi_v<float> / 180.0f;

} // namespace

float level_at(std::string_view course, float seconds) {
    if (course.empty()) {
        return 1.0f;
    }
    const float steps = std::max(0.0f, seconds / seconds_a_step);
    const auto digit = [course](float step) {
        const auto n = static_cast<std::size_t>(step) % course.size();
        return static_cast<float>(course[n] - '0') / 9.0f;
    };
    const float whole = std::floor(steps), share = steps - whole;
    constexpr float stays = 0.6f;
    const float now = digit(whole), next = digit(whole + 1.0f);
    return share < stays ? now : now + (next - now) * (share - stays) / (1.0f - stays);
}

kit::Colour Brush::pale() const {
    return mix(palette.water, palette.paper, 0.55f);
}

void Brush::line(Points points, kit::Colour colour, float width) const {
    std::array<ImVec2, 64> placed;
    const std::size_t n = std::min(points.size(), placed.size());
    for (std::size_t i = 0; i < n; ++i) {
        placed[i] = at(points[i].x, points[i].y);
    }
    kit::round_line(ink, colour, {placed.data(), n}, wide(width));
}

void Brush::line(std::initializer_list<ImVec2> points, kit::Colour colour, float width) const {
    line(Points(points.begin(), points.size()), colour, width);
}

void Brush::box(float x0, float y0, float x1, float y1, kit::Colour colour, float round) const {
    ink.AddRectFilled(at(x0, y0), at(x1, y1), paint(colour), round * unit);
}

void Brush::frame(float x0, float y0, float x1, float y1, kit::Colour colour, float width, float round) const {
    ink.AddRect(at(x0, y0), at(x1, y1), paint(colour), round * unit, 0, wide(width));
}

void Brush::shape(std::initializer_list<ImVec2> points, kit::Colour colour) const {
    std::array<ImVec2, 16> placed;
    std::size_t n = 0;
    for (const ImVec2& point : points) {
        if (n < placed.size()) {
            placed[n++] = at(point.x, point.y);
        }
    }
    ink.AddConvexPolyFilled(placed.data(), static_cast<int>(n), paint(colour));
}

void Brush::disc(float cx, float cy, float r, kit::Colour colour) const {
    ink.AddCircleFilled(at(cx, cy), r * unit, paint(colour), 20);
}

void Brush::ring(float cx, float cy, float r, kit::Colour colour, float width) const {
    ink.AddCircle(at(cx, cy), r * unit, paint(colour), 24, wide(width));
}

void Brush::arc(float cx, float cy, float r, float from, float to, kit::Colour colour, float width) const {
    ink.PathArcTo(at(cx, cy), r * unit, from * radians, to * radians, 16);
    ink.PathStroke(paint(colour), 0, wide(width));
}

void Brush::dashes(ImVec2 from, ImVec2 to, kit::Colour colour, float width, float dash) const {
    kit::dashed(ink, colour, at(from.x, from.y), at(to.x, to.y), wide(width), dash * unit);
}

void Brush::arrow(ImVec2 from, ImVec2 to, kit::Colour colour, float width) const {
    const float dx = to.x - from.x, dy = to.y - from.y, far = std::max(0.001f, std::hypot(dx, dy));
    const float ux = dx / far, uy = dy / far, head = std::min(9.0f, far * 0.6f);
    const ImVec2 neck{to.x - ux * head, to.y - uy * head};
    line({from, neck}, colour, width);
    const float half = head * 0.62f;
    const ImVec2 left{neck.x + uy * half, neck.y - ux * half}, right{neck.x - uy * half, neck.y + ux * half};
    ink.AddTriangleFilled(at(to.x, to.y), at(right.x, right.y), at(left.x, left.y), paint(colour));
}

void Brush::cross(float cx, float cy, float r, kit::Colour colour) const {
    line({{cx - r, cy - r}, {cx + r, cy + r}}, colour, 4);
    line({{cx - r, cy + r}, {cx + r, cy - r}}, colour, 4);
}

void Brush::pipe(std::initializer_list<ImVec2> points, float bore, kit::Colour inside) const {
    line(points, metal(), bore + 7.0f);
    line(points, inside, bore);
}

// Short gaps that run along with the water, so that it is seen to flow.
void Brush::gaps(Points points, float width) const {
    if (points.size() < 2 || width < least_stroke * 0.8f) {
        return;
    }
    constexpr float apart = 0.45f;
    const float first = std::fmod(0.2f + seconds * 0.9f, apart);
    const auto last = static_cast<float>(points.size() - 1);
    for (float share = first; share < 0.97f; share += apart) {
        const auto i = static_cast<std::size_t>(share * last);
        const float t = share * last - static_cast<float>(i);
        const ImVec2 a = points[i], b = points[i + 1];
        const ImVec2 from{a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t};
        const float far = std::max(0.001f, std::hypot(b.x - a.x, b.y - a.y)), length = width * 1.1f;
        ink.AddLine(from, {from.x + (b.x - a.x) / far * length, from.y + (b.y - a.y) / far * length},
                    paint(palette.paper), std::max(1.0f, width * 0.24f));
    }
}

void Brush::stream(ImVec2 from, ImVec2 top, ImVec2 to, float strength, float width) const {
    if (strength <= 0.02f) {
        return;
    }
    std::array<ImVec2, 9> points;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const float t = static_cast<float>(i) / static_cast<float>(points.size() - 1), s = 1.0f - t;
        points[i] = at(s * s * from.x + 2 * s * t * top.x + t * t * to.x,
                       s * s * from.y + 2 * s * t * top.y + t * t * to.y);
    }
    const float stroke = wide(width * strength);
    kit::round_line(ink, water(), points, stroke);
    gaps(points, stroke);
}

void Brush::jet(ImVec2 from, ImVec2 to, float strength, float width) const {
    stream(from, {(from.x + to.x) / 2, (from.y + to.y) / 2}, to, strength, width);
}

void Brush::drop(float cx, float cy, float size) const {
    ink.AddTriangleFilled(at(cx, cy - size * 1.5f), at(cx + size * 0.8f, cy), at(cx - size * 0.8f, cy), paint(water()));
    disc(cx, cy + size * 0.3f, size, water());
}

void Brush::bubble(float cx, float cy, float r) const {
    disc(cx, cy, r, hollow());
    ring(cx, cy, r, metal(), 2.4f);
}

} // namespace beckhand::drawings
