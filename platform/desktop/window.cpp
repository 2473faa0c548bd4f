#include "platform/desktop/window.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <utility>

#include <SDL.h>
#include <imgui.h>

namespace beckhand {

namespace {

constexpr int frames_after_event = 3;
constexpr float usual_px_per_mm = 6.3f; // 160 to the inch
constexpr float mm_per_inch = 25.4f;

double seconds_now() {
    return static_cast<double>(SDL_GetTicks64()) / 1000.0;
}

/// When it happened, which is not when it is heard: a tap that waited in the queue is as long as it was.
double seconds_of(const SDL_Event& event) {
    const Uint64 now = SDL_GetTicks64();
    const Uint32 ago = static_cast<Uint32>(now) - event.common.timestamp;   // the stamp has the lower half of the clock
    return static_cast<double>(now - std::min<Uint64>(ago, now)) / 1000.0;
}

std::optional<kit::Key> edit_key(SDL_Keycode code) {
    switch (code) {
    case SDLK_BACKSPACE:
        return kit::Key::erase;
    case SDLK_DELETE:
        return kit::Key::remove;
    case SDLK_LEFT:
        return kit::Key::left;
    case SDLK_RIGHT:
        return kit::Key::right;
    case SDLK_RETURN:
    case SDLK_KP_ENTER:
        return kit::Key::enter;
    default:
        return std::nullopt;
    }
}

/// The sign a key stands for on our screens; 0 for none.
char sign_of(SDL_Keycode code) {
    if (code >= SDLK_0 && code <= SDLK_9) {
        return static_cast<char>('0' + (code - SDLK_0));
    }
    if (code >= SDLK_KP_1 && code <= SDLK_KP_9) {
        return static_cast<char>('1' + (code - SDLK_KP_1));
    }
    switch (code) {
    case SDLK_KP_0:
        return '0';
    case SDLK_PERIOD:
    case SDLK_COMMA:
    case SDLK_KP_PERIOD:
        return '.';
    case SDLK_SLASH:
    case SDLK_KP_DIVIDE:
        return '/';
    case SDLK_SPACE:
        return ' ';
    case SDLK_BACKSPACE:
        return '\b';
    case SDLK_AC_BACK:
    case SDLK_ESCAPE:
        return kit::back_key;
    case SDLK_RETURN:
    case SDLK_KP_ENTER:
        return '\r';
    default:
        return 0;
    }
}

/// Where a key moves the focus: forwards 1, backwards -1, not at all 0.
int focus_step(const SDL_Keysym& key) {
    switch (key.sym) {
    case SDLK_TAB:
        return (key.mod & KMOD_SHIFT) != 0 ? -1 : 1;
    case SDLK_DOWN:
    case SDLK_RIGHT:
        return 1;
    case SDLK_UP:
    case SDLK_LEFT:
        return -1;
    default:
        return 0;
    }
}

/// The keys at the side of a phone: pressed shortly they move the focus, held they choose.
int side_key_step(const SDL_Keysym& key) {
    return key.scancode == SDL_SCANCODE_VOLUMEDOWN ? 1 : key.scancode == SDL_SCANCODE_VOLUMEUP ? -1 : 0;
}
constexpr double side_key_held = 0.6;

} // namespace

void Window::Close::operator()(SDL_Window* window) const {
    SDL_DestroyWindow(window);
}
void Window::Close::operator()(SDL_Renderer* renderer) const {
    SDL_DestroyRenderer(renderer);
}

Window::~Window() {
    renderer_.reset();
    sdl_.reset();
    window_.reset();
    SDL_QuitSubSystem(SDL_INIT_VIDEO);
}

Result<std::unique_ptr<Window>> Window::open(const WindowChoice& choice) {
    SDL_SetHint(SDL_HINT_TOUCH_MOUSE_EVENTS, "0"); // fingers are heard as fingers
    SDL_SetHint(SDL_HINT_MOUSE_TOUCH_EVENTS, "0");
    SDL_SetHint(SDL_HINT_VIDEO_ALLOW_SCREENSAVER, "1");
    const auto trouble = [](const char* what) {
        return Problem{"window", std::string(what) + ": " + SDL_GetError() + ".",
                       "Use `beckhand visit` for the same in a terminal."};
    };
    if (SDL_InitSubSystem(SDL_INIT_VIDEO) != 0) {
        return trouble("There is no display to draw on");
    }
    // Where the named display does not answer, SDL goes on with a driver that draws where nobody looks.
    const char* const driver = SDL_GetCurrentVideoDriver();
    const bool seen = driver != nullptr && std::string_view(driver) != "offscreen" && std::string_view(driver) != "dummy" &&
                      std::string_view(driver) != "evdev";
    if (!seen && SDL_getenv("SDL_VIDEODRIVER") == nullptr) {
        SDL_QuitSubSystem(SDL_INIT_VIDEO);
        return trouble("There is no display to draw on");
    }
    std::unique_ptr<Window> made(new Window()); // from here its destructor tidies up
    made->choice_ = choice;
    made->window_.reset(SDL_CreateWindow("Beckhand", SDL_WINDOWPOS_CENTERED, SDL_WINDOWPOS_CENTERED,
                                         choice.width, choice.height,
                                         SDL_WINDOW_RESIZABLE | (choice.dense ? static_cast<unsigned>(SDL_WINDOW_ALLOW_HIGHDPI) : 0u)));
    if (!made->window_) {
        return trouble("The window could not be opened");
    }
    made->sdl_.reset(
        SDL_CreateRenderer(made->window_.get(), -1, SDL_RENDERER_ACCELERATED | SDL_RENDERER_PRESENTVSYNC));
    if (!made->sdl_) {
        made->sdl_.reset(SDL_CreateRenderer(made->window_.get(), -1, SDL_RENDERER_SOFTWARE));
    }
    if (!made->sdl_) {
        return trouble("The window cannot be drawn in");
    }
    made->renderer_ = std::make_unique<Renderer>(made->sdl_.get());
    SDL_StopTextInput();
    return made;
}

void Window::fit(kit::Kit& kit, const Look& look) {
    int width = choice_.width, height = choice_.height, window_width = width, window_height = height;
    SDL_GetRendererOutputSize(sdl_.get(), &width, &height);
    SDL_GetWindowSize(window_.get(), &window_width, &window_height);
    const float ratio =
        window_width > 0 ? static_cast<float>(width) / static_cast<float>(window_width) : 1.0f;
    float px_per_mm = choice_.px_per_mm * ratio, dpi = 0;
    if (px_per_mm <= 0.0f) {
        const bool told = SDL_GetDisplayDPI(std::max(0, SDL_GetWindowDisplayIndex(window_.get())), &dpi,
                                            nullptr, nullptr) == 0;
        const bool believable = told && dpi >= 70.0f && dpi <= 700.0f;
        px_per_mm = believable ? dpi / mm_per_inch : usual_px_per_mm * ratio;
    }
    px_per_mm *= static_cast<float>(look.glass_percent) / 100.0f;
    kit.set_size(static_cast<float>(width), static_cast<float>(height), px_per_mm, look.text_scale);
    kit.set_theme(look.theme);
    feed_.set_density(px_per_mm);
    look_ = look;
    fitted_ = true;
}

void Window::hear(const SDL_Event& event, kit::Kit& kit) {
    int width = 1, height = 1, window_width = 1;
    SDL_GetRendererOutputSize(sdl_.get(), &width, &height);
    SDL_GetWindowSize(window_.get(), &window_width, nullptr);
    const float ratio = static_cast<float>(width) / static_cast<float>(std::max(1, window_width));
    const double happened = seconds_of(event);
    // A touch on a pad is told to it where it comes down, with the time of the event; the rest of it is not heard.
    const auto contact = [&](Contact::What what, long long id, float x, float y) {
        if (what == Contact::down && kit.on_pad(x, y)) {
            strikes_.push_back(happened);
            on_pad_.insert(id);
            return;
        }
        if (on_pad_.count(id) == 0) feed_.hear({what, id, x, y, happened});
        if (what == Contact::up) on_pad_.erase(id);
    };
    const auto finger = [&](Contact::What what) {
        contact(what, event.tfinger.fingerId, event.tfinger.x * static_cast<float>(width),
                event.tfinger.y * static_cast<float>(height));
    };
    const auto mouse = [&](Contact::What what, int x, int y) {
        contact(what, mouse_finger, static_cast<float>(x) * ratio, static_cast<float>(y) * ratio);
    };
    const bool landed = event.type == SDL_FINGERDOWN || event.type == SDL_MOUSEBUTTONDOWN;
    if (landed && choice_.touched) {
        choice_.touched();
    }
    switch (event.type) {
    case SDL_QUIT:
        closed_ = true;
        return;
    case SDL_WINDOWEVENT:
        hidden_ =
            event.window.event == SDL_WINDOWEVENT_HIDDEN || event.window.event == SDL_WINDOWEVENT_MINIMIZED ||
            (hidden_ && event.window.event != SDL_WINDOWEVENT_SHOWN &&
             event.window.event != SDL_WINDOWEVENT_RESTORED && event.window.event != SDL_WINDOWEVENT_EXPOSED);
        fitted_ = fitted_ && event.window.event != SDL_WINDOWEVENT_SIZE_CHANGED &&
                  event.window.event != SDL_WINDOWEVENT_DISPLAY_CHANGED;
        break;
    case SDL_FINGERDOWN:
        finger(Contact::down);
        break;
    case SDL_FINGERMOTION:
        finger(Contact::move);
        break;
    case SDL_FINGERUP:
        finger(Contact::up);
        break;
    case SDL_MOUSEBUTTONDOWN:
        if (event.button.button != SDL_BUTTON_LEFT)
            return;
        mouse(Contact::down, event.button.x, event.button.y);
        break;
    case SDL_MOUSEBUTTONUP:
        if (event.button.button != SDL_BUTTON_LEFT)
            return;
        mouse(Contact::up, event.button.x, event.button.y);
        break;
    case SDL_MOUSEMOTION:
        if ((event.motion.state & SDL_BUTTON_LMASK) == 0)
            return; // hovering means nothing here
        mouse(Contact::move, event.motion.x, event.motion.y);
        break;
    case SDL_MOUSEWHEEL: {
        int x = 0, y = 0;
        SDL_GetMouseState(&x, &y);
        wheel_ += event.wheel.preciseY;
        wheel_x_ = static_cast<float>(x) * ratio;
        wheel_y_ = static_cast<float>(y) * ratio;
        break;
    }
    case SDL_TEXTINPUT:
        letters_ += event.text.text;
        break;
    case SDL_KEYDOWN:
        if (side_key_step(event.key.keysym) != 0) {
            if (event.key.repeat != 0) return;
            side_key_since_ = seconds_now();
            key_holds_ = kit.hold_key(true);
            if (!key_holds_) return;
            break;
        }
        if (kit.wants_letters() && event.key.keysym.sym == SDLK_TAB) { // leaves the text field
            keys_.push_back(kit::Key::enter);
            kit.move_focus(focus_step(event.key.keysym));
        } else if (kit.wants_letters()) {
            if (const auto key = edit_key(event.key.keysym.sym))
                keys_.push_back(*key);
        } else if (const int step = focus_step(event.key.keysym)) {
            if (!kit.move_focus(step))
                return;
        } else if (event.key.repeat == 0) {
            const char sign = sign_of(event.key.keysym.sym);
            const bool chooses = sign == ' ' || sign == '\r';
            if (kit.strikes_pad(sign)) strikes_.push_back(happened);
            else if (chooses && kit.hold_key(true)) key_holds_ = true;
            else if (sign == 0 || !kit.press_key(sign))
                return;
        }
        break;
    case SDL_KEYUP: {
        const int step = side_key_step(event.key.keysym);
        const char sign = sign_of(event.key.keysym.sym);
        if (step == 0 && sign != ' ' && sign != '\r')
            return;
        kit.hold_key(false);
        const bool was_holding = std::exchange(key_holds_, false);
        if (step == 0 && !was_holding)
            return;
        const bool held = seconds_now() - side_key_since_ >= side_key_held;
        if (step != 0 && !held) kit.move_focus(step);
        else if (!was_holding && !kit.press_key('\r')) return;
        break;
    }
    default:
        return;
    }
    frames_due_ = frames_after_event;
}

void Window::show(kit::Kit& kit, const std::function<bool(kit::Kit&)>& draw) {
    const Pointer pointer = feed_.next(seconds_now());
    kit::Input input;
    input.wet = feed_.wet(seconds_now());
    input.present = pointer.present || wheel_ != 0.0f;
    input.down = pointer.down;
    input.x = pointer.present ? pointer.x : wheel_x_;
    input.y = pointer.present ? pointer.y : wheel_y_;
    input.wheel = wheel_;
    input.seconds = seconds_now();
    input.letters = std::move(letters_);
    input.strikes = std::exchange(strikes_, {});
    if (!keys_.empty() && !key_given_) { // a key is let go of between two presses
        input.key = keys_.front();
        keys_.pop_front();
    }
    key_given_ = input.key != kit::Key::none;
    wheel_ = 0;
    letters_.clear();

    kit.feed(input);
    bool changed = false;
    do {
        changed = draw(kit) || changed;
    } while (!kit.settled() && !changed);
    renderer_->draw(*ImGui::GetDrawData());
    SDL_RenderPresent(sdl_.get());
    ++frames_;
    --frames_due_;
    if (changed || key_given_ || !keys_.empty()) {
        frames_due_ = frames_after_event;
    }
    if (kit.wants_letters() != writing_) {
        writing_ = !writing_;
        writing_ ? SDL_StartTextInput() : SDL_StopTextInput();
    }
    const double now = seconds_now();
    const std::optional<double> by_kit = kit.wake(), by_feed = feed_.wake(now);
    const double soonest = std::min(by_kit.value_or(1e9), by_feed.value_or(1e9));
    woken_at_ = soonest < 1e9 ? now + soonest : -1.0;
}

std::optional<double> Window::due() const {
    if (hidden_) return std::nullopt;
    if (!fitted_ || frames_due_ > 0 || feed_.pending()) return 0.0;
    return woken_at_ < 0.0 ? std::nullopt : std::optional<double>(std::max(0.0, woken_at_ - seconds_now()));
}

bool Window::step(kit::Kit& kit, const Look& look, const std::function<bool(kit::Kit&)>& draw,
                  double most_seconds) {
    if (!fitted_ || look.theme != look_.theme || look.text_scale != look_.text_scale ||
        look.glass_percent != look_.glass_percent) {
        fit(kit, look);
        frames_due_ = frames_after_event;
    }
    const auto busy = [&] { return !hidden_ && (frames_due_ > 0 || feed_.pending()); };
    double wait = busy() ? 0.0 : most_seconds;
    if (!busy() && !hidden_ && woken_at_ >= 0.0) {
        wait = std::min(wait, std::max(0.0, woken_at_ - seconds_now()));
    }
    SDL_Event event;
    if (SDL_WaitEventTimeout(&event, static_cast<int>(std::ceil(wait * 1000.0))) != 0) {
        do {
            hear(event, kit);
        } while (SDL_PollEvent(&event) != 0);
    }
    if (closed_) {
        return false;
    }
    if (!fitted_) {
        fit(kit, look);
    }
    const bool woken = !hidden_ && woken_at_ >= 0.0 && seconds_now() >= woken_at_;
    if (busy() || woken) {
        show(kit, draw);
    }
    return true;
}

} // namespace beckhand
