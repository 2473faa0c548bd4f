// Traces of contacts, played through the filter: what a screen is told, in which order, and what rain and
// bounces are not allowed to say.
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "platform/desktop/pointer_feed.h"

using namespace beckhand;

namespace {

constexpr float px_per_mm = 6.3f;

/// Drains the queue a frame at a time and writes down what each frame was told.
std::string told(PointerFeed& feed, double now) {
    std::string said;
    do {
        const Pointer p = feed.next(now);
        said += !p.present ? "away " : p.down ? "down " : "over ";
    } while (feed.pending());
    return said;
}

Contact touch(Contact::What what, double seconds, float x = 100, float y = 100, long long finger = 7) {
    return {what, finger, x, y, seconds};
}

/// Whether a press was told that also ended on the glass: what a button fires on.
bool fires(const std::string& said) {
    return said.find("down over") != std::string::npos;
}

} // namespace

TEST_CASE("a tap is told as hover, down, up, settle, away, one a frame") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.00));
    feed.hear(touch(Contact::up, 1.10)); // both within one frame
    CHECK(told(feed, 1.1) == "over down over over away ");
    CHECK_FALSE(feed.pending());
    CHECK_FALSE(feed.next(2.0).present); // nothing stays on the glass
}

TEST_CASE("the finger's place is told with each change") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.0, 30, 40));
    const Pointer over = feed.next(1.0), down = feed.next(1.0);
    CHECK(over.x == 30);
    CHECK(over.y == 40);
    CHECK_FALSE(over.down);
    CHECK(down.down);
    for (int i = 1; i <= 10; ++i)
        feed.hear(touch(Contact::move, 1.0 + 0.01 * i, 30, 40 + 10.0f * static_cast<float>(i)));
    const Pointer first = feed.next(1.2);
    CHECK(first.down);
    Pointer last = first;
    while (feed.pending())
        last = feed.next(1.2);
    CHECK(last.y == 140); // the newest place, without a frame for each step on the way
    CHECK(last.down);
}

TEST_CASE("twenty real taps all count") {
    PointerFeed feed(px_per_mm);
    int fired = 0;
    for (int i = 0; i < 20; ++i) {
        const double t = 1.0 + 0.3 * i;
        feed.hear(touch(Contact::down, t));
        feed.hear(touch(Contact::up, t + 0.08));
        fired += fires(told(feed, t + 0.1)) ? 1 : 0;
    }
    CHECK(fired == 20);
}

TEST_CASE("two quick taps on different places both count") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.00, 100, 100));
    feed.hear(touch(Contact::up, 1.06, 100, 100));
    feed.hear(touch(Contact::down, 1.12, 200, 100));
    feed.hear(touch(Contact::up, 1.18, 200, 100));
    CHECK(told(feed, 1.2) == "over down over over away over down over over away ");
}

TEST_CASE("a bounce on the same spot is not a second tap") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.00));
    feed.hear(touch(Contact::up, 1.08));
    feed.hear(touch(Contact::down, 1.15, 104, 102));
    feed.hear(touch(Contact::up, 1.24, 104, 102));
    CHECK(told(feed, 1.3) == "over down over over away ");
    SUBCASE("a digit that is typed twice, as fast as a thumb can, is two") {
        feed.hear(touch(Contact::down, 3.00));
        feed.hear(touch(Contact::up, 3.07));
        feed.hear(touch(Contact::down, 3.17));
        feed.hear(touch(Contact::up, 3.24));
        CHECK(told(feed, 3.3) == "over down over over away over down over over away ");
    }
    SUBCASE("the mouse is believed") {
        feed.hear(touch(Contact::down, 3.00, 100, 100, mouse_finger));
        feed.hear(touch(Contact::up, 3.02, 100, 100, mouse_finger));
        feed.hear(touch(Contact::down, 3.10, 100, 100, mouse_finger));
        feed.hear(touch(Contact::up, 3.12, 100, 100, mouse_finger));
        CHECK(told(feed, 3.2) == "over down over over away over down over over away ");
    }
}

TEST_CASE("a flick of less than 45 ms and a rest of more than 1.2 s are called off") {
    for (const double lasts : {0.02, 1.5}) {
        CAPTURE(lasts);
        PointerFeed feed(px_per_mm);
        feed.hear(touch(Contact::down, 1.0));
        std::string said = told(feed, 1.0);
        feed.hear(touch(Contact::up, 1.0 + lasts));
        said += told(feed, 1.0 + lasts);
        CHECK(said == "over down away ");
        CHECK_FALSE(fires(said));
    }
}

TEST_CASE("a long drag still ends as a drag") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.0, 100, 500));
    feed.hear(touch(Contact::move, 2.0, 100, 300));
    feed.hear(touch(Contact::up, 2.5, 100, 300));
    CHECK(told(feed, 2.5) == "over down down over over away ");
}

