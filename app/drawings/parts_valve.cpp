// The waste valve, near and cut open: the disc hangs under its seat when open and is drawn up against it when shut.
#include <algorithm>
#include <array>
#include <cmath>

#include "app/drawings/parts.h"

namespace beckhand::drawings {
namespace {

constexpr float seat_y = 33, shut_y = 38, open_y = 49; // under side of the seat; middle of the disc
constexpr float rim_y = 26;

float disc_y(const Brush& b, const Part& p) {
    return shut_y + (open_y - shut_y) * level_at(p.course, b.seconds);
}

/// The load on the stem, above the disc.
float load_y(float disc) { return disc - 36.0f; }

} // namespace

void valve(const Brush& b, const Part& p) {
    const float y = disc_y(b, p), lean = p.form == Form::tilted ? 5.0f : p.form == Form::wobbly ? 8.0f : 0.0f;
    b.box(0, 50, 100, 67, b.metal());
    b.box(0, 54, 100, 63, b.pale());
    b.box(26, rim_y, 74, 58, b.metal(), 3);
    b.box(31, seat_y, 69, 60, b.pale());
    b.box(41, rim_y - 1, 59, seat_y + 1, b.pale());
    if (p.form == Form::wobbly) { // where it leans to the other side
        b.line({{50 + lean, y - 32}, {50 - lean * 0.4f, y}}, b.quiet(), 2.2f);
        b.line({{50 - lean, y - 32}, {50 + lean * 0.4f, y}}, b.metal(), 4);
        b.line({{36, y - 3}, {64, y + 3}}, b.metal(), 5);
        b.box(42 - lean, load_y(y) - 1, 58 - lean, load_y(y) + 6, b.metal(), 1);
        return;
    }
    b.line({{50, y - 32}, {50, y}}, b.metal(), 4);
    b.line({{35, y + lean}, {65, y - lean}}, b.metal(), 5);
    b.box(42, load_y(y) - 1, 58, load_y(y) + 6, b.metal(), 1);
    if (p.form == Form::jammed) { // wedged by what lies on the disc
        b.line({{55, y - 9}, {68, y - 3}}, b.earth(), 6);
    }
}

void splash(const Brush& b, const Part& p) {
    const float much = level_at(p.course, b.seconds);
    if (much < 0.03f) {
        return;
    }
    const float reach = 0.45f + 0.55f * much;
    switch (p.form) {
    case Form::one_side:
        b.stream({60, rim_y + 2}, {84, rim_y - 26 * reach}, {96, rim_y + 32}, much, 10);
        b.stream({60, rim_y + 3}, {74, rim_y - 10 * reach}, {80, rim_y + 30}, much, 7);
        return;
    case Form::all_round: // thin and sharp, from the whole rim
        for (const float side : {-1.0f, 1.0f}) {
            b.jet({50 + side * 13, rim_y}, {50 + side * 46, rim_y - 14}, much, 4);
            b.jet({50 + side * 13, rim_y + 1}, {50 + side * 47, rim_y + 4}, much, 4);
            b.jet({50 + side * 11, rim_y - 1}, {50 + side * 30, rim_y - 25}, much, 4);
        }
        return;
    case Form::drips: {
        const float fall = std::fmod(b.seconds * 0.8f, 1.0f);
        b.drop(22, rim_y + 3 + 18 * fall, 3.2f);
        b.drop(79, rim_y + 3 + 18 * std::fmod(fall + 0.5f, 1.0f), 3.2f);
        b.line({{41, rim_y - 1}, {27, rim_y - 1}, {22, rim_y + 3}}, b.water(), 3);
        b.line({{59, rim_y - 1}, {73, rim_y - 1}, {79, rim_y + 3}}, b.water(), 3);
        return;
    }
    case Form::weak: // low, close to the body, without a throw
        for (const float side : {-1.0f, 1.0f}) {
            b.stream({50 + side * 9, rim_y + 2}, {50 + side * 29, rim_y - 3}, {50 + side * 31, 49}, much, 9);
        }
        return;
    case Form::large: // so much that it stands about the valve as a dome; to be drawn behind the valve
        b.shape({{2, 50}, {6, 32}, {18, 16}, {38, 7}, {62, 7}, {82, 16}, {94, 32}, {98, 50}}, b.water());
        for (const float side : {-1.0f, 1.0f}) {
            b.stream({50 + side * 6, 12}, {50 + side * 42, 10}, {50 + side * 43, 48}, much, 4);
            b.stream({50 + side * 4, 16}, {50 + side * 31, 14}, {50 + side * 32, 48}, much, 4);
        }
        return;
    case Form::sheet: // all over the rim, smooth and low
        for (const float side : {-1.0f, 1.0f}) {
            b.stream({50 + side * 7, rim_y + 1}, {50 + side * 40, rim_y - 12}, {50 + side * 37, 50}, much, 15);
        }
        return;
    default:
        for (const float side : {-1.0f, 1.0f}) {
            b.stream({50 + side * 6, rim_y + 2}, {50 + side * 32, rim_y - 34 * reach}, {50 + side * 44 * reach, 48}, much,
                     8);
            b.stream({50 + side * 6, rim_y + 3}, {50 + side * 22, rim_y - 10 * reach}, {50 + side * 29, 46}, much, 6);
        }
        return;
    }
}

void bubbles_out(const Brush& b, const Part& p) {
    const float much = level_at(p.course, b.seconds);
    const int n = static_cast<int>(std::lround(much * 5.0f));
    const ImVec2 places[] = {{14, 30}, {24, 12}, {84, 28}, {76, 10}, {90, 44}};
    for (int i = 0; i < n; ++i) {
        const float rise = std::fmod(b.seconds * 7.0f + static_cast<float>(i) * 3.0f, 9.0f);
        b.bubble(places[i].x, places[i].y - rise + 4, i % 2 == 0 ? 5.0f : 3.8f);
    }
}

void stick(const Brush& b, const Part& p) {
    if (p.form == Form::away) {
        b.line({{74, 7}, {99, 1}}, b.earth(), 5);
        return;
    }
    const float head = load_y(disc_y(b, p)) + 1;
    b.line({{56, head + 1}, {99, head + 7}}, b.earth(), 5.5f);
    // The fist around its end.
    b.box(78, head - 5, 96, head + 13, b.metal(), 6);
    b.box(81.5f, head - 1.5f, 92.5f, head + 9.5f, b.hollow(), 3.5f);
    b.line({{81, head + 2}, {90, head + 2}}, b.metal(), 2.4f);
    b.line({{81, head + 6}, {90, head + 6}}, b.metal(), 2.4f);
}

void kick(const Brush& b, const Part& p) {
    switch (p.form) {
    case Form::hard:
        b.arrow({16, 47}, {16, 2}, b.metal(), 8);
        b.line({{27, 8}, {33, 3}}, b.metal(), 3.4f);
        b.line({{27, 17}, {35, 17}}, b.metal(), 3.4f);
        b.line({{5, 8}, {0, 4}}, b.metal(), 3.4f);
        return;
    case Form::soft: // gives like a spring
        b.line({{12, 48}, {20, 44}, {4, 38}, {20, 32}, {4, 26}, {20, 20}, {12, 16}}, b.metal(), 3.4f);
        b.arrow({12, 18}, {12, 2}, b.metal(), 3.4f);
        return;
    case Form::weak:
        b.arrow({12, 46}, {12, 32}, b.metal(), 3.2f);
        return;
    default:
        b.line({{4, 46}, {20, 46}}, b.metal(), 3.6f);
        return;
    }
}

void tail_water(const Brush& b, const Part& p) {
    const float y = 72 - 66 * level_at(p.course, b.seconds);
    const float wave = std::sin(b.seconds * 4.2f) * 1.0f;
    b.box(0, y, 100, 80, b.pale());
    std::array<ImVec2, 9> top;
    for (std::size_t i = 0; i < top.size(); ++i) {
        top[i] = {12.5f * static_cast<float>(i), y + (i % 2 == 0 ? 1.4f + wave : -1.4f - wave)};
    }
    b.line(Points(top), b.water(), 4.4f);
}

void face(const Brush& b, const Part& p) {
    // The seat below, a ring cut through; the rubber over it, held by its washer and stem.
    b.box(4, 52, 34, 72, b.metal());
    b.box(66, 52, 96, 72, b.metal());
    b.box(34, 58, 66, 72, b.pale());
    const float lean = p.form == Form::tilted ? 9.0f : 0.0f;
    const float lift = p.form == Form::debris ? 10.0f : p.form == Form::tilted ? 8.0f : 0.0f;
    const auto at = [lean, lift](float x, float y) {
        return ImVec2{x, y - lift + lean * (x - 50.0f) / 42.0f};
    };
    if (p.form == Form::swollen) {
        b.box(8, 28, 92, 52, b.quiet(), 12);
        b.arc(24, 40, 20, 130, 230, b.metal(), 3);
        b.arc(76, 40, 20, -50, 50, b.metal(), 3);
    } else {
        b.shape({at(12, 38), at(88, 38), at(88, 51), at(12, 51)}, b.quiet());
    }
    b.line({at(28, 33), at(72, 33)}, b.metal(), 6);
    b.line({at(50, 6), at(50, 33)}, b.metal(), 7);
    b.line({at(41, 22), at(59, 22)}, b.metal(), 7);
    switch (p.form) {
    case Form::grooved: // worn in over the edges of the seat, one side split
        b.shape({{27, 52}, {34, 43}, {41, 52}}, b.hollow());
        b.shape({{59, 52}, {66, 43}, {73, 52}}, b.hollow());
        b.line({{80, 37}, {84, 43}, {80, 47}, {84, 53}}, b.hollow(), 4);
        return;
    case Form::cracked: // hard: straight fine cracks and a shine
        for (const float x : {18.0f, 33.0f, 63.0f, 82.0f}) {
            b.line({{x, 38}, {x + 3, 52}}, b.hollow(), 2.6f);
        }
        b.line({{82, 30}, {96, 18}}, b.metal(), 3);
        b.line({{90, 32}, {98, 27}}, b.metal(), 3);
        b.line({{78, 26}, {84, 16}}, b.metal(), 3);
        return;
    case Form::debris:
        b.line({{14, 46}, {44, 49}}, b.earth(), 6);
        b.line({{24, 46}, {18, 51}}, b.earth(), 4);
        b.disc(74, 47, 5, b.earth());
        b.disc(84, 48, 4, b.earth());
        return;
    default:
        return;
    }
}

void stroke_marks(const Brush& b, const Part& p) {
    // Stem with its load and nut over the guide; at the left how far it may travel, at the right how far it does.
    const float travel = p.form == Form::longer ? 36.0f : p.form == Form::shorter ? 12.0f : 24.0f;
    const float load = p.form == Form::longer ? 20.0f : p.form == Form::shorter ? 8.0f : 14.0f;
    const float guide = 68, stop = guide - travel;
    b.box(22, guide, 78, guide + 10, b.metal(), 2);
    b.line({{50, 4}, {50, guide}}, b.metal(), 6);
    if (p.form == Form::missing) {
        b.dashes({32, stop - load}, {68, stop - load}, b.quiet(), 3, 4);
        b.dashes({32, stop}, {68, stop}, b.quiet(), 3, 4);
        b.dashes({32, stop - load}, {32, stop}, b.quiet(), 3, 4);
        b.dashes({68, stop - load}, {68, stop}, b.quiet(), 3, 4);
    } else {
        b.box(32, stop - load, 68, stop, b.metal(), 1);
        const float nut = p.form == Form::loose ? 4.0f : stop - load - 9; // loose: run up the thread
        b.box(41, nut, 59, nut + 7, b.metal(), 1);
    }
    if (p.form == Form::loose) {
        b.arrow({70, 26}, {70, 8}, b.metal(), 3.2f);
        b.arrow({30, 8}, {30, 26}, b.metal(), 3.2f);
    }
    // The marks of the record, and the gap as it is.
    b.line({{2, guide - 1}, {18, guide - 1}}, b.metal(), 3.2f);
    b.line({{2, guide - 24}, {18, guide - 24}}, b.metal(), 3.2f);
    b.line({{10, guide - 1}, {10, guide - 24}}, b.metal(), 3.2f);
    b.arrow({88, guide - travel / 2}, {88, guide}, b.metal(), 3);
    b.arrow({88, guide - travel / 2}, {88, guide - travel}, b.metal(), 3);
}

} // namespace beckhand::drawings
