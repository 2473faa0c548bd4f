// Pipes on their slopes, the valves on them, what a hand feels on them, and heights.
#include <algorithm>
#include <cmath>

#include "app/drawings/parts.h"

namespace beckhand::drawings {
namespace {

float level(const Brush& b, const Part& p) { return level_at(p.course, b.seconds); }

/// Dashes that run along a pipe with what flows in it.
void flow_in(const Brush& b, ImVec2 from, ImVec2 to, float much) {
    if (much > 0.05f) {
        b.jet(from, to, 1.0f, 4.0f + 3.0f * much);
    }
}

void hatch(const Brush& b, float x0, float y0, float x1, float y1) {
    b.line({{x0, y0}, {x1, y1}}, b.earth(), 3.2f);
    for (int i = 0; i < 6; ++i) {
        const float t = (static_cast<float>(i) + 0.5f) / 6.0f;
        const float x = x0 + (x1 - x0) * t, y = y0 + (y1 - y0) * t;
        b.line({{x, y}, {x - 5, y + 7}}, b.earth(), 2);
    }
}

void puddle(const Brush& b, float x, float y) {
    b.box(x - 16, y - 2, x + 16, y + 4, b.water(), 3);
    for (const float dx : {-14.0f, -7.0f, 2.0f, 11.0f}) { // grass that stands higher
        b.line({{x + dx, y - 2}, {x + dx - 3, y - 13}}, b.metal(), 2.6f);
        b.line({{x + dx, y - 2}, {x + dx + 4, y - 11}}, b.metal(), 2.6f);
    }
}

} // namespace

void site(const Brush& b, const Part& p) {
    (void)p;
    b.box(0, 24, 20, 40, b.pale());
    b.line({{0, 24}, {20, 24}}, b.water(), 3.6f);
    b.line({{21, 18}, {21, 42}}, b.metal(), 4);
    b.line({{20, 34}, {46, 68}}, b.metal(), 8);
    b.box(44, 62, 66, 74, b.metal(), 2);
    b.box(56, 46, 66, 64, b.metal(), 4);
    b.line({{66, 66}, {88, 8}}, b.metal(), 5);
    b.frame(84, 8, 99, 28, b.metal(), 4);
    b.box(86, 16, 97, 26, b.water());
}

void drive_pipe(const Brush& b, const Part& p) {
    hatch(b, 0, 34, 100, 76);
    switch (p.form) {
    case Form::sag: // up over a hump and down again
        b.pipe({{2, 18}, {26, 30}, {40, 34}, {56, 20}, {68, 34}, {76, 52}, {98, 62}}, 7, b.pale());
        b.bubble(56, 19, 4);
        return;
    case Form::dented:
        b.pipe({{2, 18}, {42, 36}}, 9, b.pale());
        b.pipe({{62, 45}, {98, 62}}, 9, b.pale());
        b.line({{42, 36}, {62, 45}}, b.metal(), 8);
        b.shape({{42, 22}, {60, 30}, {52, 39}}, b.hollow());
        b.arrow({60, 8}, {54, 32}, b.metal(), 3.4f);
        return;
    case Form::wobbly: { // jumps: where it is, and where it flies to
        const float up = 11 * level(b, p);
        b.dashes({2, 26}, {98, 68}, b.quiet(), 3, 5);
        b.pipe({{2, 18 - up}, {98, 62 - up}}, 8, b.pale());
        b.arrow({30, 56}, {30, 42}, b.metal(), 3.2f);
        b.arrow({76, 20}, {76, 36}, b.metal(), 3.2f);
        return;
    }
    default:
        b.pipe({{2, 18}, {98, 62}}, 8, b.pale());
        if (p.form == Form::wet) {
            const float much = level(b, p);
            b.stream({50, 34}, {54, 4}, {84, 20}, much, 5);
            b.stream({50, 34}, {46, 2}, {28, 12}, much, 5);
            b.jet({50, 34}, {56, 4}, much, 5);
        }
        return;
    }
}

void line_pipe(const Brush& b, const Part& p) {
    hatch(b, 0, 78, 100, 34);
    if (p.form == Form::crushed) {
        b.pipe({{2, 62}, {36, 47}}, 8, b.pale());
        b.pipe({{62, 36}, {98, 20}}, 8, b.pale());
        b.line({{34, 48}, {64, 35}}, b.metal(), 6);
        b.box(38, 6, 62, 30, b.quiet(), 5); // what lies on it
        b.arrow({50, 24}, {50, 38}, b.metal(), 3.2f);
        return;
    }
    b.pipe({{2, 62}, {98, 20}}, 8, b.pale());
    flow_in(b, {4, 61}, {96, 21}, level(b, p) * 0.3f);
    switch (p.form) {
    case Form::patch:
        puddle(b, 62, 66);
        b.jet({54, 44}, {60, 62}, 1, 4);
        return;
    case Form::branch:
        b.pipe({{46, 42}, {46, 18}, {68, 10}}, 7, b.pale());
        b.stream({70, 10}, {80, 10}, {82, 22}, 1, 5);
        return;
    default:
        return;
    }
}

void profile(const Brush& b, const Part& p) {
    b.box(2, 66, 20, 78, b.metal(), 2); // pump
    b.box(11, 52, 20, 68, b.metal(), 4);
    const float tank_y = p.form == Form::high ? 40.0f : 12.0f;
    b.frame(80, tank_y, 98, tank_y + 20, b.metal(), 4);
    b.box(82, tank_y + 8, 96, tank_y + 18, b.water());
    switch (p.form) {
    case Form::hump:
        b.line({{20, 70}, {38, 44}, {48, 4}, {58, 4}, {66, 22}, {84, 10}}, b.water(), 6);
        b.bubble(53, 4, 5);
        return;
    case Form::high: // over a top that is higher than the tank
        b.line({{20, 70}, {36, 40}, {52, 8}, {62, 8}, {74, 30}, {84, 38}}, b.water(), 6);
        b.dashes({40, 4}, {98, 4}, b.quiet(), 2.4f, 4);
        b.arrow({92, 8}, {92, 34}, b.metal(), 3);
        return;
    case Form::sag:
        b.line({{20, 70}, {34, 44}, {44, 40}, {52, 66}, {60, 66}, {70, 24}, {84, 10}}, b.water(), 6);
        b.disc(56, 70, 5, b.earth());
        return;
    default:
        b.line({{20, 70}, {84, 10}}, b.water(), 6);
        return;
    }
}

void short_pipe(const Brush& b, const Part& p) {
    switch (p.form) {
    case Form::plastic: // thick light wall, a smooth sleeve
        b.line({{0, 40}, {100, 40}}, b.metal(), 34);
        b.line({{0, 40}, {100, 40}}, b.hollow(), 27);
        b.line({{0, 40}, {100, 40}}, b.metal(), 15);
        b.line({{0, 40}, {100, 40}}, b.pale(), 10);
        b.frame(38, 18, 62, 62, b.metal(), 3.4f, 3);
        return;
    case Form::hose: { // hangs in bows
        b.line({{0, 24}, {12, 34}, {26, 46}, {42, 52}, {56, 48}, {68, 36}, {80, 30}, {100, 40}}, b.metal(), 20);
        b.line({{0, 24}, {12, 34}, {26, 46}, {42, 52}, {56, 48}, {68, 36}, {80, 30}, {100, 40}}, b.hollow(), 13);
        return;
    }
    case Form::mixed: // steel at both ends, a ribbed hose between
        b.line({{0, 40}, {28, 40}}, b.metal(), 22);
        b.line({{72, 40}, {100, 40}}, b.metal(), 22);
        b.box(26, 24, 74, 56, b.metal(), 8);
        b.box(30, 28, 70, 52, b.hollow(), 6);
        for (const float x : {37.0f, 46.0f, 55.0f, 64.0f}) {
            b.line({{x, 28}, {x, 52}}, b.metal(), 2.6f);
        }
        b.box(22, 22, 30, 58, b.metal(), 1);
        b.box(70, 22, 78, 58, b.metal(), 1);
        return;
    case Form::steel: // dark, a threaded coupling, and a magnet that holds
        b.line({{0, 50}, {100, 50}}, b.metal(), 24);
        b.line({{0, 46}, {100, 46}}, b.quiet(), 4);
        b.box(36, 32, 64, 68, b.metal(), 2);
        for (const float x : {68.0f, 73.0f, 78.0f}) {
            b.line({{x, 40}, {x - 3, 60}}, b.hollow(), 2.2f);
        }
        b.arc(18, 20, 10, 180, 360, b.metal(), 7);
        b.line({{8, 20}, {8, 30}}, b.metal(), 7);
        b.line({{28, 20}, {28, 30}}, b.metal(), 7);
        b.line({{8, 32}, {8, 37}}, b.water(), 7); // its poles
        b.line({{28, 32}, {28, 37}}, b.water(), 7);
        return;
    default:
        b.pipe({{0, 40}, {100, 40}}, 13, b.hollow());
        flow_in(b, {2, 40}, {98, 40}, level(b, p));
        return;
    }
}

void lever_valve(const Brush& b, const Part& p) {
    b.pipe({{0, 46}, {100, 46}}, 13, b.pale());
    if (p.form == Form::missing) {
        b.dashes({50, 22}, {50, 70}, b.quiet(), 3, 4);
        b.cross(50, 18, 13, b.metal());
        return;
    }
    // A ball in its body: the bore through it turns with the lever.
    const float open = level(b, p), angle = (1.0f - open) * 1.5708f;
    b.disc(50, 46, 22, b.metal());
    const float dx = std::cos(angle), dy = std::sin(angle);
    b.line({{50 - 13 * dx, 46 - 13 * dy}, {50 + 13 * dx, 46 + 13 * dy}}, b.hollow(), 11);
    b.line({{50, 46}, {50 + 44 * dx, 46 - 44 * dy}}, b.metal(), 7);
    b.line({{50 + 24 * dx, 46 - 24 * dy}, {50 + 43 * dx, 46 - 43 * dy}}, b.palette.watch, 3.6f);
    b.disc(50, 46, 6, b.metal());
}

void pipe_shape(const Brush& b, const Part& p) {
    // The same fall each time: level above, pump below; the pipe between.
    const float run = p.form == Form::shorter ? 24.0f : p.form == Form::longer ? 92.0f : 56.0f;
    const float bore = p.form == Form::large ? 18.0f : p.form == Form::small ? 3.2f : 8.0f;
    b.dashes({0, 12}, {100, 12}, b.quiet(), 2.4f, 4);
    b.dashes({0, 68}, {100, 68}, b.quiet(), 2.4f, 4);
    b.pipe({{4, 18}, {4 + run, 62}}, bore, b.pale());
    b.box(run, 54, run + 10, 72, b.metal(), 2);
}

void hand(const Brush& b, const Part& p) {
    (void)p;
    // The back of a flat hand, seen from the side: wrist at the right, fingers along the pipe.
    const kit::Colour skin = b.hollow();
    b.line({{30, 22}, {66, 20}, {100, 2}}, b.metal(), 19);
    b.line({{30, 22}, {66, 20}, {100, 2}}, skin, 13);
    b.line({{56, 14}, {46, 6}}, b.metal(), 11); // thumb
    b.line({{56, 14}, {46, 6}}, skin, 5.5f);
    b.line({{33, 22}, {54, 22}}, b.metal(), 2.2f);
}

void pulse_marks(const Brush& b, const Part& p) {
    const float much = level(b, p);
    switch (p.form) {
    case Form::hard: // a blow
        for (const ImVec2& d : {ImVec2{-1, -0.5f}, ImVec2{-0.5f, -1}, ImVec2{-1, 0.4f}, ImVec2{0.2f, -1.1f}}) {
            const float far = 9 + 9 * much;
            b.line({{20 + d.x * 6, 20 + d.y * 6}, {20 + d.x * far, 20 + d.y * far}}, b.metal(), 5);
        }
        return;
    case Form::soft:
        b.arc(26, 22, 10 + 3 * much, 170, 260, b.metal(), 3);
        b.arc(26, 22, 18 + 3 * much, 175, 255, b.metal(), 3);
        return;
    case Form::none:
        b.line({{4, 16}, {18, 16}}, b.metal(), 3.4f);
        return;
    default: // runs on evenly
        b.arrow({2, 12}, {24, 12}, b.metal(), 3);
        return;
    }
}

void spout(const Brush& b, const Part& p) {
    const float much = level(b, p);
    b.box(0, 14, 46, 34, b.metal());
    b.box(0, 18, 46, 30, b.pale());
    b.box(40, 11, 48, 37, b.metal());
    if (p.form == Form::air) { // broken up by air
        for (const float x : {0.0f, 1.0f, 2.0f}) {
            const float t = std::fmod(x / 3.0f + b.seconds * 0.5f, 1.0f);
            b.disc(54 + 26 * t, 24 + 40 * t * t, 5.5f, b.water());
            b.bubble(58 + 32 * t, 16 + 24 * t * t, 4);
        }
        return;
    }
    if (p.form == Form::broken) { // in spurts
        const float run = b.moving ? std::fmod(b.seconds / 1.5f, 1.0f) : 0.0f;
        const auto at = [](float t) { return ImVec2{46 + 36 * t, 24 + 54 * t * t}; };
        for (const float x : {0.0f, 1.0f, 2.0f}) {
            const float from = std::fmod(x / 3.0f + run, 1.0f), to = std::min(1.0f, from + 0.17f);
            b.line({at(from), at((from + to) / 2), at(to)}, b.water(), 11);
        }
        return;
    }
    if (p.form == Form::drips) {
        const float t = std::fmod(b.seconds * 0.7f, 1.0f);
        b.line({{47, 31}, {50, 35}}, b.water(), 4);
        b.drop(50, 40 + 34 * t, 4);
        b.drop(50, 40 + 34 * std::fmod(t + 0.5f, 1.0f), 4);
        return;
    }
    if (p.form == Form::large) {
        b.stream({46, 24}, {80, 22}, {96, 62}, much, 13);
        b.stream({46, 21}, {90, 12}, {100, 44}, much, 6);
        return;
    }
    b.stream({46, 25}, {46 + 30 * (0.3f + 0.7f * much), 25}, {48 + 34 * (0.25f + 0.75f * much), 78}, much, 11);
}

void vent(const Brush& b, const Part& p) {
    b.pipe({{0, 78}, {26, 56}, {50, 50}, {74, 56}, {100, 78}}, 10, b.pale());
    b.box(45, 30, 55, 48, b.metal());
    b.box(40, 24, 60, 31, b.metal(), 1);
    switch (p.form) {
    case Form::air: // puffs first, then water
        for (const float x : {0.0f, 1.0f, 2.0f}) {
            const float t = std::fmod(b.seconds * 0.45f + x / 3.0f, 1.0f);
            b.bubble(30 - 12 * t, 20 - 20 * t, 4.0f + 2.0f * t);
        }
        b.stream({60, 26}, {76, 10}, {86, 34}, 0.8f, 5);
        b.arrow({40, 6}, {58, 6}, b.metal(), 3);
        return;
    case Form::wet:
        b.stream({40, 26}, {20, 6}, {12, 40}, 1, 6);
        b.stream({60, 26}, {80, 6}, {88, 40}, 1, 6);
        return;
    default: // air goes in
        b.arrow({14, 8}, {36, 24}, b.metal(), 3.4f);
        b.arrow({86, 8}, {64, 24}, b.metal(), 3.4f);
        b.bubble(50, 50, 4.4f);
        b.bubble(38, 52, 3.6f);
        return;
    }
}

void height_bars(const Brush& b, const Part& p) {
    // One step of fall at the left, as many of them stacked at the right as the lift has.
    constexpr float one_fall = 3.2f;
    const float lift = level(b, p) * 22.5f * one_fall;
    b.line({{0, 77}, {100, 77}}, b.metal(), 3);
    b.box(10, 77 - one_fall, 36, 77, b.water());
    b.box(54, 77 - lift, 78, 77, b.metal());
    for (float y = 77 - 4 * one_fall; y > 77 - lift + 1.0f; y -= 4 * one_fall) {
        b.line({{54, y}, {78, y}}, b.hollow(), 2.2f);
    }
    b.arrow({92, 70}, {92, 77 - lift}, b.metal(), 3);
}

void person_height(const Brush& b, const Part& p) {
    // A grown person of 1.7 m for a scale.
    constexpr float metre = 26.0f, foot = 74;
    const float y = foot - level(b, p) * 2.7f * metre;
    b.line({{0, foot + 2}, {100, foot + 2}}, b.earth(), 3.2f);
    b.disc(82, foot - 1.58f * metre, 5, b.quiet());
    b.line({{82, foot - 1.3f * metre}, {82, foot - 0.75f * metre}}, b.quiet(), 8);
    b.line({{79, foot - 0.75f * metre}, {78, foot}}, b.quiet(), 4.4f);
    b.line({{85, foot - 0.75f * metre}, {86, foot}}, b.quiet(), 4.4f);
    b.box(0, y, 26, foot, b.pale());
    b.line({{0, y}, {26, y}}, b.water(), 4);
    b.line({{28, y - 3}, {28, foot}}, b.metal(), 4);
    b.dashes({28, y}, {98, y}, b.quiet(), 2.4f, 4);
    b.arrow({52, (y + foot) / 2}, {52, y}, b.metal(), 3.2f);
    b.arrow({52, (y + foot) / 2}, {52, foot}, b.metal(), 3.2f);
}

} // namespace beckhand::drawings
