// What the finger, the wheel and the keys did: which touch is a press, which a scroll, which is not heard.
#include <algorithm>
#include <cmath>
#include <utility>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float slop_mm = 2.0f;        // travel that makes a press a scroll
constexpr float call_off_mm = 4.0f;    // travel that calls a press off
constexpr double deaf_seconds = 0.350; // after a press that may change the screen
constexpr float glide_seconds = 0.32f; // a glide slows by e in this time
constexpr float glide_least = 20.0f;   // px a second
constexpr float wheel_mm = 12.0f;      // a notch
constexpr float off_screen = -3.4e38f; // where Dear ImGui looks for an absent mouse

bool contains(const Box& box, float x, float y) {
    return x >= box.x && x < box.x + box.w && y >= box.y && y < box.y + box.h;
}

} // namespace

bool Kit::press_key(char key) {
    const bool chooses = key == '\r' || (key == ' ' && !strikes_pad(key));
    if (chooses && !inside_->focus.empty()) {
        if (inside_->focus_wants_holding()) {
            return false; // see hold_key
        }
        press(inside_->focus);
        return true;
    }
    inside_->focus.clear();
    const auto press_first = [this](auto&& fits, int n) {
        for (const Control& control : inside_->controls) {
            if (fits(control) && --n == 0) {
                press(control.id);
                return true;
            }
        }
        return false;
    };
    if (key == back_key) {
        return press_first([](const Control& c) { return c.id == "back"; }, 1);
    }
    const bool keypad =
        std::any_of(controls().begin(), controls().end(), [](const Control& c) { return c.role == "key"; });
    if (keypad) {
        const std::string id = key == '\b' ? "erase" : key == '\r' ? "accept" : std::string(1, key);
        return press_first([&id](const Control& c) { return c.role == "key" && c.id == id; }, 1);
    }
    if (key == ' ') {
        return press_first([](const Control& c) { return c.role == "pad"; }, 1);
    }
    if (key >= '1' && key <= '9') {
        return press_first([](const Control& c) { return c.role == "answer"; }, key - '0');
    }
    if (key == '\b') {
        return press_first([](const Control& c) { return c.id == "back"; }, 1);
    }
    return key == '\r' && press_first([](const Control& c) { return c.role == "action"; }, 1);
}

