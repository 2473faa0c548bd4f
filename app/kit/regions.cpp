// Where things stand: the regions of a screen, and how a column shares out its height.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

void Kit::Inside::enter(int which) {
    const bool with_side = which == 0 || flows[0].used;
    leave();
    flow = m.wide ? which : 1;
    Flow& one = here();
    if (!one.used) {
        const float bottom = height - bar_height_guess;
        const float split = std::round(width * 0.45f);
        one.view = {0, header, width, bottom - header};
        one.x = m.edge;
        one.w = width - 2 * m.edge;
        if (m.wide && which == 0) {
            one.view.w = split;
            one.w = split - m.edge - m.gap * 1.5f;
        } else if (m.wide && with_side) {
            one.view = {split, header, width - split, bottom - header};
            one.x = split + m.gap * 1.5f;
            one.w = width - m.edge - one.x;
        } else if (m.wide) {
            one.w = std::min(one.w, mm(m.tablet ? 150.0f : 100.0f)); // longer lines are hard to follow
            one.x = std::round((width - one.w) / 2.0f);
        }
        plan(one);
        one.scroll = std::clamp(one.scroll, 0.0f, std::max(0.0f, one.furthest()));
        one.start = one.view.y + mm(1.0f);
        one.y = one.start - std::round(one.scroll);
        one.last_gap = -1;
        one.fitted = one.folded = one.stretched = 0;
        one.answers = 0;
        one.wants_drawing = false;
        one.used = true;
    }
    ImGui::PushClipRect({one.view.x, one.view.y}, {one.view.x + one.view.w, one.view.y + one.view.h}, true);
    clip_pushed = true;
}

// Answers are 15 mm at least and 20 mm where there is room; the drawing takes 28 % of a tall screen at most
// and folds away under 24 mm, so that a question with four answers needs no scrolling.
void Kit::Inside::plan(Flow& one) const {
    const float answer_least = mm(15.0f), answer_most = mm(20.0f), drawing_least = mm(m.wide ? 40.0f : 24.0f);
    const float drawing_most = m.wide ? std::max(drawing_least, one.w * 0.95f) : height * 0.28f;
    float left = one.view.h - one.rest;
    one.drawing_h = 0;
    if (one.wants_drawing) {
        left -= m.gap;
        if (m.wide) {
            one.drawing_h = std::clamp(left, drawing_least, drawing_most);
        } else if (left < -m.gap) { // scrolls in any case
            one.drawing_h = height * 0.22f;
        } else if (left >= drawing_least) {
            one.drawing_h = std::min(drawing_most, std::max(drawing_least, left * 0.7f));
        } else {
            left += m.gap;
        }
        left -= one.drawing_h;
    }
    const auto n = static_cast<float>(one.answers);
    const float stretch = n > 0.0f ? std::clamp(left / n, 0.0f, answer_most - answer_least) : 0.0f;
    one.answer_h = std::floor(answer_least + stretch);
    left -= stretch * n;
    if (one.drawing_h > 0.0f && left > 0.0f) {
        one.drawing_h = std::min(std::max(drawing_most, one.drawing_h), one.drawing_h + left);
    }
    one.drawing_h = std::floor(one.drawing_h);
}

void Kit::Inside::pair_folds() {
    const bool beside = m.wide && flows[0].used;
    const float w = ((beside ? flows[0].w : flows[1].w) - m.gap) / 2.0f - 2 * mm(3.0f) - mm(3.6f) - mm(2.0f);
    const std::size_t most_lines = m.wide ? 1 : 2;
    for (std::size_t i = 0; i + 1 < fold_guess.size(); ++i) {
        FoldItem &a = fold_guess[i], &b = fold_guess[i + 1];
        const auto lines_a = lines(Face::body, a.heading, w).size(),
                   lines_b = lines(Face::body, b.heading, w).size();
        if (a.half != FoldItem::right && !a.open && !b.open && b.order == a.order + 1 &&
            std::max(lines_a, lines_b) <= most_lines) {
            a.half = FoldItem::left;
            b.half = FoldItem::right;
            a.h = b.h = std::max(m.control, capital_height(letters, Face::body, std::max(lines_a, lines_b)) +
                                                2 * mm(2.6f));
        }
    }
}

void Kit::Inside::leave() {
    if (clip_pushed) {
        ImGui::PopClipRect();
        clip_pushed = false;
    }
    flow = -1;
}

Box Kit::Inside::take(float h, float gap) {
    Flow& one = here();
    if (one.last_gap >= 0.0f) {
        one.y += std::max(one.last_gap, gap);
    }
    const Box box{one.x, std::round(one.y), one.w, std::round(h)};
    one.y = box.y + box.h;
    one.last_gap = gap;
    return box;
}

} // namespace beckhand::kit
