#include "tests/screens/driver.h"

#include <doctest/doctest.h>

#include <cstdlib>

#include <SDL.h>

#include "platform/desktop/run.h"
#include "platform/desktop/session.h"

namespace beckhand::screens {

using kit::Control;

namespace {
constexpr double pressed_for = 0.09; // a tap; the pointer feed wants 45 ms
constexpr double deaf_for = 0.40;    // a new screen is deaf for 350 ms
} // namespace

Driver::Driver(const Pack& pack, Store& store, bool works, int width, int height)
    : kit_(kit_with_letters()), width_(static_cast<float>(width)), height_(static_cast<float>(height)), works_(works) {
    setenv("SDL_VIDEODRIVER", "dummy", 1);
    auto window = Window::open({width, height, 6.3f});
    if (!window) FAIL(window.error().sentence());
    window_ = std::move(*window);
    app_ = std::make_unique<App>(pack, Services{&store, clock_now, random_bytes});
    app_->start();
    rest();
}

void Driver::run(double seconds) {
    const Uint64 until = SDL_GetTicks64() + static_cast<Uint64>(seconds * 1000);
    do {
        const bool open = window_->step(
            *kit_, {app_->state().theme, app_->state().text_scale}, [this](kit::Kit& kit) { return app_->frame(kit); },
            0.01);
        REQUIRE(open);
        if (works_ && app_->work()) window_->redraw();
    } while (SDL_GetTicks64() < until);
}

void Driver::rest() {
    for (int i = 0; i < 2000; ++i) {
        const long before = frames();
        run(0.03);
        if (frames() == before && !app_->state().saving) return;
    }
    FAIL("the window does not come to rest");
}

const Control* Driver::find(std::string_view role, std::string_view words) const {
    for (const Control& control : kit_->controls()) {
        const bool fits = role.empty() ? kit::is_pressed(control) : control.role == role;
        if (fits && std::string_view(control.label).starts_with(words)) return &control;
    }
    return nullptr;
}

bool Driver::says(std::string_view words) const {
    for (const Control& control : kit_->controls()) {
        if (control.label.find(words) != std::string::npos) return true;
    }
    return false;
}

void Driver::finger(unsigned what, float x, float y) {
    SDL_Event event{};
    event.type = what;
    event.tfinger.fingerId = 7;
    event.tfinger.x = x / width_;
    event.tfinger.y = y / height_;
    SDL_PushEvent(&event);
}

void Driver::drag(float x, float y, float to_x, float to_y) {
    finger(SDL_FINGERDOWN, x, y);
    run(0.02);
    constexpr int steps = 10;
    for (int i = 1; i <= steps; ++i) {
        const float t = static_cast<float>(i) / steps;
        finger(SDL_FINGERMOTION, x + (to_x - x) * t, y + (to_y - y) * t);
        run(0.01);
    }
    run(0.15); // rests, so that nothing glides
    finger(SDL_FINGERUP, to_x, to_y);
    rest();
}

const Control& Driver::in_view(std::string_view role, std::string_view words) {
    const std::string what = std::string(role) + " '" + std::string(words) + "'";
    for (int tries = 0; tries < 40; ++tries) {
        const Control* const control = find(role, words);
        if (control == nullptr) {
            std::string there;
            for (const Control& one : kit_->controls()) there += one.role + " '" + one.label.substr(0, 40) + "'; ";
            FAIL("nothing like ", what, " among ", there);
        }
        REQUIRE_MESSAGE(control->enabled, what);
        if (!control->clipped) return *control;
        const bool below = control->box.y + control->box.h > height_ / 2;
        const float x = control->box.x + control->box.w / 2, middle = height_ * 0.45f, by = height_ * 0.25f;
        drag(x, middle, x, below ? middle - by : middle + by);
    }
    FAIL("out of reach: ", what);
    std::abort();
}

void Driver::tap(std::string_view role, std::string_view words) {
    const Control& control = in_view(role, words);
    const float x = control.box.x + control.box.w / 2, y = control.box.y + control.box.h / 2;
    const bool stays = control.role == "key" || control.role == "tick" || control.role == "fold";
    ++taps_;
    finger(SDL_FINGERDOWN, x, y);
    run(pressed_for);
    finger(SDL_FINGERUP, x, y);
    run(stays ? 0.05 : deaf_for);
    rest();
}

void Driver::hold(std::string_view role, std::string_view words, double seconds) {
    const Control& control = in_view(role, words);
    const float x = control.box.x + control.box.w / 2, y = control.box.y + control.box.h / 2;
    ++taps_;
    finger(SDL_FINGERDOWN, x, y);
    run(seconds);
    finger(SDL_FINGERUP, x, y);
    run(deaf_for);
    rest();
}

void Driver::type(std::string_view digits) {
    for (const char digit : digits) {
        tap("key", std::string_view(&digit, 1));
        run(0.26); // two presses of one key are no bounce
    }
}

void Driver::key(int sdl_keycode, int sdl_scancode, double held) {
    SDL_Event event{};
    event.type = SDL_KEYDOWN;
    event.key.keysym.sym = sdl_keycode;
    event.key.keysym.scancode = static_cast<SDL_Scancode>(sdl_scancode);
    SDL_PushEvent(&event);
    run(held);
    event.type = SDL_KEYUP;
    SDL_PushEvent(&event);
    rest();
}

} // namespace beckhand::screens
