// How a way of measuring is done, as a small drawing: water, the device, and where to read.
#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include <imgui.h>

#include "app/kit/drawing.h"
#include "app/kit/shapes.h"
#include "app/measuring/measuring_views.h"

namespace beckhand {
namespace {

using kit::Colour;

/// A drawing's own place: 100 wide, 60 high, whatever the canvas is.
struct Sheet {
    kit::Kit& kit;
    kit::Box box;
    float unit;
    float left;
    [[nodiscard]] ImVec2 at(float x, float y) const { return {left + x * unit, box.y + y * unit}; }
    [[nodiscard]] const kit::Palette& p() const { return kit.palette(); }
    [[nodiscard]] float stroke(float mm = 0.7f) const { return kit.metrics().mm(mm); }
    void line(std::initializer_list<ImVec2> points, Colour colour, float mm = 0.7f) const {
        kit::round_line(*kit.ink(), colour, std::span(points.begin(), points.size()), stroke(mm));
    }
    void water(ImVec2 from, ImVec2 to) const { kit.ink()->AddRectFilled(from, to, kit::paint(p().water)); }
    void words(float x, float y, std::string_view text) const {
        const ImVec2 spot = at(x, y);
        kit.write(spot.x, spot.y, kit::Type::small, p().ink, text);
    }
    /// Between two points, with an arrow at both ends: here it is read.
    void measure(ImVec2 a, ImVec2 b) const {
        line({a, b}, p().watch_text, 0.6f);
        for (const auto& [tip, other] : {std::pair(a, b), std::pair(b, a)}) {
            const float length = std::max(1.0f, std::hypot(other.x - tip.x, other.y - tip.y)), head = kit.metrics().mm(1.6f);
            const float ux = (other.x - tip.x) / length, uy = (other.y - tip.y) / length;
            kit.ink()->AddTriangleFilled(tip, {tip.x + ux * head - uy * head * 0.5f, tip.y + uy * head + ux * head * 0.5f},
                                         {tip.x + ux * head + uy * head * 0.5f, tip.y + uy * head - ux * head * 0.5f}, kit::paint(p().watch_text));
        }
    }
};

void draw_bucket(const Sheet& d) {
    d.line({d.at(8, 12), d.at(40, 12)}, d.p().line, 1.6f);                     // spout
    d.water(d.at(41, 12), d.at(43, 40));
    d.water(d.at(31, 30), d.at(55, 55));
    d.line({d.at(28, 18), d.at(31, 55), d.at(55, 55), d.at(58, 18)}, d.p().ink, 1.0f);
    d.line({d.at(55.5f, 30), d.at(64, 30)}, d.p().watch_text, 0.9f);
    d.words(66, 26, "mark");
}

void draw_hose(const Sheet& d) {
    d.line({d.at(0, 18), d.at(26, 18), d.at(40, 34), d.at(70, 50), d.at(100, 50)}, d.p().earth, 1.2f);
    d.water(d.at(0, 12), d.at(18, 18));
    d.line({d.at(18, 12), d.at(24, 22), d.at(50, 46), d.at(72, 44), d.at(74, 8)}, d.p().ink, 1.6f);
    d.line({d.at(18, 12), d.at(24, 22), d.at(50, 46), d.at(72, 44), d.at(74, 12)}, d.p().water, 0.8f);
    kit::dashed(*d.kit.ink(), d.p().line, d.at(18, 12), d.at(74, 12), d.stroke(0.4f), d.stroke(1.6f));
    d.measure(d.at(80, 12), d.at(80, 50));
    d.words(83, 26, "step");
}

void draw_staff(const Sheet& d) {
    d.line({d.at(0, 30), d.at(40, 36), d.at(70, 52), d.at(100, 54)}, d.p().earth, 1.2f);
    d.line({d.at(10, 30), d.at(10, 2)}, d.p().ink, 1.2f);
    d.line({d.at(90, 54), d.at(90, 2)}, d.p().ink, 1.2f);
    d.line({d.at(44, 38), d.at(48, 14), d.at(52, 42)}, d.p().ink, 0.9f);
    d.line({d.at(43, 12), d.at(53, 12)}, d.p().ink, 2.0f);
    kit::dashed(*d.kit.ink(), d.p().line, d.at(10, 12), d.at(90, 12), d.stroke(0.4f), d.stroke(1.6f));
    d.measure(d.at(15, 12), d.at(15, 31));
    d.measure(d.at(85, 12), d.at(85, 54));
    d.words(18, 16, "upper");
    d.words(60, 30, "lower");
}

void draw_gauge(const Sheet& d) {
    d.water(d.at(2, 4), d.at(22, 12));
    d.line({d.at(20, 11), d.at(70, 48)}, d.p().ink, 2.6f);
    d.line({d.at(20, 11), d.at(70, 48)}, d.p().water, 1.4f);
    d.line({d.at(70, 48), d.at(82, 48)}, d.p().ink, 2.0f);
    d.kit.ink()->AddCircle(d.at(70, 34), d.unit * 9, kit::paint(d.p().ink), 32, d.stroke(0.9f));
    d.line({d.at(70, 43), d.at(70, 47)}, d.p().ink, 1.2f);
    d.line({d.at(70, 34), d.at(75, 29)}, d.p().stop_text, 0.9f);
    d.measure(d.at(92, 5), d.at(92, 34));
    d.words(40, 6, "full, standing");
}

void draw_notch(const Sheet& d) {
    d.water(d.at(22, 22), d.at(78, 56));
    d.kit.ink()->AddRectFilled(d.at(6, 8), d.at(94, 58), kit::paint(d.p().earth));
    const ImVec2 notch[] = {d.at(30, 8), d.at(70, 8), d.at(50, 42)};
    d.kit.ink()->AddTriangleFilled(notch[0], notch[1], notch[2], kit::paint(d.p().paper));
    const ImVec2 water[] = {d.at(37, 20), d.at(63, 20), d.at(50, 42)};
    d.kit.ink()->AddTriangleFilled(water[0], water[1], water[2], kit::paint(d.p().water));
    d.line({d.at(6, 8), d.at(30, 8), d.at(50, 42), d.at(70, 8), d.at(94, 8)}, d.p().ink, 1.0f);
    d.measure(d.at(82, 20), d.at(82, 42));
    kit::dashed(*d.kit.ink(), d.p().ink, d.at(50, 42), d.at(84, 42), d.stroke(0.4f), d.stroke(1.6f));
    kit::dashed(*d.kit.ink(), d.p().ink, d.at(63, 20), d.at(84, 20), d.stroke(0.4f), d.stroke(1.6f));
}

void draw_float(const Sheet& d) {
    d.water(d.at(0, 14), d.at(100, 44));
    d.line({d.at(0, 14), d.at(100, 14)}, d.p().earth, 1.4f);
    d.line({d.at(0, 44), d.at(100, 44)}, d.p().earth, 1.4f);
    for (const float x : {14.0f, 86.0f}) kit::dashed(*d.kit.ink(), d.p().ink, d.at(x, 8), d.at(x, 48), d.stroke(0.6f), d.stroke(1.6f));
    d.line({d.at(40, 29), d.at(48, 29)}, d.p().ink, 2.4f);
    d.line({d.at(52, 29), d.at(64, 29), d.at(60, 26)}, d.p().ink, 0.7f);
    d.measure(d.at(14, 53), d.at(86, 53));
    d.words(36, 1, "stretch");
}

void draw_listening(const Sheet& d) {
    d.line({d.at(10, 52), d.at(90, 52)}, d.p().earth, 1.2f);
    d.kit.ink()->AddRectFilled(d.at(14, 28), d.at(40, 51), kit::paint(d.p().line), d.stroke(1.0f));
    d.line({d.at(27, 28), d.at(27, 18)}, d.p().ink, 1.4f);
    for (const float r : {9.0f, 16.0f, 23.0f}) {
        d.kit.ink()->PathArcTo(d.at(34, 34), d.unit * r, -0.5f, 0.5f, 16);
        d.kit.ink()->PathStroke(kit::paint(d.p().water_text), 0, d.stroke(0.7f));
    }
    d.kit.ink()->AddRect(d.at(72, 18), d.at(86, 46), kit::paint(d.p().ink), d.stroke(1.0f), 0, d.stroke(0.9f));
    d.measure(d.at(42, 12), d.at(72, 12));
    d.words(44, 1, "arm's length");
}

} // namespace

void draw_way(kit::Kit& kit, Way way, float height_px) {
    const kit::Box box = kit.canvas(height_px, name_of(way));
    if (box.h <= 0) return;
    const float unit = std::min(box.w / 100.0f, box.h / 60.0f);
    const Sheet place{kit, box, unit, box.x + (box.w - 100 * unit) / 2};
    switch (way) {
        case Way::tapped: break;
        case Way::by_ear: draw_listening(place); break;
        case Way::bucket: draw_bucket(place); break;
        case Way::hose: draw_hose(place); break;
        case Way::staff: draw_staff(place); break;
        case Way::gauge: draw_gauge(place); break;
        case Way::notch: draw_notch(place); break;
        case Way::floated: draw_float(place); break;
    }
}

} // namespace beckhand
