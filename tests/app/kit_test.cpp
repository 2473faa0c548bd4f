// The controls held against the figures of the field: sizes in millimetres, contrast, what fits. Sources
// beside the figures; "our choice" where there is none.
#include "tests/app/kit_audit.h"

using namespace beckhand;
using namespace beckhand::kit;

TEST_CASE("sizes follow the millimetres of the glass, not its dots") {
    for (const Glass& glass : {phone, tablet, sharp_phone, small_phone}) {
        CAPTURE(std::string(glass.name));
        const Metrics m = metrics_for(glass.width, glass.height, glass.px_per_mm, 1.0f);
        const bool is_tablet = glass.width == tablet.width;
        CHECK(m.tablet == is_tablet);
        CHECK(m.wide == is_tablet);
        const auto capital = [&](float font_px) { return font_px * capitals / glass.px_per_mm; };
        // 22 and 30 minutes of arc at 400 mm and 600 mm (NUREG-0700); the figure is our choice.
        CHECK(capital(m.body) >= (is_tablet ? 3.8f : 2.6f));
        CHECK(capital(m.question) >= (is_tablet ? 5.2f : 3.5f));
        CHECK(capital(m.small) >= (is_tablet ? 3.5f : 2.3f));
        CHECK(capital(m.figure) >= (is_tablet ? 10.0f : 7.0f));
        CHECK(capital(m.body) < (is_tablet ? 4.0f : 2.8f)); // and no larger than meant
        CHECK(m.answer / glass.px_per_mm >= 15.0f);
        CHECK(m.key / glass.px_per_mm == doctest::Approx(17.0f));
        CHECK(m.gap / glass.px_per_mm == doctest::Approx(3.0f));
        CHECK(m.control / glass.px_per_mm == doctest::Approx(12.0f));
    }
}

TEST_CASE("larger text is larger by what was asked for") {
    const Metrics usual = metrics_for(412, 915, 6.3f, 1.0f), large = metrics_for(412, 915, 6.3f, 1.5f);
    CHECK(large.body / usual.body == doctest::Approx(1.5).epsilon(0.03));
    CHECK(large.key == usual.key);
}

TEST_CASE("contrast is the ratio of WCAG 2.2") {
    const Colour black{0, 0, 0, 255}, white{255, 255, 255, 255};
    CHECK(contrast(black, white) == doctest::Approx(21.0)); // by its definition: (1 + 0.05) / (0 + 0.05)
    CHECK(contrast(white, white) == doctest::Approx(1.0));
    CHECK(contrast(white, black) == contrast(black, white));
}

TEST_CASE("every pair of colours that is drawn keeps its contrast in every theme") {
    for (const Theme theme : {Theme::paper, Theme::dusk, Theme::night}) {
        CAPTURE(static_cast<int>(theme));
        const Palette p = palette_of(theme);
        const double main_text =
            theme == Theme::paper ? 15.0 : 9.0; // our choice, see the table of reflections
        for (const Colour ground : {p.paper, p.card}) {
            CHECK(contrast(p.ink, ground) >= main_text);
            for (const Colour text : {p.quiet, p.water_text, p.good_text, p.watch_text, p.stop_text}) {
                CHECK(contrast(text, ground) >= 7.0); // WCAG 2.2, SC 1.4.6
            }
            CHECK(contrast(p.line, ground) >= 4.5); // above the 3:1 of WCAG 2.2, SC 1.4.11
        }
        CHECK(contrast(p.ink, p.press) >= (theme == Theme::paper ? 15.0 : 9.0));
        CHECK(contrast(p.water_text, p.press) >= 7.0);
        for (const Colour stroke : {p.water, p.earth}) {
            CHECK(contrast(stroke, p.paper) >= 4.5);
        }
        // Words on the action button and on the marker tag.
        CHECK(std::max(contrast(p.water_text, p.paper), contrast(p.water_text, p.ink)) >= 7.0);
        CHECK(std::max(contrast(p.watch, p.paper), contrast(p.watch, p.ink)) >= 7.0);
    }
}

TEST_CASE("a question with four answers stands on the screen without scrolling") {
    Kit kit(embedded_regular(), embedded_bold());
    for (const Glass& glass : {phone, tablet, sharp_phone}) {
        CAPTURE(std::string(glass.name));
        set_glass(kit, glass);
        Hand hand{kit, [&] { draw_question(kit, four); }};
        hand.settle();
        audit(kit, glass);
    }
}

TEST_CASE("on a small phone the question, its answers and the bar still stand without scrolling") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, small_phone);
    Hand hand{kit, [&] { draw_question(kit, four, nullptr, false); }};
    hand.settle();
    audit(kit, small_phone);
    CHECK(hand.find("a4") != nullptr);
}

TEST_CASE("with few answers the drawing is shown, with many it folds away before an answer shrinks") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    const auto drawing = [&] {
        return std::any_of(kit.controls().begin(), kit.controls().end(),
                           [](const Control& c) { return c.role == "drawing"; });
    };
    Hand few{kit, [&] { draw_question(kit, {"Dry", "Wet"}); }};
    few.settle();
    CHECK(drawing());
    CHECK(few.box("a1").h / phone.px_per_mm >= 15.0f);
    Hand many{kit, [&] { draw_question(kit, four); }};
    many.settle();
    CHECK_FALSE(drawing());
}

TEST_CASE("a long answer wraps and its button grows") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    Hand hand{kit, [&] {
                  draw_question(
                      kit, {"Short",
                            "A very long answer that says in many words what the eye can see at the intake, "
                            "how much of it is covered, with what, and since when"});
              }};
    hand.settle();
    CHECK(hand.box("a2").h > hand.box("a1").h + 20);
    CHECK(hand.box("a2").w == hand.box("a1").w);
    audit(kit, phone);
}

TEST_CASE("the largest text keeps every size and cuts no word off its button") {
    Kit kit(embedded_regular(), embedded_bold());
    for (const Glass& glass : {phone, tablet}) {
        set_glass(kit, glass, 1.5f);
        Hand hand{kit, [&] { draw_question(kit, four); }};
        hand.settle();
        for (const Control& c : kit.controls()) {
            CAPTURE(c.label);
            if (c.role == "bar")
                CHECK_FALSE(c.clipped);
            if (c.role == "answer")
                CHECK(c.box.h / glass.px_per_mm >= 14.9f);
            CHECK(c.box.x + c.box.w <= glass.width - glass.px_per_mm * 3.9f);
        }
    }
}

TEST_CASE("a caution is read as one piece: the word, the text and whom to defer to") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    Hand hand{kit, [&] {
                  kit.begin_screen("s", "S");
                  kit.main();
                  kit.caution("Stored pressure", "Let it off first.", "Local codes go first.", true);
                  kit.end_screen();
              }};
    hand.settle();
    const auto& all = kit.controls();
    const auto caution =
        std::find_if(all.begin(), all.end(), [](const Control& c) { return c.role == "caution"; });
    REQUIRE(caution != all.end());
    CHECK(caution->label == "Stop. Stored pressure. Let it off first. Local codes go first.");
    CHECK_FALSE(caution->clipped);
}
