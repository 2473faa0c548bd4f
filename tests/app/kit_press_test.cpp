// Only a meant press counts: taps, drags, holds, bounces and keys on the controls.
#include "tests/app/kit_audit.h"

using namespace beckhand;
using namespace beckhand::kit;

namespace {

/// Something to leave, and below it what is thrown away by holding it for a second.
void draw_discard(Kit& kit, int& fired) {
    kit.begin_screen("s", "S");
    kit.main();
    (void)kit.quiet("leave", "Leave it");
    fired += kit.hold("discard", "Throw this visit away", 1.0f) ? 1 : 0;
    kit.end_screen();
}

} // namespace

TEST_CASE("an answer is pressed by a tap, once") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] { draw_question(kit, four, &pressed); }};
    hand.settle();
    hand.tap("a2");
    CHECK(pressed == "a2 ");
    hand.tap("how");
    hand.tap("cannot");
    CHECK(pressed == "a2 how cannot ");
}

TEST_CASE("a press shows at once") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    bool held = false;
    Hand hand{kit, [&] {
                  kit.begin_screen("s", "S");
                  kit.main();
                  (void)kit.hold("h", "Throw away");
                  held = kit.wake().has_value(); // a held button asks for the next frame
                  kit.end_screen();
              }};
    hand.settle();
    const Box b = hand.box("h");
    hand.frame(Hand::at(b.x + 20, b.y + 20, false));
    CHECK_FALSE(held);
    hand.frame(Hand::at(b.x + 20, b.y + 20, true));
    CHECK(held);
}

TEST_CASE("a control that is disabled cannot be pressed, by finger or by key") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    bool enabled = false;
    int fired = 0;
    Hand hand{kit, [&] {
                  kit.begin_screen("s", "S");
                  kit.main();
                  fired += kit.action("go", "Go on", enabled) ? 1 : 0;
                  kit.bar();
                  fired += kit.bar_button("next", "Next", Slot::right, enabled, true) ? 1 : 0;
                  kit.end_screen();
              }};
    hand.settle();
    hand.tap("go");
    hand.tap("next");
    kit.press("go");
    hand.frame({});
    CHECK(fired == 0);
    enabled = true;
    hand.settle();
    hand.tap("go");
    hand.tap("next");
    kit.press("go");
    hand.frame({});
    CHECK(fired == 3);
}

TEST_CASE("the keypad types what is tapped") {
    for (const Glass& glass : {phone, tablet}) {
        CAPTURE(std::string(glass.name));
        Kit kit(embedded_regular(), embedded_bold());
        set_glass(kit, glass);
        Typed typed;
        typed.unit = "L/min";
        typed.other_unit = "gal/min";
        typed.note = "Usual here: 35 to 60 L/min";
        std::vector<KeypadPress> presses;
        Hand hand{kit, [&] {
                      kit.begin_screen("measure", "Spring Meadow");
                      kit.main();
                      kit.words(Type::question, "How much water leaves the waste valve?");
                      char digit = 0;
                      const KeypadPress press = kit.keypad("waste_flow", typed, digit, "Use it");
                      if (press == KeypadPress::digit)
                          typed.text += digit;
                      if (press == KeypadPress::erase && !typed.text.empty())
                          typed.text.pop_back();
                      if (press == KeypadPress::clear)
                          typed.text.clear();
                      if (press != KeypadPress::none)
                          presses.push_back(press);
                      kit.bar();
                      (void)kit.bar_button("back", "Back", Slot::left);
                      kit.end_screen();
                  }};
        hand.settle();
        audit(kit, glass);
        hand.tap("accept"); // nothing typed yet
        CHECK(presses.empty());
        for (const char* const key : {"4", "2", ".", "7", "0", "5"}) {
            hand.tap(key);
        }
        CHECK(typed.text == "42.705");
        hand.tap("erase");
        CHECK(typed.text == "42.70");
        hand.tap("unit");
        REQUIRE_FALSE(presses.empty());
        CHECK(presses.back() == KeypadPress::unit);
        hand.tap("accept");
        CHECK(presses.back() == KeypadPress::accept);
        CHECK(typed.text == "42.70");
        for (const char sign : {'1', '.', '5'}) {
            CHECK(kit.press_key(sign));
            hand.frame({});
        }
        CHECK(typed.text == "42.701.5");
        hand.hold("erase", 1.2);
        CHECK(typed.text.empty());
        // Keys are 17 mm; 15 where it spares the scrolling.
        CHECK(hand.box("5").h / glass.px_per_mm >= 14.9f);
        CHECK(hand.box("5").w / glass.px_per_mm >= 16.8f);
    }
}

