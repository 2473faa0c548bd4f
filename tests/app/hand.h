// A finger and a clock for tests of screens: draws, finds controls by their id, taps, drags and holds, the
// way the platform's pointer feed tells it.
#pragma once

#include <doctest/doctest.h>

#include <functional>
#include <string>

#include "app/kit/kit.h"
#include "platform/desktop/embedded.h"

namespace beckhand {

struct Hand {
    kit::Kit& kit;
    std::function<void()> draw; // one screen, from begin_screen to end_screen
    double seconds = 100.0;
    bool wet = false; // the glass

    void frame(const kit::Input& input) {
        kit::Input timed = input;
        timed.seconds = seconds;
        timed.wet = wet;
        kit.feed(timed);
        draw();
        seconds += 1.0 / 60.0;
    }
    /// Draws until the layout has settled.
    void settle() {
        int passes = 0;
        do {
            frame({});
        } while (!kit.settled() && ++passes < 10);
        REQUIRE(kit.settled());
    }
    [[nodiscard]] const kit::Control* find(std::string_view id) const {
        for (const kit::Control& control : kit.controls()) {
            if (control.id == id)
                return &control;
        }
        return nullptr;
    }
    [[nodiscard]] kit::Box box(std::string_view id) const {
        const kit::Control* const control = find(id);
        REQUIRE_MESSAGE(control != nullptr, "no control called ", std::string(id));
        return control->box;
    }
    static kit::Input at(float x, float y, bool down) {
        kit::Input input;
        input.present = true;
        input.down = down;
        input.x = x;
        input.y = y;
        return input;
    }
    void tap_at(float x, float y) {
        frame(at(x, y, false));
        for (int i = 0; i < 5; ++i)
            frame(at(x, y, true));
        frame(at(x, y, false));
        frame(at(x, y, false));
        frame({});
        seconds += 0.5; // long enough for the screen to listen again
    }
    void tap(std::string_view id) {
        const kit::Box b = box(id);
        tap_at(b.x + b.w / 2, b.y + b.h / 2);
    }
    void drag(float x, float y, float to_x, float to_y, int steps = 12) {
        frame(at(x, y, false));
        frame(at(x, y, true));
        float now_x = x, now_y = y;
        for (int i = 1; i <= steps; ++i) {
            const float t = static_cast<float>(i) / static_cast<float>(steps);
            now_x = x + (to_x - x) * t;
            now_y = y + (to_y - y) * t;
            frame(at(now_x, now_y, true));
        }
        for (int i = 0; i < 12; ++i)
            frame(at(now_x, now_y, true)); // rests, so nothing glides
        frame(at(now_x, now_y, false));
        frame(at(now_x, now_y, false));
        frame({});
        seconds += 0.5;
    }
    /// Holds a control down for so long, then lets go.
    void hold(std::string_view id, double for_seconds) {
        const kit::Box b = box(id);
        const float x = b.x + b.w / 2, y = b.y + b.h / 2;
        frame(at(x, y, false));
        for (const double until = seconds + for_seconds; seconds < until;)
            frame(at(x, y, true));
        frame(at(x, y, false));
        frame(at(x, y, false));
        frame({});
        seconds += 0.5;
    }
};

} // namespace beckhand
