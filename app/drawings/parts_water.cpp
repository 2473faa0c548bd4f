// Water in the open: header and strainer, channel and creek, jar, bucket, tank, pit.
#include <algorithm>
#include <cmath>

#include "app/drawings/parts.h"

namespace beckhand::drawings {
namespace {

float level(const Brush& b, const Part& p) { return level_at(p.course, b.seconds); }

/// A free surface that moves a little.
void surface(const Brush& b, float x0, float x1, float y) {
    const float wave = std::sin(b.seconds * 3.0f) * 0.9f, w = x1 - x0;
    b.line({{x0, y + wave}, {x0 + w * 0.25f, y - wave}, {x0 + w * 0.5f, y + wave}, {x0 + w * 0.75f, y - wave}, {x1, y + wave}},
           b.water(), 3.6f);
}

void ice_star(const Brush& b, float x, float y, float r) {
    b.line({{x - r, y}, {x + r, y}}, b.metal(), 3);
    b.line({{x - r * 0.5f, y - r * 0.87f}, {x + r * 0.5f, y + r * 0.87f}}, b.metal(), 3);
    b.line({{x - r * 0.5f, y + r * 0.87f}, {x + r * 0.5f, y - r * 0.87f}}, b.metal(), 3);
}

void leaf(const Brush& b, float x, float y, float r) {
    b.shape({{x - r, y}, {x - r * 0.3f, y - r * 0.55f}, {x + r * 0.5f, y - r * 0.4f}, {x + r, y}, {x + r * 0.5f, y + r * 0.4f},
             {x - r * 0.3f, y + r * 0.55f}},
            b.earth());
    b.line({{x - r * 1.3f, y}, {x + r * 0.4f, y}}, b.metal(), 1.8f);
}

constexpr float header_floor = 72, header_top = 14;
float header_y(float share) { return header_floor - (header_floor - header_top) * share; }

/// Open above, between walls that begin at these places, with water up to this height.
void open_tank(const Brush& b, float left, float right, float top, float water_y) {
    constexpr float wall = 6;
    b.box(left, top, left + wall, header_floor + wall, b.metal());
    b.box(right, top, right + wall, header_floor + wall, b.metal());
    b.box(left, header_floor, right + wall, header_floor + wall, b.metal());
    if (water_y < header_floor - 1) {
        b.box(left + wall, water_y, right, header_floor, b.pale());
        surface(b, left + wall, right, water_y);
    }
}

} // namespace

void header(const Brush& b, const Part& p) {
    const float y = header_y(level(b, p));
    open_tank(b, 6, 74, 10, y);
    // The mouth of the drive pipe, low in the wall.
    b.box(62, 50, 100, 68, b.metal());
    b.box(62, 54, 100, 64, y < 54 ? b.pale() : b.hollow());
    if (p.form == Form::large) {
        b.stream({10, 11}, {3, 9}, {2, 56}, 1, 4);
        b.stream({76, 11}, {92, 4}, {92, 44}, 1, 7);
    }
}

void whirl(const Brush& b, const Part& p) {
    const float turn = b.seconds * 5.0f;
    if (p.form == Form::small) {
        b.shape({{34, 21}, {54, 21}, {44, 30}}, b.hollow());
        b.line({{30, 21}, {38, 23}, {44, 30}, {50, 23}, {58, 21}}, b.water(), 3.4f);
        return;
    }
    // A funnel of air from the surface into the pipe.
    b.shape({{26, 20}, {62, 20}, {50, 44}, {44, 44}}, b.hollow());
    b.line({{24, 20}, {36, 26}, {43, 44}, {50, 58}, {64, 59}}, b.water(), 3.4f);
    b.line({{64, 20}, {54, 26}, {51, 44}, {56, 54}, {64, 55}}, b.water(), 3.4f);
    const float swing = std::sin(turn) * 5.0f;
    b.line({{36 + swing * 0.5f, 26}, {52 + swing * 0.5f, 28}}, b.water(), 2.6f);
    b.line({{41 + swing * 0.3f, 36}, {50 + swing * 0.3f, 37}}, b.water(), 2.6f);
    const float run = std::fmod(b.seconds * 20.0f, 12.0f);
    for (const float x : {68.0f, 80.0f}) {
        b.bubble(x + run, 59, 4);
    }
}

void silt(const Brush& b, const Part& p) {
    const float y = header_y(level(b, p));
    b.shape({{12, y}, {30, y - 4}, {52, y - 1}, {74, y - 3}, {74, header_floor}, {12, header_floor}}, b.earth());
    for (float x = 18; x < 72; x += 9) {
        b.disc(x, (y + header_floor) / 2 + (static_cast<int>(x) % 2 == 0 ? 2.0f : -2.0f), 1.7f, b.hollow());
    }
}

void old_level(const Brush& b, const Part& p) {
    const float from = header_y(level_at(p.course.substr(0, 1), 0)), to = header_y(level_at(p.course.substr(1, 1), 0));
    b.dashes({14, from}, {60, from}, b.quiet(), 3, 4);
    if (to - from > 4) {
        b.arrow({36, from + 2}, {36, to - 2}, b.metal(), 3.6f);
    }
}

void strainer(const Brush& b, const Part& p) {
    // A basket of wire on the end of the pipe.
    b.box(64, 28, 100, 52, b.metal());
    b.box(64, 33, 100, 47, b.pale());
    if (p.form == Form::torn) { // open at its end, wires bent out
        for (const float y : {14.0f, 66.0f}) {
            b.line({{36, y}, {70, y}}, b.metal(), 4);
        }
        for (const float x : {48.0f, 58.0f, 68.0f}) {
            b.line({{x, 14}, {x, 66}}, b.metal(), 3);
        }
        b.shape({{30, 22}, {56, 24}, {56, 58}, {30, 58}}, b.hollow());
        b.line({{36, 14}, {26, 6}}, b.metal(), 3.4f);
        b.line({{40, 14}, {42, 28}, {34, 32}}, b.metal(), 3.4f);
        b.line({{36, 66}, {24, 72}}, b.metal(), 3.4f);
        b.line({{44, 66}, {46, 54}, {38, 50}}, b.metal(), 3.4f);
        leaf(b, 14, 40, 9);
        b.arrow({26, 40}, {56, 40}, b.water(), 3.4f);
        return;
    }
    b.frame(14, 14, 68, 66, b.metal(), 4, 5);
    for (const float x : {24.0f, 34.0f, 44.0f, 54.0f}) {
        b.line({{x, 15}, {x, 65}}, b.metal(), 2.6f);
    }
    for (const float y : {24.0f, 34.0f, 44.0f, 54.0f}) {
        b.line({{15, y}, {67, y}}, b.metal(), 2.6f);
    }
    const auto heap = [&](float x, float y, float r) {
        b.disc(x, y, r, b.earth());
        leaf(b, x - r * 0.2f, y - r * 0.2f, r * 0.85f);
    };
    switch (p.form) {
    case Form::partly:
        heap(22, 58, 11);
        heap(38, 61, 10);
        heap(18, 42, 9);
        return;
    case Form::matted:
        for (const ImVec2& at : {ImVec2{20, 20}, ImVec2{40, 16}, ImVec2{60, 20}, ImVec2{16, 40}, ImVec2{36, 38},
                                 ImVec2{56, 40}, ImVec2{20, 60}, ImVec2{40, 62}, ImVec2{60, 60}}) {
            heap(at.x, at.y, 13.5f);
        }
        return;
    case Form::iced:
        b.box(8, 8, 74, 72, b.pale(), 10);
        b.frame(8, 8, 74, 72, b.water(), 3.4f, 10);
        ice_star(b, 26, 28, 10);
        ice_star(b, 54, 34, 11);
        ice_star(b, 30, 55, 10);
        return;
    default:
        return;
    }
}

void channel(const Brush& b, const Part& p) {
    // Seen from above: the creek at the left, the header at the right, the channel between.
    b.line({{8, 0}, {14, 26}, {6, 52}, {12, 80}}, b.water(), 15);
    b.frame(78, 26, 98, 54, b.metal(), 4);
    if (p.form != Form::away) {
        b.box(80, 28, 96, 52, b.water());
    }
    if (p.form == Form::away) { // turned off before it gets there
        b.line({{14, 40}, {46, 40}, {60, 66}, {64, 80}}, b.metal(), 15);
        b.line({{14, 40}, {46, 40}, {60, 66}, {64, 80}}, b.water(), 9);
        b.dashes({54, 40}, {76, 40}, b.quiet(), 3, 4);
        b.line({{56, 30}, {56, 50}}, b.metal(), 5);
        b.arrow({47, 50}, {56, 70}, b.hollow(), 3);
        return;
    }
    b.line({{14, 40}, {80, 40}}, b.metal(), 15);
    b.line({{12, 40}, {80, 40}}, b.water(), 9);
    b.jet({20, 40}, {78, 40}, 1, 8);
    if (p.form == Form::wet) {
        b.line({{46, 44}, {50, 56}, {44, 68}, {50, 79}}, b.water(), 6);
        b.line({{56, 44}, {60, 60}}, b.water(), 5);
        b.drop(61, 68, 4);
        b.line({{40, 34}, {36, 20}}, b.water(), 5);
        b.drop(34, 14, 4);
    }
}

void jar(const Brush& b, const Part& p) {
    b.box(24, 22, 76, 74, b.pale(), 7);
    b.frame(22, 6, 78, 76, b.metal(), 4.4f, 7);
    b.line({{18, 6}, {82, 6}}, b.metal(), 5);
    surface(b, 25, 75, 22);
    switch (p.form) {
    case Form::silt:
        b.box(25, 60, 75, 73, b.earth(), 5);
        for (int i = 0; i < 12; ++i) {
            const float x = 31.0f + static_cast<float>(i * 37 % 40), y = 28.0f + static_cast<float>(i * 23 % 30);
            b.disc(x, y + std::sin(b.seconds + static_cast<float>(i)) * 1.5f, 2.1f, b.earth());
        }
        return;
    case Form::leaf:
        leaf(b, 42, 34 + std::sin(b.seconds) * 1.5f, 11);
        leaf(b, 62, 50 + std::sin(b.seconds + 1) * 1.5f, 10);
        leaf(b, 40, 62, 9);
        b.line({{64, 72}, {60, 62}, {66, 52}}, b.metal(), 2.6f);
        return;
    case Form::iced:
        for (const ImVec2& at : {ImVec2{28, 15}, ImVec2{46, 17}, ImVec2{61, 14}}) {
            b.shape({{at.x, at.y}, {at.x + 12, at.y + 1}, {at.x + 14, at.y + 13}, {at.x + 1, at.y + 14}}, b.hollow());
            b.line({{at.x, at.y}, {at.x + 12, at.y + 1}, {at.x + 14, at.y + 13}, {at.x + 1, at.y + 14}, at}, b.metal(), 2.6f);
        }
        ice_star(b, 48, 52, 11);
        return;
    default:
        b.line({{34, 36}, {34, 60}}, b.hollow(), 3.6f); // one sees right through
        return;
    }
}

void creek(const Brush& b, const Part& p) {
    const float y = 68 - 62 * level(b, p);
    // Two banks and the bed between; a post with the marks of other years.
    b.shape({{0, 24}, {20, 24}, {36, 70}, {0, 70}}, b.earth());
    b.shape({{80, 24}, {100, 24}, {100, 70}, {64, 70}}, b.earth());
    b.box(0, 68, 100, 80, b.earth());
    if (y >= 24) {
        const float in = (y - 24) / 46.0f * 16.0f;
        b.shape({{20 + in, y}, {80 - in, y}, {65, 68}, {35, 68}}, b.pale());
        surface(b, 20 + in, 80 - in, y);
    } else {
        b.shape({{20, 24}, {80, 24}, {65, 68}, {35, 68}}, b.pale());
        b.box(0, y, 100, 25, b.pale());
        const float wave = std::sin(b.seconds * 4.0f) * 1.5f;
        b.line({{0, y + 4}, {12, y - 3 + wave}, {25, y + 4}, {38, y - 3 - wave}, {50, y + 4}, {62, y - 3 + wave}, {75, y + 4},
                {88, y - 3 - wave}, {100, y + 4}},
               b.water(), 5);
    }
    b.line({{50, 8}, {50, 70}}, b.metal(), 4);
    for (const float mark : {20.0f, 34.0f, 48.0f, 60.0f}) {
        b.line({{44, mark}, {56, mark}}, b.metal(), 3);
    }
}

void tank(const Brush& b, const Part& p) {
    const float y = header_y(level(b, p));
    open_tank(b, 22, 82, 12, y);
    b.box(0, 0, 44, 10, b.metal()); // the delivery pipe over its rim
    b.box(0, 3, 40, 7, b.pale());
    if (p.form == Form::large) {
        b.stream({86, 13}, {98, 10}, {97, 70}, 1, 7);
    } else if (p.form == Form::shut) { // the float lies high and holds the valve shut
        b.line({{42, 8}, {66, y}}, b.metal(), 3.6f);
        b.disc(66, y, 8, b.metal());
        b.disc(66, y, 4.6f, b.hollow());
        b.box(36, 0, 46, 16, b.metal());
    }
}

void inflow(const Brush& b, const Part& p) {
    const float much = level(b, p);
    if (p.form == Form::drips) {
        const float t = std::fmod(b.seconds * 0.7f, 1.0f);
        b.drop(41, 20 + 44 * t, 4);
        return;
    }
    b.stream({39, 8}, {42, 14}, {42, 66}, much, 9);
}

void tap(const Brush& b, const Part& p) {
    const float much = level(b, p);
    b.box(80, 56, 96, 64, b.metal());
    b.box(90, 58, 98, 70, b.metal());
    b.line({{84, 50}, {94, 50}}, b.metal(), 4);
    b.line({{89, 50}, {89, 58}}, b.metal(), 4);
    if (much > 0.05f) {
        b.jet({94, 70}, {94, 80}, much, 6);
    }
}

void bucket(const Brush& b, const Part& p) {
    const float full = level(b, p), y = 74 - 46 * full, in = 10.0f * (1.0f - full);
    if (full > 0.02f) {
        b.shape({{24 + in, y}, {76 - in, y}, {66, 74}, {34, 74}}, b.pale());
        surface(b, 25 + in, 75 - in, y);
    }
    b.line({{20, 24}, {32, 76}, {68, 76}, {80, 24}}, b.metal(), 5);
    b.arc(50, 26, 29, 195, 345, b.quiet(), 2.6f);
}

void bucket_mark(const Brush& b, const Part& p) {
    const float y = 74 - 46 * level(b, p);
    b.dashes({12, y}, {88, y}, b.metal(), 3, 4);
    b.shape({{88, y}, {99, y - 7}, {99, y + 7}}, b.metal());
}

void pit(const Brush& b, const Part& p) {
    const float y = 66 - 52 * level(b, p);
    if (p.form == Form::missing) { // open ground on both sides
        b.box(0, 66, 100, 78, b.earth());
    } else {
        b.box(0, 12, 10, 76, b.earth());
        b.box(0, 68, 100, 80, b.earth());
        b.box(72, 12, 84, 54, b.earth());
        // The drain in the wall.
        b.box(70, 52, 100, 70, b.metal());
        b.box(70, 56, 100, 66, b.hollow());
    }
    b.box(22, 56, 56, 66, b.metal(), 2); // the pump
    b.box(40, 36, 54, 58, b.metal(), 6);
    b.line({{29, 44}, {29, 56}}, b.metal(), 4);
    b.line({{25, 45}, {33, 45}}, b.metal(), 4);
    if (p.form == Form::missing) {
        b.stream({29, 54}, {14, 44}, {8, 66}, 1, 6);
        return;
    }
    if (y < 65) {
        b.box(10, y, 72, 68, kit::Colour{b.water().r, b.water().g, b.water().b, 110});
        surface(b, 10, 72, y);
    }
    if (p.form == Form::shut) {
        b.box(76, 53, 90, 69, b.earth());
        b.cross(83, 61, 7, b.metal());
    } else if (p.form == Form::weak) {
        b.jet({72, 64}, {99, 64}, 1, 4);
    } else {
        b.jet({70, 61}, {99, 61}, 1, 9);
        b.arrow({82, 44}, {99, 44}, b.metal(), 3.4f);
    }
}

void thermometer(const Brush& b, const Part& p) {
    const float y = 58 - 46 * level(b, p);
    b.box(40, 2, 60, 64, b.metal(), 10);
    b.disc(50, 66, 14, b.metal());
    b.box(44, 6, 56, 64, b.hollow(), 6);
    b.disc(50, 66, 10, b.water());
    b.box(46, y, 54, 64, b.water());
    // The freezing point, and four degrees above it.
    b.line({{62, 52}, {76, 52}}, b.metal(), 3.4f);
    b.line({{62, 34}, {72, 34}}, b.metal(), 3);
    ice_star(b, 88, 52, 8);
}

} // namespace beckhand::drawings
