// The window. It draws when something happened and not otherwise: it waits in the operating system for the
// next event, draws until the touch queue is empty and three frames more, and again when a held button or a
// glide asked to be woken. Hidden, it draws nothing.
//   [x] touch, mouse, keys, wheel, text input, resizing, density of the display
//   [ ] on-screen keyboard of the system, more than one window
#pragma once

#include <algorithm>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/kit/kit.h"
#include "engine/problem.h"
#include "platform/desktop/pointer_feed.h"
#include "platform/desktop/renderer.h"

struct SDL_Window;
struct SDL_Renderer;
union SDL_Event;

namespace beckhand {

struct WindowChoice {
    int width = 412, height = 915;
    float px_per_mm = 0; // 0: as the display says, 6.3 when it says nothing believable
    bool dense = true;   // a dot of ours is a dot of the display
    std::function<void()> touched = {}; // told of every contact, before what comes of it
};

/// How the screens are to look: choices of the person, asked before every frame.
struct Look {
    kit::Theme theme = kit::Theme::paper;
    float text_scale = 1.0f;
    int glass_percent = 100;
};

class Window {
public:
    /// Fails with a sentence when there is no display. One window at a time.
    [[nodiscard]] static Result<std::unique_ptr<Window>> open(const WindowChoice& choice);
    ~Window();
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;

    /// Waits for something to happen, at most this long, and draws if it did. `draw` draws one screen with
    /// the kit and returns true when that changed what is to be seen. Returns false when the window was
    /// closed.
    bool step(kit::Kit& kit, const Look& look, const std::function<bool(kit::Kit&)>& draw,
              double most_seconds);

    /// Something beside the window changed what is to be seen.
    void redraw() { frames_due_ = std::max(frames_due_, 1); }

    /// Seconds until the next step has something to draw; none: not before an event.
    [[nodiscard]] std::optional<double> due() const;

    /// Frames shown so far: stands still while nothing happens.
    [[nodiscard]] long frames() const { return frames_; }

private:
    Window() = default;
    void hear(const SDL_Event& event, kit::Kit& kit);
    void fit(kit::Kit& kit, const Look& look);
    void show(kit::Kit& kit, const std::function<bool(kit::Kit&)>& draw);

    struct Close {
        void operator()(SDL_Window* window) const;
        void operator()(SDL_Renderer* renderer) const;
    };
    WindowChoice choice_;
    std::unique_ptr<SDL_Window, Close> window_;
    std::unique_ptr<SDL_Renderer, Close> sdl_;
    std::unique_ptr<Renderer> renderer_;
    PointerFeed feed_{6.3f};
    std::deque<kit::Key> keys_;
    std::string letters_;
    std::vector<double> strikes_;   // of a pad, not told yet
    std::set<long long> on_pad_;    // contacts that came down on one
    float wheel_ = 0, wheel_x_ = 0, wheel_y_ = 0;
    int frames_due_ = 3;
    bool key_given_ = false, writing_ = false, hidden_ = false, closed_ = false, fitted_ = false;
    Look look_;
    bool key_holds_ = false;    // a hold button, or held one until it was chosen
    double side_key_since_ = 0; // when the key at the side of the phone went down
    double woken_at_ = -1; // when the kit or the feed asked for a frame; negative: not at all
    long frames_ = 0;
};

} // namespace beckhand
