// The pump but for its waste valve: air vessel, snifter, gauge, joints, base.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "app/drawings/parts.h"

namespace beckhand::drawings {
namespace {

float level(const Brush& b, const Part& p) { return level_at(p.course, b.seconds); }

/// Dial over three quarters of a circle, from the lower left clockwise.
constexpr float dial_x = 50, dial_y = 36, dial_r = 31;
float dial_degrees(float share) { return 140.0f + 260.0f * share; }
ImVec2 on_dial(float share, float r) {
    const float angle = dial_degrees(share) * std::numbers::pi_v<float> / 180.0f;
    return {dial_x + r * std::cos(angle), dial_y + r * std::sin(angle)};
}

} // namespace

void pump(const Brush& b, const Part& p) {
    const float open = level(b, p);
    b.box(0, 54, 78, 70, b.metal(), 3);
    b.box(0, 58, 74, 66, b.pale());
    b.box(18, 42, 40, 56, b.metal(), 1); // waste valve
    b.box(25, 41, 33, 57, b.pale());
    b.line({{29, 20 + 7 * open}, {29, 46 + 7 * open}}, b.metal(), 3.4f);
    b.line({{22, 21 + 7 * open}, {36, 21 + 7 * open}}, b.metal(), 5);
    b.box(50, 8, 78, 56, b.metal(), 13); // vessel
    b.box(54, 12, 74, 52, b.hollow(), 10);
    b.box(54, 36, 74, 54, b.pale());
    b.box(76, 40, 100, 51, b.metal()); // delivery
    b.box(74, 43, 100, 48, b.pale());
}

void vessel(const Brush& b, const Part& p) {
    const float water = 72 - 60 * level(b, p);
    b.box(26, 2, 74, 78, b.metal(), 18);
    b.box(32, 8, 68, 73, b.hollow(), 13);
    if (water < 71.5f) {
        b.box(32, std::max(water, 20.0f), 68, 73, b.pale(), 4);
        if (water < 20.0f) {
            b.box(34, std::max(water, 9.0f), 66, 26, b.pale(), 11);
        }
        if (water > 10.0f) {
            b.line({{32, water}, {68, water}}, b.water(), 3.4f);
        }
    }
    b.box(18, 74, 82, 80, b.metal(), 1);
}

void knock_rings(const Brush& b, const Part& p) {
    // The handle that taps, and what is heard: wide rings for hollow, a short blunt one for dull.
    const float beat = std::fmod(b.seconds, 1.0f);
    const float away = beat < 0.3f ? beat * 12.0f : 3.6f * (1.0f - (beat - 0.3f) / 0.7f);
    b.line({{80 + away, 40}, {99, 30}}, b.earth(), 6);
    if (p.form == Form::hollow) {
        for (const float r : {10.0f, 18.0f, 26.0f}) {
            b.arc(30, 40, r, 125, 235, b.metal(), 3);
        }
    } else {
        b.line({{14, 34}, {14, 46}}, b.metal(), 7);
    }
}

void vessel_skin(const Brush& b, const Part& p) {
    const float grown = level(b, p);
    b.box(26, 6, 74, 74, b.quiet(), 22);
    b.box(18, 72, 82, 79, b.metal(), 1);
    b.line({{38, 24}, {38, 56}}, b.hollow(), 3.6f); // a shine
    switch (p.form) {
    case Form::bubbles: {
        const ImVec2 places[] = {{50, 10}, {62, 13}, {41, 15}, {70, 21}, {55, 1}, {66, 5}};
        int i = 0;
        for (const ImVec2& at : places) {
            b.bubble(at.x, at.y + 3, (3.0f + 4.0f * grown) * (i++ % 2 == 0 ? 1.0f : 0.75f));
        }
        return;
    }
    case Form::cracked:
        b.line({{66, 22}, {60, 31}, {68, 38}, {61, 46}, {66, 54}}, b.hollow(), 4.4f);
        b.jet({66, 32}, {98, 16}, grown, 5);
        b.jet({67, 37}, {99, 34}, grown, 5);
        b.jet({66, 42}, {97, 53}, grown, 5);
        return;
    case Form::rust:
        for (const ImVec2& at : {ImVec2{56, 22}, ImVec2{66, 33}, ImVec2{52, 42}, ImVec2{64, 54}, ImVec2{49, 61}}) {
            b.disc(at.x, at.y, 6.5f, b.hollow());
            b.disc(at.x, at.y, 4.4f, b.earth());
        }
        b.line({{73, 30}, {79, 33}, {73, 38}}, b.metal(), 3);
        return;
    default:
        return;
    }
}

void snifter(const Brush& b, const Part& p) {
    // The wall of the pump, water behind it at the left, the hole in its middle.
    b.box(0, 0, 38, 68, b.pale());
    b.box(38, 0, 54, 68, b.metal());
    if (p.form == Form::missing) {
        b.dashes({62, 26}, {86, 26}, b.quiet(), 3, 4);
        b.dashes({62, 42}, {86, 42}, b.quiet(), 3, 4);
        b.cross(74, 34, 13, b.metal());
        return;
    }
    b.box(36, 30, 55, 38, b.pale());
    if (p.form == Form::none) {
        return;
    }
    if (p.form == Form::drips) {
        const float fall = std::fmod(b.seconds * 0.8f, 1.0f);
        b.line({{54, 35}, {58, 38}, {58, 46}}, b.water(), 3.6f);
        b.drop(59, 46 + 18 * fall, 3.6f);
        b.drop(59, 46 + 18 * std::fmod(fall + 0.5f, 1.0f), 3.6f);
        return;
    }
    if (p.form == Form::both && !b.moving) { // both of its strokes
        b.arrow({94, 22}, {60, 31}, b.metal(), 3.2f);
        b.bubble(26, 26, 4);
        b.jet({55, 36}, {74, 50}, 1, 4.4f);
        return;
    }
    const float now = level(b, p);
    if (p.form == Form::large) {
        b.stream({54, 34}, {84, 26}, {99, 44}, 0.5f + 0.5f * now, 10);
        b.stream({54, 34}, {78, 30}, {92, 56}, 0.4f + 0.6f * now, 6);
        return;
    }
    if (now > 0.6f) { // a small squirt
        b.jet({55, 34}, {70, 40}, now, 4);
    } else if (now < 0.4f) { // air goes in
        b.arrow({92, 34}, {60, 34}, b.metal(), 3.2f);
        b.bubble(28, 30, 4);
        b.bubble(17, 24, 3.4f);
    }
}

void gauge(const Brush& b, const Part& p) {
    b.box(44, 64, 56, 80, b.metal());
    b.disc(dial_x, dial_y, dial_r + 4, b.metal());
    b.disc(dial_x, dial_y, dial_r, b.hollow());
    for (int i = 0; i <= 5; ++i) {
        const float share = static_cast<float>(i) / 5.0f;
        b.line({on_dial(share, 24), on_dial(share, 28)}, b.quiet(), 2.4f);
    }
    const ImVec2 tip = on_dial(level(b, p), 23);
    b.line({{dial_x, dial_y}, tip}, b.metal(), 4.4f);
    b.disc(dial_x, dial_y, 5, b.metal());
}

void gauge_mark(const Brush& b, const Part& p) {
    // A wedge that points at the rim from outside.
    const float share = level(b, p);
    const ImVec2 tip = on_dial(share, 27), left = on_dial(share - 0.06f, 44), right = on_dial(share + 0.06f, 44);
    b.shape({tip, left, right}, b.hollow());
    b.shape({on_dial(share, 31), on_dial(share - 0.045f, 43), on_dial(share + 0.045f, 43)}, b.water());
    b.line({on_dial(share, 19), on_dial(share, 30)}, b.water(), 3.6f);
}

void gauge_swing(const Brush& b, const Part& p) {
    if (p.course.size() < 2) {
        return;
    }
    const float from = static_cast<float>(p.course[0] - '0') / 9.0f, to = static_cast<float>(p.course[1] - '0') / 9.0f;
    b.arc(dial_x, dial_y, 17, dial_degrees(std::min(from, to)), dial_degrees(std::max(from, to)), b.water(), 5);
    const float before = from + (to - from) * 0.75f;
    if (p.form != Form::both) {
        b.arrow(on_dial(before, 16), on_dial(to, 15), b.water(), 3.2f);
        return;
    }
    b.arrow(on_dial(before, 17), on_dial(to, 16), b.water(), 3);
    b.arrow(on_dial(to + (from - to) * 0.75f, 17), on_dial(from, 16), b.water(), 3);
}

void flange(const Brush& b, const Part& p) {
    b.pipe({{0, 34}, {100, 34}}, 18, b.pale());
    for (const float x : {37.0f, 52.0f}) {
        b.box(x, 8, x + 11, 60, b.metal(), 1);
    }
    for (const float y : {14.0f, 54.0f}) {
        b.line({{31, y}, {69, y}}, b.metal(), 5);
    }
    const float much = level(b, p);
    if (p.form == Form::drips) {
        const float fall = std::fmod(b.seconds * 0.7f, 1.0f);
        b.line({{50, 57}, {50, 61}}, b.water(), 5);
        b.drop(50, 63 + 14 * fall, 3.6f);
    } else if (p.form == Form::wet) {
        b.jet({50, 9}, {26, -6}, much, 5);
        b.jet({50, 9}, {74, -6}, much, 5);
        b.jet({50, 58}, {22, 76}, much, 5);
        b.jet({50, 58}, {78, 76}, much, 5);
        b.jet({50, 58}, {50, 79}, much, 5);
    }
}

void ground_block(const Brush& b, const Part& p) {
    const float lean = (level(b, p) - 0.5f) * (p.form == Form::wobbly ? 16.0f : 0.0f);
    const auto at = [lean](float x, float y) { return ImVec2{x, y + lean * (x - 50.0f) / 40.0f}; };
    b.box(0, 70, 100, 80, b.earth());
    b.shape({at(12, 52), at(88, 52), at(88, 66), at(12, 66)}, b.metal());
    if (p.form == Form::wobbly) {
        b.shape({{40, 70}, {50, 63}, {60, 70}}, b.earth());
        b.arc(50, 60, 46, 160, 186, b.metal(), 3.2f);
        b.arc(50, 60, 46, -6, 20, b.metal(), 3.2f);
    }
    const float up = p.form == Form::loose ? 11.0f : 0.0f;
    for (const float x : {20.0f, 80.0f}) { // its bolts
        const ImVec2 foot = at(x, 52), head = at(x, 46 - up);
        b.line({foot, head}, b.metal(), 4);
        b.line({{head.x - 6, head.y}, {head.x + 6, head.y}}, b.metal(), 5.4f);
    }
    if (p.form == Form::loose) {
        b.arrow({34, 46}, {34, 28}, b.metal(), 3);
        b.arrow({66, 46}, {66, 28}, b.metal(), 3);
    }
    // A boot set lightly on it.
    const float y = at(50, 51).y;
    b.box(42, y - 40, 56, y - 8, b.quiet(), 3);
    b.box(42, y - 14, 72, y - 1, b.quiet(), 5);
    b.line({{41, y - 1}, {73, y - 1}}, b.metal(), 3.4f);
}

void pipe_ring(const Brush& b, const Part& p) {
    b.disc(50, 40, 38, b.metal());
    b.disc(50, 40, 31, b.hollow());
    switch (p.form) {
    case Form::lime: // a thick rough crust all round
        for (int i = 0; i < 16; ++i) {
            const float angle = static_cast<float>(i) * std::numbers::pi_v<float> / 8.0f;
            const float r = i % 2 == 0 ? 25.0f : 22.0f;
            b.disc(50 + r * std::cos(angle), 40 + r * std::sin(angle), i % 2 == 0 ? 7.5f : 6.0f, b.earth());
        }
        return;
    case Form::rust: // flakes standing off, some fallen
        for (const ImVec2& at : {ImVec2{24, 32}, ImVec2{38, 15}, ImVec2{63, 16}, ImVec2{76, 40}, ImVec2{30, 56}}) {
            b.shape({{at.x - 6, at.y + 2}, {at.x + 2, at.y - 6}, {at.x + 8, at.y + 4}}, b.earth());
        }
        for (const ImVec2& at : {ImVec2{44, 62}, ImVec2{54, 64}, ImVec2{63, 60}, ImVec2{50, 50}}) {
            b.shape({{at.x - 5, at.y + 2}, {at.x, at.y - 4}, {at.x + 6, at.y + 2}}, b.earth());
        }
        return;
    case Form::slime: { // hangs in threads; a snail
        for (const float x : {30.0f, 40.0f, 50.0f, 60.0f, 70.0f}) {
            const float top = 40 - std::sqrt(std::max(0.0f, 31.0f * 31.0f - (x - 50) * (x - 50)));
            b.line({{x, top}, {x + 2, top + 7}, {x - 1, top + 14}}, b.earth(), 4);
        }
        b.ring(52, 54, 7, b.metal(), 3);
        b.ring(52, 54, 2.6f, b.metal(), 2.6f);
        b.line({{44, 63}, {66, 63}, {69, 54}}, b.metal(), 3.4f);
        return;
    }
    default:
        b.arc(50, 40, 24, 200, 250, b.quiet(), 3);
        return;
    }
}

void bladder(const Brush& b, const Part& p) {
    b.box(22, 2, 78, 78, b.metal(), 20);
    b.box(28, 8, 72, 73, b.hollow(), 15);
    b.box(28, 52, 72, 73, b.pale(), 4);
    if (p.form == Form::missing) { // plain air over water, and no bag in it
        b.dashes({38, 20}, {62, 20}, b.quiet(), 3, 4);
        b.dashes({38, 20}, {38, 44}, b.quiet(), 3, 4);
        b.dashes({62, 20}, {62, 44}, b.quiet(), 3, 4);
        b.dashes({38, 44}, {62, 44}, b.quiet(), 3, 4);
        b.cross(50, 32, 16, b.metal());
        return;
    }
    b.frame(36, 12, 64, 50, b.metal(), 3.4f, 12);
    if (p.form == Form::wet) {
        b.box(39, 32, 61, 48, b.water(), 6);
        b.jet({50, 4}, {30, -8}, 1, 5);
    }
}

} // namespace beckhand::drawings
