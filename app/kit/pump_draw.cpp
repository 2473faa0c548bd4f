// The pump alone, cut open: drive pipe at the left, waste valve hanging open, check valve under the air
// vessel, snifter beside it, delivery at the right. Drawn on a grid of 160 by 104 that is scaled to the
// place.
#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "app/kit/drawing.h"
#include "app/kit/installation.h"
#include "app/kit/moving.h"

namespace beckhand::kit {

namespace {

constexpr float grid_w = 160, grid_h = 104;

struct Grid {
    const Pencil& p;
    float x, y, u;

    [[nodiscard]] ImVec2 at(float gx, float gy) const { return {x + gx * u, y + gy * u}; }
    void fill(float x0, float y0, float x1, float y1, Colour c, float round = 0,
              ImDrawFlags corners = 0) const {
        p.ink.AddRectFilled(at(x0, y0), at(x1, y1), paint(c), round * u, corners);
    }
    void stroke(float x0, float y0, float x1, float y1, Colour c, float width) const {
        p.ink.AddLine(at(x0, y0), at(x1, y1), paint(c), std::max(width * u, p.mm(0.5f)));
    }
};

// Walls are drawn as one dark shape, the hollow inside them as a lighter one over it.
void draw_body(const Grid& g, const Motion& motion) {
    const Pencil& p = g.p;
    const Colour pipe = p.shade(p.palette.ink, "drive_pipe"), body = p.shade(p.palette.ink, "body");
    const Colour pipe_water = mix(p.shade(p.palette.water, "drive_pipe"), p.palette.paper, 0.25f);
    const Colour body_water = mix(p.shade(p.palette.water, "body"), p.palette.paper, 0.25f);
    g.fill(0, 70, 34, 90, pipe);
    g.fill(30, 68, 132, 92, body, 4, ImDrawFlags_RoundCornersRight);
    g.fill(30, 64, 35, 96, body); // flange
    g.fill(0, 73, 34, 87, pipe_water);
    g.fill(34, 71, 129, 89, body_water, 3, ImDrawFlags_RoundCornersRight);
    if (motion.moves) { // the water runs, stands, runs back; the pressure goes up the pipe
        const ImVec2 pipe_line[] = {g.at(0, 80), g.at(34, 80)}, body_line[] = {g.at(35, 80), g.at(72, 80)};
        const float shift = drive_shift(p, motion);
        pencil_flow(p, pipe_line, 9.0f * g.u, shift, readable_on(pipe_water, p.palette.paper, p.palette.ink));
        pencil_flow(p, body_line, 9.0f * g.u, shift, readable_on(body_water, p.palette.paper, p.palette.ink));
        pencil_pulse(p, pipe_line, 20.0f * g.u, motion);
        return;
    }
    for (const float x : {6.0f, 17.0f}) {
        pencil_arrow(p, g.at(x, 80), g.at(x + 8.0f, 80),
                     readable_on(pipe_water, p.palette.paper, p.palette.ink), p.m.stroke);
    }
    pencil_arrow(p, g.at(40, 80), g.at(50, 80), readable_on(body_water, p.palette.paper, p.palette.ink),
                 p.m.stroke);
}

void draw_waste_valve(const Grid& g, const BeatMoment& now) {
    const Pencil& p = g.p;
    const Colour ink = p.shade(p.palette.ink, "waste_valve"), water = p.shade(p.palette.water, "waste_valve");
    const Colour inside = mix(water, p.palette.paper, 0.25f);
    // Housing with a seat at its top; the disc hangs below the seat, so water pours out.
    g.fill(50, 50, 80, 72, ink);
    g.fill(53, 55, 77, 73, inside);
    g.fill(58, 49, 72, 56, inside);
    const auto open = static_cast<float>(now.valve);
    const float up = 5.0f * (1.0f - open);
    g.fill(54.5f, 61 - up, 75.5f, 65 - up, ink, 1); // disc
    g.stroke(65, 30 - up, 65, 62 - up, ink, 2.4f);  // stem
    g.fill(60, 34 - up, 70, 37.5f - up, ink, 1);    // stop and nuts
    g.fill(62, 29 - up, 68, 32 - up, ink, 1);
    // The bracket that guides the stem.
    g.stroke(51.5f, 50, 51.5f, 42, ink, 2.0f);
    g.stroke(78.5f, 50, 78.5f, 42, ink, 2.0f);
    g.stroke(50.5f, 42, 61, 42, ink, 2.0f);
    g.stroke(69, 42, 79.5f, 42, ink, 2.0f);
    // What it spills, between bracket and seat.
    if (open < 0.15f) {
        return;
    }
    const float width = std::max(1.6f * g.u, p.mm(0.5f));
    p.ink.AddBezierQuadratic(g.at(59, 48), g.at(45, 40), g.at(39, 58), paint(water), width);
    p.ink.AddBezierQuadratic(g.at(59, 49), g.at(48, 45), g.at(44.5f, 60), paint(water), width);
    p.ink.AddBezierQuadratic(g.at(71, 49), g.at(80, 45), g.at(84, 57), paint(water), width);
}

void draw_vessel(const Grid& g, const Motion& motion) {
    const Pencil& p = g.p;
    const Colour ink = p.shade(p.palette.ink, "air_vessel"), water = p.shade(p.palette.water, "air_vessel");
    const Colour pipe = p.shade(p.palette.ink, "delivery"),
                 pipe_water = mix(p.shade(p.palette.water, "delivery"), p.palette.paper, 0.25f);
    g.fill(122, 44, 160, 56, pipe);
    g.fill(92, 2, 126, 70, ink, 15, ImDrawFlags_RoundCornersTop);
    g.fill(95, 5, 123, 67, p.palette.paper, 12, ImDrawFlags_RoundCornersTop);
    const float level = 36.0f - 4.0f * static_cast<float>(motion.now.vessel);
    g.fill(95, level, 123, 67, mix(water, p.palette.paper, 0.25f));
    g.stroke(95, level, 123, level, water, 1.2f);
    g.fill(122, 46.5f, 160, 53.5f, pipe_water);
    const ImVec2 out[] = {g.at(124, 50), g.at(160, 50)};
    if (motion.moves) {
        pencil_flow(p, out, 6.0f * g.u, static_cast<float>(motion.pulses) * p.mm(2.5f),
                    readable_on(pipe_water, p.palette.paper, p.palette.ink));
    } else {
        pencil_arrow(p, g.at(141, 50), g.at(155, 50), readable_on(pipe_water, p.palette.paper, p.palette.ink),
                     p.m.stroke);
    }
    g.fill(89, 66, 129, 72, p.shade(p.palette.ink, "body")); // flange
}

void draw_check_valve(const Grid& g, const BeatMoment& now) {
    const Pencil& p = g.p;
    const Colour ink = p.shade(p.palette.ink, "check_valve"),
                 water = mix(p.shade(p.palette.water, "check_valve"), p.palette.paper, 0.25f);
    g.fill(93, 65, 125, 72, ink);         // seat plate
    g.fill(99, 64.5f, 107, 72.5f, water); // its ports
    g.fill(111, 64.5f, 119, 72.5f, water);
    g.stroke(109, 49, 109, 66, ink, 2.2f); // guide
    g.fill(105, 48, 113, 50.5f, ink, 1);   // stop
    const float lift = 6.5f * static_cast<float>(now.check);
    g.fill(98, 61 - lift, 120, 64.5f - lift, ink, 1); // disc
}

void draw_snifter(const Grid& g) {
    const Pencil& p = g.p;
    const Colour ink = p.shade(p.palette.ink, "snifter");
    // A small hole into the body just below the check valve, with air drawn in.
    g.fill(84, 62, 91, 72.5f, ink);
    g.fill(86.4f, 60, 88.6f, 73, p.palette.paper);
    p.ink.AddCircle(g.at(85.5f, 57), 1.6f * g.u, paint(ink), 16, std::max(1.0f, p.mm(0.3f)));
    p.ink.AddCircle(g.at(88.6f, 53.5f), 1.2f * g.u, paint(ink), 16, std::max(1.0f, p.mm(0.3f)));
}

struct Mark {
    std::string_view part;
    float x, y, rx, ry;       // ring
    float prefer_x, prefer_y; // where its name goes
};
constexpr std::array<Mark, 7> marks = {{{"waste_valve", 65, 47, 21, 24, -0.7f, -0.7f},
                                        {"check_valve", 109, 60, 20, 16, 0.3f, 1},
                                        {"air_vessel", 109, 28, 22, 29, 1, -0.2f},
                                        {"snifter", 87.5f, 64, 9.5f, 14, -0.4f, -1},
                                        {"drive_pipe", 16, 80, 19, 15, 0, -1},
                                        {"delivery", 145, 50, 18, 11, 0, -1},
                                        {"body", 82, 80, 54, 17, 0, 1}}};

/// Where the name of a part stands: `x` is its left (0), middle (0.5) or right (1) edge on the grid. `row` 1
/// and 2 are the lines under the pump, 0 is at `y`. The leader runs down or across from the part.
struct Name {
    std::string_view part;
    float x, align, y;
    int row;
    float part_x, part_y;
};
constexpr std::array<Name, 7> part_names = {{{"waste_valve", 57, 1, 24, 0, 61, 30},
                                             {"drive_pipe", 36, 1, 60, 0, 0, 0},
                                             {"air_vessel", 131, 0, 14, 0, 126, 16},
                                             {"delivery", 136, 0, 63, 0, 0, 0},
                                             {"body", 80, 1, 0, 1, 64, 92},
                                             {"check_valve", 106, 0, 0, 1, 109, 72},
                                             {"snifter", 88, 0.5f, 0, 2, 87.5f, 73}}};

void name_parts(Pencil& p, const Grid& g) {
    for (const Name& name : part_names) {
        if (p.is_lit(name.part)) {
            continue;
        }
        const std::string_view text =
            name.part == "delivery" ? "Delivery" : part_name(name.part); // there is little room
        const float w = p.kit.width_of(Type::small, text), h = p.m.small;
        const float right = p.frame.x + p.frame.w - w;
        const float x = std::clamp(g.at(name.x, 0).x - name.align * w, p.frame.x, std::max(p.frame.x, right));
        const float y = name.row == 0 ? g.at(0, name.y).y - h / 2.0f
                                      : g.at(0, 97).y + (static_cast<float>(name.row) - 1.0f) * h * 1.05f;
        if (name.part_y > 0.0f) {
            const ImVec2 from = g.at(name.part_x, name.part_y);
            const ImVec2 to = name.row > 0 ? ImVec2{from.x, y + h * 0.12f}
                                           : ImVec2{name.align > 0.5f ? x + w : x - p.mm(0.6f), y + h / 2.0f};
            p.ink.AddLine(from, to, paint(p.palette.line), p.m.stroke * 0.8f);
        }
        p.kit.write(x, y, Type::small, p.palette.quiet, text);
        p.taken.push_back({x, y, w, h});
        p.words.push_back({x, y, w, h});
    }
    const ImVec2 air = g.at(109, 19);
    p.kit.write(air.x - p.kit.width_of(Type::small, "air") / 2.0f, air.y - p.m.small / 2.0f, Type::small,
                p.palette.quiet, "air");
}

} // namespace

void draw_pump(Kit& kit, std::string_view part, float height_px, const OneBeat* moves) {
    const std::string_view lit = part_name(part).empty() ? std::string_view() : part;
    std::string said =
        "The pump, cut open: drive pipe, waste valve, check valve, air vessel, snifter, delivery pipe.";
    said += lit.empty() ? std::string() : " Marked: " + std::string(part_name(lit)) + ".";
    const Box frame = kit.canvas(height_px, said);
    if (frame.h < kit.metrics().mm(14.0f)) {
        return;
    }
    Pencil p{kit, *kit.ink(), kit.palette(), kit.metrics(), frame, lit};
    // Room for a line of words above and below where the place is large enough to name all parts.
    const bool roomy = frame.h > p.mm(50.0f);
    const float below = roomy           ? 1.9f * p.m.small
                        : lit == "body" ? tag_height(p) + p.mm(1.0f)
                                        : 0.0f,
                above = roomy ? 1.6f * p.m.small : 0.0f;
    const float u = std::min(frame.w * (roomy ? 0.78f : 1.0f) / grid_w, (frame.h - above - below) / grid_h);
    const Grid g{p, std::round(frame.x + (frame.w - grid_w * u) / 2.0f),
                 std::round(frame.y + (frame.h - grid_h * u + above - below) / 2.0f), u};
    const Motion motion = motion_of(kit, moves);
    draw_body(g, motion);
    draw_waste_valve(g, motion.now);
    draw_vessel(g, motion);
    draw_check_valve(g, motion.now);
    draw_snifter(g);

    const auto box = [&](float x0, float y0, float x1, float y1) {
        p.taken.push_back({g.x + x0 * u, g.y + y0 * u, (x1 - x0) * u, (y1 - y0) * u});
    };
    box(0, 63, 132, 97);
    box(37, 28, 91, 66);
    box(91, 1, 127, 67);
    box(127, 43, 160, 57);
    if (roomy) {
        name_parts(p, g);
    }
    for (const Mark& mark : marks) {
        if (!p.is_lit(mark.part)) {
            continue;
        }
        const ImVec2 c = g.at(mark.x, mark.y);
        pencil_ring(p, c, mark.rx * u, mark.ry * u);
        const float far = std::hypot(mark.prefer_x, mark.prefer_y);
        pencil_tag(p, part_name(mark.part), {c.x, c.y}, mark.rx * u, mark.ry * u,
                   {mark.prefer_x / far, mark.prefer_y / far});
    }
    if (const std::string words = motion_words(kit, moves, motion); !words.empty()) {
        pencil_label(p, words, {frame.x, frame.y}, {0.0f, 0.0f});
    }
}

} // namespace beckhand::kit
