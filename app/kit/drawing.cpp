#include "app/kit/drawing.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace beckhand::kit {

namespace {

Colour marker_text(const Palette& palette) {
    return readable_on(palette.watch, palette.ink, palette.paper);
}

// From the anchor to the nearest point of the box; nothing when they nearly touch. Words keep off it.
void leader(Pencil& p, const Box& box, Spot anchor, Colour colour, float stroke) {
    const Spot to{std::clamp(anchor.x, box.x, box.x + box.w), std::clamp(anchor.y, box.y, box.y + box.h)};
    if (std::hypot(to.x - anchor.x, to.y - anchor.y) > p.mm(1.2f)) {
        p.ink.AddLine({anchor.x, anchor.y}, {to.x, to.y}, paint(colour), stroke);
        add_along(p.taken, anchor, to, p.mm(0.8f));
    }
}

} // namespace

void pencil_pipe(const Pencil& p, std::span<const ImVec2> points, float bore, Colour wall, Colour water) {
    round_line(p.ink, wall, points, bore + 2.0f * p.mm(0.45f));
    round_line(p.ink, water, points, bore);
}

void pencil_ring(Pencil& p, ImVec2 centre, float rx, float ry) {
    constexpr int steps = 48;
    std::vector<ImVec2> points;
    for (int i = 0; i < steps; ++i) {
        const float angle = static_cast<float>(i) * 2.0f * std::numbers::pi_v<float> / steps;
        points.push_back({centre.x + rx * std::cos(angle), centre.y + ry * std::sin(angle)});
    }
    const int n = static_cast<int>(points.size());
    p.ink.AddPolyline(points.data(), n, paint(p.palette.watch), ImDrawFlags_Closed, p.mm(2.2f));
    p.ink.AddPolyline(points.data(), n, paint(marker_text(p.palette)), ImDrawFlags_Closed, p.mm(0.9f));
    p.taken.push_back({centre.x - rx, centre.y - ry, rx * 2, ry * 2});
}

void pencil_halo(const Pencil& p, std::span<const ImVec2> points, float width) {
    round_line(p.ink, marker_text(p.palette), points, width + p.mm(1.6f));
    round_line(p.ink, p.palette.watch, points, width);
}

float tag_height(const Pencil& p) {
    return p.m.heading + p.mm(0.8f);
}
float tag_width(const Pencil& p, std::string_view name) {
    return p.kit.width_of(Type::heading, name) + 2 * p.mm(1.6f);
}

void pencil_tag_at(Pencil& p, std::string_view name, const Box& box) {
    p.ink.AddRectFilled({box.x, box.y}, {box.x + box.w, box.y + box.h}, paint(p.palette.watch), p.mm(1.0f));
    p.ink.AddRect({box.x, box.y}, {box.x + box.w, box.y + box.h}, paint(p.palette.ink), p.mm(1.0f), 0,
                  p.m.stroke);
    p.kit.write(box.x + p.mm(1.6f), box.y + (box.h - p.m.heading) / 2.0f, Type::heading,
                marker_text(p.palette), name, 0.0f, p.palette.watch);
    p.taken.push_back(box);
    p.words.push_back(box);
}

void pencil_tag(Pencil& p, std::string_view name, Spot centre, float rx, float ry, Spot prefer) {
    std::vector<Box> taken = p.taken;
    taken.push_back({centre.x - rx, centre.y - ry, 2 * rx, 2 * ry});
    const Box box =
        place_label(tag_width(p, name), tag_height(p), centre, prefer, p.frame, taken, p.words).box;
    // The leader starts on the ring, where it is nearest to the tag.
    const float dx = std::clamp(centre.x, box.x, box.x + box.w) - centre.x,
                dy = std::clamp(centre.y, box.y, box.y + box.h) - centre.y;
    const float far = std::max(0.001f, std::hypot(dx / std::max(rx, 1.0f), dy / std::max(ry, 1.0f)));
    if (far > 1.0f) {
        leader(p, box, {centre.x + dx / far, centre.y + dy / far}, p.palette.ink, p.mm(0.7f));
    }
    pencil_tag_at(p, name, box);
}

void pencil_label(Pencil& p, std::string_view text, Spot anchor, Spot prefer) {
    const Placed placed =
        place_label(p.kit.width_of(Type::small, text), p.m.small, anchor, prefer, p.frame, p.taken, p.words);
    if (!placed.free) {
        return;
    }
    leader(p, placed.box, anchor, p.palette.line, p.m.stroke * 0.8f);
    p.kit.write(placed.box.x, placed.box.y, Type::small, p.palette.quiet, text);
    p.taken.push_back(placed.box);
    p.words.push_back(placed.box);
}

void pencil_hatch(const Pencil& p, std::span<const ImVec2> points, Colour colour) {
    const float step = p.mm(2.1f), length = p.mm(2.0f), stroke = std::max(1.0f, p.mm(0.28f));
    float carry = 0;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const ImVec2 a = points[i - 1], b = points[i];
        const float along = std::hypot(b.x - a.x, b.y - a.y);
        float at = carry;
        for (; at < along; at += step) {
            const float t = at / along;
            const ImVec2 top{a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t};
            p.ink.AddLine(top, {top.x - length * 0.75f, top.y + length}, paint(colour), stroke);
        }
        carry = at - along;
    }
    p.ink.AddPolyline(points.data(), static_cast<int>(points.size()), paint(colour), 0, p.m.stroke);
}

void pencil_arrow(const Pencil& p, ImVec2 from, ImVec2 to, Colour colour, float stroke) {
    const float dx = to.x - from.x, dy = to.y - from.y, length = std::max(1.0f, std::hypot(dx, dy));
    const float ux = dx / length, uy = dy / length, head = p.mm(1.7f);
    const ImVec2 base{to.x - ux * head, to.y - uy * head};
    p.ink.AddLine(from, base, paint(colour), stroke);
    p.ink.AddTriangleFilled(to, {base.x - uy * head * 0.5f, base.y + ux * head * 0.5f},
                            {base.x + uy * head * 0.5f, base.y - ux * head * 0.5f}, paint(colour));
}

} // namespace beckhand::kit