// Decides what a touch is before Dear ImGui sees it. A touch that turned into a scroll is parked off the
// screen while still down: content moves along with the finger, and the button under it would fire on
// release.
void Kit::Inside::follow_finger() {
    ImGuiIO& io = ImGui::GetIO();
    io.DeltaTime = std::clamp(static_cast<float>(input.seconds - seconds), 0.001f, 1.0f / 15.0f);
    seconds = input.seconds;
    const bool down = input.present && input.down;

    if (down && !was_down) {
        focus.clear();
        gesture = seconds < deaf_until ? Gesture::deaf : Gesture::press;
        pressed_at = {input.x, input.y};
        scrolling = -1;
        glide_speed = 0;
        speed = 0;
        moved_at = seconds;
        moved_y = input.y;
        on_control = false;
    } else if (down && gesture == Gesture::press) {
        const float dx = input.x - pressed_at.x, dy = input.y - pressed_at.y;
        if (std::abs(dy) > mm(slop_mm)) {
            for (int i = 0; i < 2; ++i) {
                const Flow& one = flows[static_cast<std::size_t>(i)];
                if (one.used && one.furthest() > 0.0f && contains(one.view, pressed_at.x, pressed_at.y)) {
                    gesture = Gesture::scroll;
                    scrolling = i;
                    scroll_from = one.scroll;
                    finger_from = input.y;
                }
            }
        }
        if (gesture == Gesture::press && std::hypot(dx, dy) > mm(call_off_mm)) {
            gesture = Gesture::called_off;
        }
    }
    if (down && gesture == Gesture::scroll) {
        Flow& one = flows[static_cast<std::size_t>(scrolling)];
        one.scroll = std::clamp(scroll_from - (input.y - finger_from), 0.0f, one.furthest());
        const auto passed = static_cast<float>(seconds - moved_at);
        if (passed > 0.001f) {
            speed = 0.5f * speed + 0.5f * (moved_y - input.y) / passed;
            moved_at = seconds;
            moved_y = input.y;
        }
    }
    if (!down && was_down) {
        tap_moves();
        if (gesture == Gesture::scroll && seconds - moved_at < 0.1) {
            glide_speed = speed;
            glide_since = seconds;
            glide_from = flows[static_cast<std::size_t>(scrolling)].scroll;
        }
    } else if (!down) {
        gesture = Gesture::none;
        if (held_by_key.empty()) {
            held_id.clear();
            held_done = false;
        }
    }
    if (glide_speed != 0.0f && scrolling >= 0) {
        Flow& one = flows[static_cast<std::size_t>(scrolling)];
        const auto t = static_cast<float>(seconds - glide_since);
        const float left = std::exp(-t / glide_seconds);
        one.scroll =
            std::clamp(glide_from + glide_speed * glide_seconds * (1.0f - left), 0.0f, one.furthest());
        if (std::abs(glide_speed) * left < glide_least || one.scroll <= 0.0f ||
            one.scroll >= one.furthest()) {
            glide_speed = 0.0f;
        } else {
            wake_after(1.0 / 30.0);
        }
    }
    if (input.wheel != 0.0f) {
        for (Flow& one : flows) {
            if (one.used && contains(one.view, input.x, input.y)) {
                one.scroll = std::clamp(one.scroll - input.wheel * mm(wheel_mm), 0.0f, one.furthest());
            }
        }
    }
    was_down = down;

    const bool heard = gesture == Gesture::none || gesture == Gesture::press;
    io.MousePos = input.present && heard ? ImVec2{input.x, input.y} : ImVec2{off_screen, off_screen};
    io.MouseDown[0] = down && gesture != Gesture::deaf;
    for (bool& key : io.KeysDown) {
        key = false;
    }
    if (input.key != Key::none) {
        io.KeysDown[static_cast<int>(input.key)] = true;
    }
    if (!input.letters.empty()) {
        io.AddInputCharactersUTF8(input.letters.c_str());
    }
    strikes = std::move(input.strikes); // what no pad took is gone with its screen
    // Given once, however often the frame is drawn again.
    input.strikes.clear();
    input.wheel = 0;
    input.letters.clear();
    input.key = Key::none;
}

void Kit::Inside::tap_moves() {
    if (gesture != Gesture::press || on_control || !may_move) {
        return;
    }
    still = !still && seconds - moving_since < moves_seconds;
    moving_since = seconds;
}

bool Kit::Inside::key_pressed(std::string_view id) {
    if (pressed_id.empty() || pressed_id != id) {
        return false;
    }
    pressed_id.clear();
    return true;
}

Touch Kit::Inside::listen(Control control, float up_mm, float down_mm, float aside_mm) {
    Touch touch;
    const Box box = control.box;
    const std::string id = control.id;
    const std::string role = control.role;
    const bool enabled = control.enabled;
    register_control(std::move(control));
    if (!enabled) {
        return touch;
    }
    ImGui::SetCursorScreenPos({box.x - mm(aside_mm), box.y - mm(up_mm)});
    touch.fired = ImGui::InvisibleButton(id.c_str(), {box.w + 2 * mm(aside_mm), box.h + mm(up_mm + down_mm)});
    touch.held = ImGui::IsItemActive() && gesture == Gesture::press;
    if (input.wet && role != "hold" && role != "pad" && id != "erase") {
        touch.fired = pressed_long_enough(id, box, touch.held);
    }
    on_control = on_control || ImGui::IsItemActive();
    touch.fired = key_pressed(id) || touch.fired;
    const bool stays = role == "key" || role == "tick" || role == "fold" || role == "pad";
    if (touch.fired && !stays) {
        deaf_until = seconds + deaf_seconds;
    }
    return touch;
}

double Kit::Inside::held_for(std::string_view id, bool held) {
    if (!held) {
        if (held_id == id) {
            held_id.clear();
            held_done = false;
        }
        return -1.0;
    }
    if (held_id != id) {
        held_id = id;
        held_since = seconds;
        held_done = false;
    }
    wake_after(1.0 / 30.0);
    return seconds - held_since;
}

} // namespace beckhand::kit