TEST_CASE("a drag scrolls the list and presses nothing") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] {
                  kit.begin_screen("sites", "Sites");
                  kit.main();
                  for (int i = 0; i < 20; ++i) {
                      const std::string id = "row" + std::to_string(i);
                      if (kit.row(id, "Site " + std::to_string(i), "Fall 1.8 m"))
                          pressed += id + " ";
                  }
                  kit.end_screen();
              }};
    hand.settle();
    const float before = hand.box("row0").y;
    hand.drag(200, 600, 200, 300);
    const float after = hand.box("row0").y;
    CHECK(pressed.empty());
    CHECK(before - after > 250); // what the finger travelled, less the slop that tells a drag from a tap
    CHECK(before - after <= 300);
    SUBCASE("and the end holds") {
        for (int i = 0; i < 20; ++i)
            hand.drag(200, 700, 200, 100);
        const Box last = hand.box("row19");
        CHECK(last.y + last.h <= phone.height);
        CHECK_FALSE(hand.find("row19")->clipped);
        CHECK(pressed.empty());
    }
    SUBCASE("and a tap afterwards presses what is under it now") {
        const Box third = hand.box("row5");
        hand.tap_at(third.x + 50, third.y + third.h / 2);
        CHECK(pressed == "row5 ");
    }
}

TEST_CASE("a finger that slides off calls its press off") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] { draw_question(kit, four, &pressed); }};
    hand.settle();
    const Box b = hand.box("a1");
    hand.drag(b.x + 40, b.y + 40, b.x + 200, b.y + 40); // 25 mm along, still on the button
    CHECK(pressed.empty());
}

TEST_CASE("after an answer the screen is deaf for 350 ms, so a bounce does not answer the next question") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] { draw_question(kit, four, &pressed); }};
    hand.settle();
    const Box b = hand.box("a1");
    hand.tap("a1");
    hand.seconds -= 0.45; // the next touch lands 50 ms and a few frames later
    hand.tap_at(b.x + 60, b.y + 40);
    CHECK(pressed == "a1 ");
    hand.tap_at(b.x + 60, b.y + 40);
    CHECK(pressed == "a1 a1 ");
}

TEST_CASE("a hold button needs its full second and fires once") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    int fired = 0;
    Hand hand{kit, [&] { draw_discard(kit, fired); }};
    hand.settle();
    hand.tap("discard");
    CHECK(fired == 0);
    hand.hold("discard", 0.8);
    CHECK(fired == 0);
    hand.hold("discard", 1.3);
    CHECK(fired == 1);
    hand.hold("discard", 1.3);
    CHECK(fired == 2);
}

