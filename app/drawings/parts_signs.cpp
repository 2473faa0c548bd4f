// Signs beside what is drawn: a course as a strip or a line, sound, time, weather, people and animals.
#include <algorithm>
#include <array>
#include <cmath>

#include "app/drawings/parts.h"

namespace beckhand::drawings {
namespace {

float level(const Brush& b, const Part& p) { return level_at(p.course, b.seconds); }

float step_of(std::string_view course, int step) {
    return course.empty() ? 1.0f : static_cast<float>(course[static_cast<std::size_t>(step) % course.size()] - '0') / 9.0f;
}

/// From step to step of a turn, across the strip.
float across(float step) { return 3.0f + 94.0f * step / static_cast<float>(steps_a_turn); }

} // namespace

void trace(const Brush& b, const Part& p) {
    constexpr float foot = 79;
    const float tall = p.form == Form::large ? 15.0f : 11.0f;
    for (int step = 0; step < steps_a_turn;) {
        int until = step + 1;
        while (until < steps_a_turn && step_of(p.course, until) == step_of(p.course, step)) {
            ++until;
        }
        const float height = tall * step_of(p.course, step);
        if (height > 0.5f) {
            b.box(across(static_cast<float>(step)), foot - height, across(static_cast<float>(until)) - 0.3f, foot, b.water());
        }
        step = until;
    }
    b.line({{2, foot}, {98, foot}}, b.metal(), 2.4f);
    if (b.moving) {
        b.disc(across(std::fmod(b.seconds / seconds_a_step, static_cast<float>(steps_a_turn))), foot, 3.4f, b.metal());
    }
}

void graph(const Brush& b, const Part& p) {
    constexpr float foot = 72, tall = 58;
    b.line({{6, 4}, {6, foot + 2}, {98, foot + 2}}, b.metal(), 3);
    constexpr int long_stay = 5; // steps: a level is held, not passed through
    std::array<ImVec2, steps_a_turn + 2> points;
    std::size_t n = 0;
    const auto add = [&](float step, float level) {
        points[n++] = {9 + 87 * step / (steps_a_turn - 1), foot - 2 - tall * level};
    };
    for (int step = 0; step < steps_a_turn;) {
        int until = step;
        while (until + 1 < steps_a_turn && step_of(p.course, until + 1) == step_of(p.course, step)) {
            ++until;
        }
        const float level = step_of(p.course, step);
        const bool held = until - step + 1 >= long_stay || step == 0 || until == steps_a_turn - 1;
        if (held) {
            add(static_cast<float>(step), level);
            add(static_cast<float>(until), level);
        } else {
            add(static_cast<float>(step + until) / 2, level);
        }
        step = until + 1;
    }
    b.line(Points(points.data(), n), b.water(), 5.4f);
    if (b.moving) { // a hand that goes through the time
        const float now = 9 + 87 * std::fmod(b.seconds, seconds_a_turn) / seconds_a_turn;
        b.shape({{now, foot - 6}, {now + 5, foot + 3}, {now - 5, foot + 3}}, b.metal());
    }
}

void sound(const Brush& b, const Part& p) {
    constexpr float middle = 60, tall = 17;
    b.line({{2, middle}, {98, middle}}, b.metal(), 2.4f);
    for (int step = 0; step < steps_a_turn; ++step) {
        const float loud = tall * step_of(p.course, step), x = across(static_cast<float>(step) + 0.5f);
        if (loud > 1.0f) {
            b.line({{x, middle - loud}, {x, middle + loud}}, b.metal(), 3.2f);
        }
    }
}

void heard(const Brush& b, const Part& p) {
    const float loud = level(b, p);
    if (p.form == Form::hard) { // sharp: spikes
        for (const ImVec2& d : {ImVec2{-1, 0}, ImVec2{-0.7f, -0.7f}, ImVec2{0, -1}, ImVec2{0.7f, -0.7f}, ImVec2{1, 0}}) {
            b.line({{50 + d.x * 10, 40 + d.y * 10}, {50 + d.x * (18 + 10 * loud), 40 + d.y * (18 + 10 * loud)}}, b.metal(),
                   3.6f);
        }
        return;
    }
    if (p.form == Form::soft) {
        b.arc(50, 44, 14, 205, 335, b.metal(), 8);
        return;
    }
    for (const float r : {12.0f, 20.0f, 28.0f}) {
        if (r < 14.0f + 18.0f * loud) {
            b.arc(50, 44, r, 215, 325, b.metal(), 3.4f);
        }
    }
}

void clock(const Brush& b, const Part& p) {
    const float share = level(b, p);
    b.disc(50, 40, 34, b.metal());
    b.disc(50, 40, 29, b.hollow());
    if (share > 0.98f) {
        b.disc(50, 40, 24, b.water());
    } else if (share > 0.005f) {
        b.ink.PathLineTo(b.at(50, 40));
        b.ink.PathArcTo(b.at(50, 40), 24 * b.unit, -1.5708f, -1.5708f + 6.2832f * std::min(share, 0.5f), 20);
        b.ink.PathFillConvex(IM_COL32(b.water().r, b.water().g, b.water().b, 255));
    }
    b.line({{50, 18}, {50, 40}}, b.metal(), 4);
    const float angle = -1.5708f + 6.2832f * share;
    b.line({{50, 40}, {50 + 20 * std::cos(angle), 40 + 20 * std::sin(angle)}}, b.metal(), 4);
}

void page(const Brush& b, const Part& p) {
    (void)p;
    b.box(20, 6, 80, 76, b.metal(), 2);
    b.box(25, 11, 75, 71, b.hollow(), 1);
    for (const float y : {26.0f, 40.0f, 54.0f}) {
        b.line({{34, y}, {66, y}}, b.metal(), 4);
    }
}

void arrow(const Brush& b, const Part& p) {
    switch (p.form) {
    case Form::left:
        return b.arrow({78, 40}, {22, 40}, b.metal(), 6);
    case Form::up:
        return b.arrow({50, 66}, {50, 14}, b.metal(), 6);
    case Form::down:
        return b.arrow({50, 14}, {50, 66}, b.metal(), 6);
    case Form::both:
        b.arrow({50, 40}, {50, 76}, b.metal(), 7);
        return b.arrow({50, 40}, {50, 4}, b.metal(), 7);
    case Form::sticky: // stops on its way
        b.line({{50, 76}, {50, 48}}, b.metal(), 7);
        b.line({{30, 48}, {70, 48}}, b.metal(), 9);
        b.line({{30, 36}, {70, 36}}, b.metal(), 9);
        return b.arrow({50, 36}, {50, 4}, b.metal(), 7);
    default:
        return b.arrow({22, 40}, {78, 40}, b.metal(), 6);
    }
}

void cross(const Brush& b, const Part& p) {
    (void)p;
    b.line({{26, 16}, {74, 64}}, b.hollow(), 15);
    b.line({{26, 64}, {74, 16}}, b.hollow(), 15);
    b.line({{26, 16}, {74, 64}}, b.metal(), 8);
    b.line({{26, 64}, {74, 16}}, b.metal(), 8);
}

void tick(const Brush& b, const Part& p) {
    (void)p;
    b.line({{22, 42}, {42, 62}, {80, 16}}, b.hollow(), 16);
    b.line({{22, 42}, {42, 62}, {80, 16}}, b.metal(), 9);
}

void asked(const Brush& b, const Part& p) {
    (void)p;
    b.arc(50, 26, 17, 180, 395, b.metal(), 8);
    b.line({{63, 36}, {50, 47}, {50, 56}}, b.metal(), 8);
    b.disc(50, 71, 5.5f, b.metal());
}

void snow(const Brush& b, const Part& p) {
    (void)p;
    for (const ImVec2& d : {ImVec2{1, 0}, ImVec2{0.5f, 0.87f}, ImVec2{0.5f, -0.87f}}) {
        b.line({{50 - 34 * d.x, 40 - 34 * d.y}, {50 + 34 * d.x, 40 + 34 * d.y}}, b.metal(), 5);
        for (const float side : {-1.0f, 1.0f}) { // its barbs
            const ImVec2 at{50 + side * 22 * d.x, 40 + side * 22 * d.y};
            b.line({{at.x + 11 * (side * d.x * 0.6f - d.y * 0.8f), at.y + 11 * (side * d.y * 0.6f + d.x * 0.8f)}, at,
                    {at.x + 11 * (side * d.x * 0.6f + d.y * 0.8f), at.y + 11 * (side * d.y * 0.6f - d.x * 0.8f)}},
                   b.metal(), 4);
        }
    }
}

void rain(const Brush& b, const Part& p) {
    (void)p;
    for (const ImVec2& at : {ImVec2{32, 26}, ImVec2{52, 18}, ImVec2{70, 27}}) {
        b.disc(at.x, at.y, 15, b.quiet());
    }
    b.box(20, 24, 82, 42, b.quiet(), 8);
    const float fall = std::fmod(b.seconds * 10.0f, 6.0f);
    for (const float x : {28.0f, 42.0f, 56.0f, 70.0f}) {
        b.line({{x, 48 + fall}, {x - 7, 68 + fall}}, b.water(), 5);
    }
}

void sun(const Brush& b, const Part& p) {
    (void)p;
    b.disc(50, 40, 16, b.metal());
    b.disc(50, 40, 12, b.palette.watch);
    for (int i = 0; i < 8; ++i) {
        const float angle = static_cast<float>(i) * 0.7854f;
        b.line({{50 + 22 * std::cos(angle), 40 + 22 * std::sin(angle)}, {50 + 34 * std::cos(angle), 40 + 34 * std::sin(angle)}},
               b.metal(), 4.4f);
    }
}

void spanner(const Brush& b, const Part& p) {
    (void)p;
    b.line({{36, 50}, {74, 12}}, b.metal(), 10);
    b.arc(30, 56, 14, 0, 270, b.metal(), 9);
}

void spade(const Brush& b, const Part& p) {
    (void)p;
    b.line({{50, 6}, {50, 48}}, b.earth(), 6);
    b.line({{38, 6}, {62, 6}}, b.earth(), 6);
    b.shape({{34, 44}, {66, 44}, {66, 62}, {50, 78}, {34, 62}}, b.metal());
}

void animal(const Brush& b, const Part& p) {
    (void)p;
    // A beast of the pasture from the side: back, head with a horn, four legs.
    b.box(18, 22, 68, 50, b.metal(), 9);
    b.shape({{62, 20}, {76, 12}, {94, 24}, {92, 34}, {76, 36}, {64, 34}}, b.metal());
    b.line({{78, 14}, {84, 4}}, b.metal(), 4);
    for (const float x : {24.0f, 34.0f, 54.0f, 63.0f}) {
        b.line({{x, 46}, {x, 74}}, b.metal(), 6);
    }
    b.line({{19, 27}, {10, 36}, {10, 52}}, b.metal(), 3.4f);
}

void frog(const Brush& b, const Part& p) {
    (void)p;
    // From above, legs drawn in: unlike anything that belongs in a pump.
    b.line({{30, 50}, {12, 42}, {22, 62}, {8, 72}}, b.metal(), 6);
    b.line({{70, 50}, {88, 42}, {78, 62}, {92, 72}}, b.metal(), 6);
    b.disc(50, 50, 22, b.metal());
    b.disc(50, 32, 17, b.metal());
    for (const float x : {38.0f, 62.0f}) {
        b.disc(x, 19, 8, b.metal());
        b.disc(x, 19, 4, b.hollow());
    }
    b.arc(50, 30, 11, 30, 150, b.hollow(), 3);
}

void boot(const Brush& b, const Part& p) {
    (void)p;
    // The print of a sole: fore part and heel, with bars.
    b.box(34, 4, 66, 46, b.metal(), 14);
    b.box(38, 54, 62, 76, b.metal(), 8);
    for (const float y : {16.0f, 26.0f, 36.0f, 65.0f}) {
        b.line({{36, y}, {64, y}}, b.hollow(), 4);
    }
}

void person(const Brush& b, const Part& p) {
    (void)p;
    b.disc(50, 14, 11, b.metal());
    b.box(36, 28, 64, 58, b.metal(), 9);
    b.line({{44, 54}, {42, 76}}, b.metal(), 8);
    b.line({{56, 54}, {58, 76}}, b.metal(), 8);
}

void years(const Brush& b, const Part& p) {
    // Four years back from today, which is the arrow at the right.
    b.line({{8, 60}, {92, 60}}, b.metal(), 4);
    b.shape({{92, 51}, {100, 60}, {92, 69}}, b.metal());
    for (int year = 0; year <= 4; ++year) {
        const float x = 90 - 20 * static_cast<float>(year);
        b.line({{x, 52}, {x, 68}}, b.metal(), 3.4f);
    }
    if (p.form == Form::question) {
        return;
    }
    const float x = 90 - 80 * level(b, p);
    b.disc(x, 28, 17, b.metal()); // the rubber: a ring
    b.disc(x, 28, 6, b.hollow());
    b.line({{x, 46}, {x, 58}}, b.metal(), 3.4f);
}

void change(const Brush& b, const Part& p) {
    if (p.form != Form::up && p.form != Form::down) {
        b.box(18, 20, 82, 34, b.metal(), 2);
        return b.box(18, 46, 82, 60, b.metal(), 2);
    }
    const auto pointed = [&](float top, float foot) {
        if (p.form == Form::up) b.shape({{50, top}, {88, foot}, {12, foot}}, b.metal());
        else b.shape({{12, top}, {88, top}, {50, foot}}, b.metal());
    };
    if (level(b, p) < 0.9f) return pointed(18, 62);
    pointed(0, 38);
    pointed(42, 80);
}

void plus(const Brush& b, const Part& p) {
    (void)p;
    b.line({{50, 14}, {50, 66}}, b.metal(), 10);
    b.line({{24, 40}, {76, 40}}, b.metal(), 10);
}

} // namespace beckhand::drawings
