// A site shown as codes for another device's camera: the codes go by in time, are drawn when one is due and not
// in between, fit the glass, and Back leads to the site again.
#include <algorithm>
#include <memory>

#include <doctest/doctest.h>

#include "app/app.h"
#include "engine/bundle/frames.h"
#include "engine/bundle/qr.h"
#include "platform/desktop/embedded.h"
#include "tests/support/demo_log.h"

namespace beckhand {
namespace {

using namespace tests;

struct Bench {
    Store store = demo_log();
    Instant now{1'795'600'000'000};
    bool has_key = true;
    std::unique_ptr<App> app;
    kit::Kit kit{embedded_regular(), embedded_bold()};
    double seconds = 100;

    Bench() {
        Services services{&store, [this] { return now; }, [] { return std::array<std::uint8_t, 16>{7}; }};
        services.key = [this] {
            return has_key ? Result<bundle::DeviceKey>(bundle::device_key(std::array<std::uint8_t, 32>{1, 2, 3}))
                           : Result<bundle::DeviceKey>(Problem{"", "no key", ""});
        };
        app = std::make_unique<App>(shipped_pack(), services);
        app->start();
        kit.set_size(412, 915, 6.3f, 1.0f);
    }
    const State& state() const { return app->state(); }
    std::string site() const { return state().sites.front().id; }
    void show() { app->act(ShowCodes{site()}); }
    void draw() {
        for (int pass = 0; pass < 5; ++pass) {
            kit::Input input;
            input.seconds = seconds += 0.01;
            kit.feed(input);
            (void)app->frame(kit);
            if (kit.settled()) break;
        }
    }
    const kit::Control* find(std::string_view id) const {
        for (const kit::Control& control : kit.controls()) {
            if (control.id == id) return &control;
        }
        return nullptr;
    }
};

} // namespace

TEST_CASE("the codes of a site go by ten a second, and a frame is asked for only when the next is due") {
    Bench bench;
    bench.show();
    REQUIRE(bench.state().screen == Screen::codes);
    REQUIRE(bench.state().codes.frames.has_value());
    bench.draw();
    CHECK(bench.state().codes.number == 0);
    REQUIRE(bench.kit.wake().has_value());
    CHECK(*bench.kit.wake() == doctest::Approx(1.0 / bundle::frames_a_second));
    // Drawn again before its time, the same code stands there.
    bench.now.ms += 1'000 / bundle::frames_a_second - 1;
    bench.draw();
    CHECK(bench.state().codes.number == 0);
    bench.now.ms += 1;
    bench.draw();
    CHECK(bench.state().codes.number == 1);
    bench.now.ms += 10'000;
    bench.draw();
    CHECK(bench.state().codes.number == 1 + 10 * bundle::frames_a_second);
    const auto one = bundle::qr_squares(bench.state().codes.frames->frame(0));
    const auto other = bundle::qr_squares(bench.state().codes.frames->frame(bench.state().codes.number));
    REQUIRE(one.has_value());
    REQUIRE(other.has_value());
    CHECK(one->dark != other->dark);
    bench.now.ms -= 60'000; // a clock set back begins anew and breaks nothing
    bench.draw();
    CHECK(bench.state().codes.number == 0);
}

TEST_CASE("Back from the codes shows the site again, where the handing over is noted, and asks for no more frames") {
    Bench bench;
    bench.show();
    bench.draw();
    const std::string site = bench.site();
    bench.kit.press("back");
    bench.draw();
    CHECK(bench.state().screen == Screen::site_sheet);
    CHECK(bench.state().site_id == site);
    CHECK(bench.state().hand_overs.size() == 1);
    bench.draw();
    const auto wake = bench.kit.wake();
    CHECK((!wake || *wake > 1.0 / bundle::frames_a_second));
}

TEST_CASE("without a key nothing is shown as handed over") {
    Bench bench;
    bench.has_key = false;
    bench.show();
    CHECK(bench.state().screen != Screen::codes);
    CHECK(bench.state().trouble.has_value());
    CHECK(bench.state().hand_overs.empty());
}

TEST_CASE("the code stands whole on every glass: nothing must be scrolled to see it") {
    struct Glass { float width, height, px_per_mm; };
    for (const Glass& glass : {Glass{412, 915, 6.3f}, Glass{1280, 800, 6.3f}, Glass{1280, 800, 5.9f}}) {
        Bench bench;
        bench.kit.set_size(glass.width, glass.height, glass.px_per_mm, 1.0f);
        bench.show();
        bench.draw();
        CAPTURE(glass.width);
        float lowest = 0, top_of_bar = glass.height;
        for (const kit::Control& control : bench.kit.controls()) {
            if (control.role == "bar") top_of_bar = std::min(top_of_bar, control.box.y);
            if (control.role == "drawing") {
                lowest = control.box.y + control.box.h;
                CHECK_FALSE(control.clipped);
                CHECK(std::min(control.box.w, control.box.h) >= 55.0f * glass.px_per_mm);
            }
        }
        CHECK(lowest > 0);
        CHECK(lowest <= top_of_bar);
    }
}

} // namespace beckhand