TEST_CASE("a second finger changes nothing") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.00, 100, 100, 1));
    feed.hear(touch(Contact::down, 1.02, 300, 300, 2));
    feed.hear(touch(Contact::up, 1.05, 300, 300, 2));
    feed.hear(touch(Contact::up, 1.10, 100, 100, 1));
    CHECK(told(feed, 1.2) == "over down over over away ");
}

TEST_CASE("rain is not heard: three contacts call everything off until a quarter second after the last") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.00, 100, 100, 1));
    feed.hear(touch(Contact::down, 1.01, 200, 400, 2));
    feed.hear(touch(Contact::down, 1.02, 300, 700, 3));
    feed.hear(touch(Contact::up, 1.10, 100, 100, 1));
    feed.hear(touch(Contact::down, 1.12, 150, 150, 4));
    feed.hear(touch(Contact::up, 1.20, 150, 150, 4));
    feed.hear(touch(Contact::up, 1.25, 200, 400, 2));
    feed.hear(touch(Contact::up, 1.30, 300, 700, 3));
    std::string said = told(feed, 1.3);
    feed.hear(touch(Contact::down, 1.40, 100, 300, 5)); // 100 ms after the last
    feed.hear(touch(Contact::up, 1.50, 100, 300, 5));
    said += told(feed, 1.5);
    CHECK_FALSE(fires(said));
    feed.hear(touch(Contact::down, 1.60, 100, 300, 6));
    feed.hear(touch(Contact::up, 1.70, 100, 300, 6));
    CHECK(fires(told(feed, 1.7)));
}

TEST_CASE("a contact that rests for three seconds is a drop, and a finger beside it is heard") {
    PointerFeed feed(px_per_mm);
    feed.hear(touch(Contact::down, 1.0, 100, 100, 1));
    CHECK(told(feed, 1.0) == "over down ");
    REQUIRE(feed.wake(1.5).has_value());
    CHECK(*feed.wake(1.5) == doctest::Approx(2.5)); // it must be looked at again without an event
    CHECK(told(feed, 3.9) == "down ");
    CHECK(told(feed, 4.0) == "away ");
    CHECK_FALSE(feed.wake(4.1).has_value());
    feed.hear(touch(Contact::down, 5.0, 300, 300, 2));
    feed.hear(touch(Contact::up, 5.1, 300, 300, 2));
    CHECK(fires(told(feed, 5.2)));
    feed.hear(touch(Contact::up, 9.0, 100, 100, 1));
    CHECK_FALSE(feed.pending()); // the drop's leaving says nothing
}

TEST_CASE("three that land faster than a hand can press, far apart, are a burst of rain") {
    PointerFeed feed(px_per_mm);
    for (int i = 0; i < 3; ++i) {
        const double at = 1.0 + 0.1 * i;
        feed.hear(touch(Contact::down, at, 60.0f + 120.0f * static_cast<float>(i), 200, i));
        if (i < 2) feed.hear(touch(Contact::up, at + 0.03, 60.0f + 120.0f * static_cast<float>(i), 200, i));
    }
    feed.hear(touch(Contact::up, 1.4, 300, 200, 2)); // long enough for a tap by itself
    CHECK_FALSE(fires(told(feed, 1.5)));
    feed.hear(touch(Contact::down, 2.0, 100, 300, 9));
    feed.hear(touch(Contact::up, 2.1, 100, 300, 9));
    CHECK(fires(told(feed, 2.2)));
    // A keypad at five keys a second is no rain.
    int fired = 0;
    for (int i = 0; i < 10; ++i) {
        const double at = 5.0 + 0.2 * i;
        const float x = i % 2 == 0 ? 80.0f : 240.0f;
        feed.hear(touch(Contact::down, at, x, 400));
        feed.hear(touch(Contact::up, at + 0.08, x, 400));
        fired += fires(told(feed, at + 0.1)) ? 1 : 0;
    }
    CHECK(fired == 10);
}

TEST_CASE("more than six refused contacts in five seconds make the glass wet, and twenty seconds without dry it") {
    PointerFeed feed(px_per_mm);
    const auto drop = [&](double at, float x) { // too short for a finger
        feed.hear(touch(Contact::down, at, x, 100));
        feed.hear(touch(Contact::up, at + 0.02, x, 100));
        (void)told(feed, at + 0.02);
    };
    for (int i = 0; i < 6; ++i) drop(1.0 + 0.5 * i, 40.0f * static_cast<float>(i));
    CHECK_FALSE(feed.wet(4.0));
    drop(4.0, 300);
    CHECK(feed.wet(4.1));
    REQUIRE(feed.wake(5.0).has_value()); // the strip that says so goes by itself
    CHECK(*feed.wake(5.0) == doctest::Approx(19.02));
    CHECK(feed.wet(24.0));
    CHECK_FALSE(feed.wet(24.1));
    for (int i = 0; i < 30; ++i) drop(100.0 + 2.0 * i, 40.0f * static_cast<float>(i % 7)); // a few stray ones
    CHECK_FALSE(feed.wet(161.0));
}
