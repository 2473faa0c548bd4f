// A pad: one very large control that is struck again and again, each time by its own time stamp.
#include <algorithm>
#include <utility>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float least_mm = 40.0f;
constexpr double glow_seconds = 0.12; // after a strike, so that a finger sees it was felt

bool is_pad(const Control& control) { return control.role == "pad"; }

} // namespace

bool Kit::strikes_pad(char key) const {
    return std::any_of(controls().begin(), controls().end(),
                       [&](const Control& c) { return is_pad(c) && (key == ' ' || (key == '\r' && c.id == focus())); });
}

bool Kit::on_pad(float x, float y) const {
    return std::any_of(controls().begin(), controls().end(), [&](const Control& c) {
        return is_pad(c) && x >= c.box.x && x < c.box.x + c.box.w && y >= c.box.y && y < c.box.y + c.box.h;
    });
}

std::vector<double> Kit::pad(std::string_view id, std::string_view text, bool lit) {
    Inside& in = *inside_;
    Flow& flow = in.here();
    const float used = flow.y + flow.scroll - flow.view.y + (flow.last_gap >= 0.0f ? in.m.gap : 0.0f);
    const float left = std::floor(flow.view.h - used - in.mm(1.5f));
    const Box box = in.take(std::max(left, in.mm(least_mm)), in.m.gap);
    const Palette& p = in.palette;
    const Colour ground = lit ? p.water_text : p.card;
    Control made = in.control("pad", id, text, box, Face::question, readable_on(ground, p.ink, p.paper), ground);
    const Colour colour = made.text;
    std::vector<double> struck = std::exchange(in.strikes, {});
    const Touch touch = in.listen(std::move(made), 0.0f, 0.0f);
    // Where the platform lets the pointer through, it counts when it comes down; a key when it is pressed.
    const bool came_down = ImGui::IsItemActivated() && in.gesture == Gesture::press;
    if (came_down || (touch.fired && !ImGui::IsItemDeactivated())) struck.push_back(in.seconds);
    if (!struck.empty()) in.struck_at = in.seconds;
    const bool glows = in.struck_at >= 0.0 && in.seconds - in.struck_at < glow_seconds;
    if (glows) in.wake_after(glow_seconds);
    in.box_fill(box, glows ? p.press : ground);
    in.box_outline(box, p.water_text, glows ? in.mm(1.6f) : in.mm(0.9f));
    const auto lines = in.lines(Face::question, text, box.w - 2 * in.mm(4.0f));
    float y = box.y + (box.h - in.tall(Face::question, lines.size())) / 2.0f;
    for (const std::string_view line : lines) {
        const float w = width_of_line(in.letters, Face::question, line);
        draw_lines(in.ink(), in.letters, Face::question, box.x + (box.w - w) / 2.0f, y, glows ? readable_on(p.press, p.ink, p.paper) : colour, {line});
        y += in.tall(Face::question, 1);
    }
    return struck;
}

} // namespace beckhand::kit