TEST_CASE("a key holds a hold button as long as a finger, and only where the focus is") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    int fired = 0;
    Hand hand{kit, [&] { draw_discard(kit, fired); }};
    hand.settle();
    const auto frames_of = [&](double seconds) {
        for (const double until = hand.seconds + seconds; hand.seconds < until;) hand.frame({});
    };
    CHECK_FALSE(kit.hold_key(true)); // nothing has the focus
    CHECK(kit.move_focus(1));
    CHECK(kit.focus() == "leave");
    CHECK_FALSE(kit.hold_key(true));
    frames_of(1.5);
    CHECK(kit.move_focus(1));
    REQUIRE(kit.focus() == "discard");
    CHECK_FALSE(kit.press_key('\r'));
    CHECK_FALSE(kit.press_key(' '));
    frames_of(1.5);
    CHECK(fired == 0);
    CHECK(kit.hold_key(true));
    frames_of(0.8);
    kit.hold_key(false);
    frames_of(0.5);
    CHECK(fired == 0);
    CHECK(kit.hold_key(true));
    frames_of(3.0);
    CHECK(fired == 1); // once, however long
}

TEST_CASE("keys do the same as the glass") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] { draw_question(kit, four, &pressed); }};
    hand.settle();
    CHECK(kit.press_key('3'));
    hand.frame({});
    CHECK(kit.press_key('\b'));
    hand.frame({});
    CHECK(pressed == "a3 back ");
    CHECK_FALSE(kit.press_key('5')); // there is no fifth answer
    CHECK_FALSE(kit.press_key('\r'));
}

TEST_CASE("letters typed reach an open text field") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string name = "Mill";
    Hand hand{kit, [&] {
                  kit.begin_screen("s", "S");
                  kit.main();
                  (void)kit.text_field("name", "Name of the site", name);
                  kit.end_screen();
              }};
    hand.settle();
    CHECK_FALSE(kit.wants_letters());
    const Box b = hand.box("name");
    hand.tap_at(b.x + b.w - 20, b.y + b.h / 2);
    hand.frame({});
    CHECK(kit.wants_letters());
    Input input;
    input.letters = " leat";
    hand.frame(input);
    CHECK(name == "Mill leat");
    input.letters.clear();
    input.key = Key::erase;
    hand.frame(input);
    CHECK(name == "Mill lea");
}

TEST_CASE("on a wet glass an answer takes half a second, and drops say nothing") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] { draw_question(kit, four, &pressed); }};
    hand.settle();
    CHECK(hand.find("wipe") == nullptr);
    hand.wet = true;
    hand.hold("a2", 0.3);
    CHECK(pressed.empty());
    REQUIRE(hand.find("wipe") != nullptr);
    hand.hold("a3", 0.6);
    CHECK(pressed == "a3 ");
    hand.hold("a1", 2.0); // held on: once only
    CHECK(pressed == "a3 a1 ");
    kit.press("a4"); // keys are as quick as ever
    hand.frame({});
    CHECK(pressed == "a3 a1 a4 ");
    hand.wet = false;
    hand.seconds += 0.5;
    hand.settle();
    hand.tap("a2"); // dry again
    CHECK(pressed == "a3 a1 a4 a2 ");
}

TEST_CASE("while the glass is wiped nothing is pressed") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    std::string pressed;
    Hand hand{kit, [&] { draw_question(kit, four, &pressed); }};
    hand.settle();
    hand.wet = true;
    hand.frame({});
    hand.frame({});
    const double began = hand.seconds;
    hand.hold("wipe", 0.6);
    for (int i = 0; hand.seconds < began + 5.0; ++i) {
        hand.hold(i % 2 == 0 ? "a1" : "cannot", 0.55);
        REQUIRE(hand.find("wipe") != nullptr);
    }
    CHECK(pressed.empty());
    hand.seconds += 2.0;
    hand.hold("a1", 0.6);
    CHECK(pressed == "a1 ");
}

TEST_CASE("the strip of a wet glass keeps to the sizes of everything else") {
    Kit kit(embedded_regular(), embedded_bold());
    for (const Glass& glass : {phone, tablet}) { // a smaller one scrolls then
        set_glass(kit, glass);
        Hand hand{kit, [&] { draw_question(kit, four); }};
        hand.wet = true;
        for (int i = 0; i < 6; ++i) hand.frame({});
        REQUIRE(hand.find("wipe") != nullptr);
        audit(kit, glass);
    }
}
