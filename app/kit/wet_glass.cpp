// Water on the glass: drops press too, so a press takes half a second and fills while it does; a strip below the
// heading says so, and gives five deaf seconds to wipe the glass.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr double press_seconds = 0.5;
constexpr double wipe_seconds = 5.0;
constexpr const char* wet_words = "Wet glass: press for half a second. Press here to wipe it.";
constexpr const char* wipe_words = "Wipe the glass: nothing is pressed for ";

} // namespace

void Kit::Inside::wet_strip() {
    const bool wiping = seconds < wiping_until;
    if (!input.wet && !wiping) {
        return;
    }
    const auto left = static_cast<int>(std::ceil(wiping_until - seconds));
    const std::string words = wiping ? wipe_words + std::to_string(left) + " s." : wet_words;
    const auto broken = lines(Face::body, words, width - 2 * m.edge - 2 * mm(3.0f));
    const float h = std::max(m.control, capital_height(letters, Face::body, broken.size()) + 2 * mm(3.0f));
    const Box box{m.edge, header, width - 2 * m.edge, std::round(h)};
    header += box.h + m.gap;
    Control made = control("quiet", "wipe", words, box, Face::body, palette.ink, palette.card);
    made.enabled = !wiping;
    const Touch touch = listen(std::move(made), 0.0f, 0.0f);
    box_fill(box, touch.held ? palette.press : palette.card);
    box_outline(box, palette.watch_text, m.stroke);
    draw_lines_centred(ink(), letters, Face::body, box.x + mm(3.0f), box.y, box.h, palette.ink, broken);
    if (touch.fired) {
        wiping_until = deaf_until = seconds + wipe_seconds;
    }
    if (seconds < wiping_until) {
        wake_after(std::min(1.0, wiping_until - seconds));
    }
}

bool Kit::Inside::pressed_long_enough(const std::string& id, const Box& box, bool held) {
    const double so_far = held_for(id, held);
    if (so_far < 0.0) {
        return false;
    }
    wet_press = box;
    wet_share = std::min(1.0f, static_cast<float>(so_far / press_seconds));
    if (so_far < press_seconds || held_done) {
        return false;
    }
    held_done = true;
    return true;
}

// Drawn last, over the control that is being pressed.
void Kit::Inside::show_how_long() {
    if (wet_share <= 0.0f) {
        return;
    }
    const float y = wet_press.y + wet_press.h;
    ink().AddRectFilled({wet_press.x, y - mm(1.5f)}, {wet_press.x + wet_press.w * wet_share, y}, paint(palette.water_text));
    wet_share = 0.0f;
}

} // namespace beckhand::kit
