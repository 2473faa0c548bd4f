// The focus of the keys: which control they are at, its mark, and bringing it into view. For gloves, wet glass, and
// who cannot hit a button: everything can be reached with two keys that move and one that chooses.
#include <algorithm>

#include "app/kit/inside.h"

namespace beckhand::kit {

bool is_pressed(const Control& control) {
    constexpr std::array roles{"answer", "action", "bar", "quiet", "row", "tick", "fold", "hold", "key", "field", "pad"};
    return std::any_of(roles.begin(), roles.end(), [&](const char* role) { return control.role == role; });
}

std::string_view Kit::focus() const {
    return inside_->focus;
}

bool Kit::move_focus(int by) {
    Inside& in = *inside_;
    std::vector<const Control*> all;
    for (const Control& control : in.controls) {
        if (is_pressed(control) && control.enabled) {
            all.push_back(&control);
        }
    }
    if (all.empty()) {
        return false;
    }
    const auto at = std::find_if(all.begin(), all.end(), [&](const Control* c) { return c->id == in.focus; });
    const auto n = static_cast<std::ptrdiff_t>(all.size());
    const std::ptrdiff_t before = at == all.end() ? (by > 0 ? -1 : n) : at - all.begin();
    const Control& next = *all[static_cast<std::size_t>(((before + by) % n + n) % n)];
    in.focus = next.id;
    in.bring_into_view(next);
    return true;
}

bool Kit::Inside::focus_wants_holding() const {
    return std::any_of(controls.begin(), controls.end(),
                       [this](const Control& c) { return c.id == focus && c.role == "hold" && c.enabled; });
}

bool Kit::hold_key(bool down) {
    Inside& in = *inside_;
    in.held_by_key = down && in.focus_wants_holding() ? in.focus : "";
    return !in.held_by_key.empty();
}

void Kit::Inside::bring_into_view(const Control& control) {
    if (control.region < 0) {
        return;
    }
    Flow& one = flows[static_cast<std::size_t>(control.region)];
    const float air = mm(3.0f);
    const float above = one.view.y + air - control.box.y;
    const float below = control.box.y + control.box.h + air - (one.view.y + one.view.h);
    const float by = above > 0.0f ? -above : std::max(0.0f, std::min(below, -above));
    one.scroll = std::clamp(one.scroll + by, 0.0f, one.furthest());
}

/// A second firm line around it, in the gap between two controls.
void Kit::Inside::draw_focus() {
    const auto found = std::find_if(controls.begin(), controls.end(), [this](const Control& c) {
        return !focus.empty() && c.id == focus && is_pressed(c) && c.enabled;
    });
    if (found == controls.end()) {
        focus.clear();
        return;
    }
    const Box& b = found->box;
    const Box view = found->region < 0 ? Box{0, 0, width, height} : flows[static_cast<std::size_t>(found->region)].view;
    const float out = mm(1.3f);
    ink().PushClipRect({view.x, view.y}, {view.x + view.w, view.y + view.h}, true);
    ink().AddRect({b.x - out, b.y - out}, {b.x + b.w + out, b.y + b.h + out}, paint(palette.ink), m.radius + out, 0,
                  mm(0.9f));
    ink().PopClipRect();
}

void Kit::note_ink(bool on) {
    inside_->noting = on;
    inside_->letters.noted = on ? &inside_->noted : nullptr;
}

const std::vector<Inked>& Kit::inked() const {
    return inside_->noted;
}

} // namespace beckhand::kit
