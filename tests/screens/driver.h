// Drives the program as a person does: the real App over a real log, in the real window without a display, pressed by
// SDL's finger and key events. Controls are found by what they mean (role, words), never by where they stand.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "app/app.h"
#include "platform/desktop/window.h"

namespace beckhand::screens {

class Driver {
public:
    /// `works`: what is worked out beside the drawing too, as the program's own loop does.
    Driver(const Pack& pack, Store& store, bool works = false, int width = 412, int height = 915);

    App& app() { return *app_; }
    kit::Kit& kit() { return *kit_; }
    [[nodiscard]] long frames() const { return window_->frames(); }
    [[nodiscard]] int taps() const { return taps_; }

    /// Lets the window step for so long, as its own loop does.
    void run(double seconds);
    /// Until nothing is drawn any more.
    void rest();

    /// The control of this role whose words begin like this; null where there is none. An empty role: any that is
    /// pressed.
    [[nodiscard]] const kit::Control* find(std::string_view role, std::string_view words) const;
    [[nodiscard]] bool says(std::string_view words) const;
    /// Scrolled into view with the finger where it must be, then pressed. Fails the test where it is not there, is
    /// disabled or stays out of reach.
    void tap(std::string_view role, std::string_view words);
    void hold(std::string_view role, std::string_view words, double seconds);
    void drag(float x, float y, float to_x, float to_y);
    void type(std::string_view digits); // on the keypad, with the finger
    void key(int sdl_keycode, int sdl_scancode = 0, double held = 0.0);

private:
    void finger(unsigned what, float x, float y);
    const kit::Control& in_view(std::string_view role, std::string_view words);

    std::unique_ptr<kit::Kit> kit_;
    std::unique_ptr<Window> window_;
    std::unique_ptr<App> app_;
    float width_, height_;
    bool works_;
    int taps_ = 0;
};

} // namespace beckhand::screens
