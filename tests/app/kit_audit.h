// What the tests of the kit share: glasses of several sizes, a question to draw, and an audit of what is on
// the screen against the figures of the field.
#pragma once

#include <algorithm>

#include "tests/app/hand.h"

namespace beckhand {

using namespace kit;

struct Glass {
    const char* name;
    float width, height, px_per_mm;
};
// As a phone of 6.1 inches counts its dots, and a tablet of 10 inches lying on its side.
inline constexpr Glass phone{"phone", 412, 915, 6.3f}, tablet{"tablet", 1280, 800, 6.3f};
// The same phone by its real dots.
inline constexpr Glass sharp_phone{"sharp phone", 1080, 2340, 16.6f};
// 5.5 inches: 122 mm high, for which the budget of a question closes.
inline constexpr Glass small_phone{"small phone", 431, 769, 6.3f};

inline constexpr float capitals = 0.617f; // of B612's line height, measured from the font file

inline void set_glass(Kit& kit, const Glass& glass, float text_scale = 1.0f) {
    kit.set_size(glass.width, glass.height, glass.px_per_mm, text_scale);
}

inline void draw_question(Kit& kit, const std::vector<std::string>& answers, std::string* pressed = nullptr,
                          bool folds = true) {
    kit.begin_screen("question", "Spring Meadow", "4 asked, 11 min");
    kit.side();
    (void)kit.canvas(0, "drawing");
    kit.main();
    kit.words(Type::question, "What does the strainer at the intake look like?");
    int n = 0;
    for (const std::string& answer : answers) {
        const std::string id = "a" + std::to_string(++n);
        if (kit.answer(id, answer) && pressed)
            *pressed += id + " ";
    }
    if (folds) {
        if (kit.fold("how", "How to look", false, [] {}) && pressed)
            *pressed += "how ";
        if (kit.fold("why", "Why ask this", false, [] {}) && pressed)
            *pressed += "why ";
    }
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left) && pressed)
        *pressed += "back ";
    if (kit.bar_button("cannot", "Can't tell", kit::Slot::right) && pressed)
        *pressed += "cannot ";
    kit.end_screen();
}

inline const std::vector<std::string> four = {"Clean", "Matted over", "Sucking air", "Dry"};

/// The gap between two boxes, in px; negative when they overlap.
inline float gap_between(const Box& a, const Box& b) {
    const float across = std::max(b.x - (a.x + a.w), a.x - (b.x + b.w));
    const float down = std::max(b.y - (a.y + a.h), a.y - (b.y + b.h));
    return std::max(across, down);
}

inline void audit(const Kit& kit, const Glass& glass) {
    const float mm = glass.px_per_mm;
    for (const Control& c : kit.controls()) {
        CAPTURE(c.role);
        CAPTURE(c.label);
        CHECK_FALSE(c.clipped);
        CHECK(c.box.x >= 0);
        CHECK(c.box.x + c.box.w <= glass.width + 0.5f);
        // Smallest letters 2.3 mm on a phone and 3.5 mm on a tablet: 20 minutes of arc at 400 and 600 mm
        // (ISO 9241-3 as quoted by NUREG-0700).
        CHECK(c.letter_px * capitals / mm >= (kit.metrics().tablet ? 3.5f : 2.3f) - 0.01f);
        CHECK(contrast(c.text, c.ground) >= 7.0); // WCAG 2.2, SC 1.4.6
        if (!is_pressed(c))
            continue;
        // 15 mm for what is pressed standing and shaken (Avsar, Fischer and Rodden 2015); never under 12, our
        // choice.
        CHECK(c.box.h / mm >= (c.role == "answer" ? 15.0f : 12.0f) - 0.1f);
        CHECK(c.box.w / mm >= 12.0f);
        CHECK(c.box.x / mm >= 3.95f); // nothing in the outer 4 mm, our choice
        CHECK((glass.width - c.box.x - c.box.w) / mm >= 3.95f);
        CHECK((glass.height - c.box.y - c.box.h) / mm >= 3.95f);
        for (const Control& other : kit.controls()) {
            if (&other == &c || !is_pressed(other))
                continue;
            CAPTURE(other.label);
            CHECK(gap_between(c.box, other.box) / mm >=
                  2.85f); // 3 mm, less the rounding to whole dots; our choice
        }
    }
}

} // namespace beckhand
