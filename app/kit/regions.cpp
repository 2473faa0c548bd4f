// Where things stand: the regions of a screen, and how a column shares out its height.
#include <algorithm>
#include <cmath>
#include <utility>

#include "app/kit/inside.h"

namespace beckhand::kit {

void Kit::Inside::enter(int which) {
    const bool with_side = which == 0 || flows[0].used;
    leave();
    flow = m.wide ? which : 1;
    Flow& one = here();
    if (!one.used) {
        const float bottom = std::floor(height - bar_height_guess), top = std::ceil(header);
        const float split = std::round(width * 0.45f);
        one.view = {0, top, width, bottom - top};
        one.x = m.edge;
        one.w = width - 2 * m.edge;
        if (m.wide && which == 0) {
            one.view.w = split;
            one.w = split - m.edge - m.gap * 1.5f;
        } else if (m.wide && with_side) {
            one.view = {split, top, width - split, bottom - top};
            one.x = split + m.gap * 1.5f;
            one.w = width - m.edge - one.x;
        } else if (m.wide) {
            one.full = one.w;
            one.w = std::min(one.w, mm(m.tablet ? 150.0f : 100.0f)); // longer lines are hard to follow
        }
        one.full = std::max(one.w, m.wide && !with_side ? one.full : 0.0f);
        one.answer_grids_before = std::exchange(one.answer_grids, {});
        one.list_grid_before = std::exchange(one.list_grid, {});
        plan(one);
        one.scroll = std::clamp(one.scroll, 0.0f, std::max(0.0f, one.furthest()));
        one.start = one.view.y + mm(m.tablet ? 1.0f : 0.0f);
        one.y = one.start - std::round(one.scroll);
        one.last_gap = -1;
        one.reveal_by = 0;
        one.fitted = one.folded = one.stretched = 0;
        one.answers = 0;
        one.wants_drawing = false;
        one.used = true;
    }
    ImGui::PushClipRect({one.view.x, one.view.y}, {one.view.x + one.view.w, one.view.y + one.view.h}, true);
    clip_pushed = true;
}

// On a wide screen answers stand in as many columns as spare the scrolling, across and then down, like the
// keys that press them. Where scrolling cannot be spared, in those that take the least height.
int Kit::Inside::columns_that_fit(const Flow& one) const {
    if (!m.wide) {
        return 1;
    }
    const auto tall = [&](int columns) {
        return one.answer_grids_before[static_cast<std::size_t>(columns - 1)].tall(m.gap);
    };
    const float other = one.rest - tall(one.columns);
    const float cell_least = mm(m.tablet ? 45.0f : 30.0f);
    int best = 1;
    for (int columns = 1; columns <= most_columns; ++columns) {
        const bool cuts = one.answer_grids_before[static_cast<std::size_t>(columns - 1)].cuts;
        if (columns > 1 && (cuts || one.full < cell_least * static_cast<float>(columns))) {
            break;
        }
        best = tall(columns) < tall(best) ? columns : best;
        if (other + tall(best) <= one.view.h) {
            break;
        }
    }
    return best;
}

// Answers are 15 mm at least and 20 mm where there is room; the drawing takes 28 % of a tall screen at most
// and folds away under 20 mm, so that a question with four answers needs no scrolling.
void Kit::Inside::plan(Flow& one) const {
    const int columns_before = one.columns;
    one.columns = 1;
    if (one.answers > 0) {
        const auto grid = [&one](int columns) -> const Grid& {
            return one.answer_grids_before[static_cast<std::size_t>(columns - 1)];
        };
        one.columns = columns_before;
        one.columns = columns_that_fit(one);
        one.rest += grid(one.columns).tall(m.gap) - grid(columns_before).tall(m.gap);
        one.answers = static_cast<int>(grid(one.columns).rows.size());
    }
    const float answer_least = mm(15.0f), answer_most = mm(20.0f), drawing_least = mm(m.wide ? 40.0f : 20.0f);
    const float drawing_most = m.wide ? std::max(drawing_least, one.w * 0.95f) : height * 0.28f;
    float left = one.view.h - one.rest;
    one.drawing_h = 0;
    if (one.wants_drawing) {
        left -= m.gap;
        if (m.wide) {
            one.drawing_h = std::clamp(left, drawing_least, drawing_most);
        } else if (left < -m.gap && one.answers <= 2) { // scrolls in any case
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

void Kit::Inside::leave() {
    if (clip_pushed) {
        ImGui::PopClipRect();
        clip_pushed = false;
    }
    flow = -1;
}

Box Kit::Inside::take_cell(Grid& grid, const Grid& before, int columns, float least, float wanted) {
    Flow& one = here();
    if (columns <= 1) {
        const Box box = place(std::max(least, wanted), m.gap);
        grid.add(least, 1);
        return box;
    }
    const bool beside = grid.in_row > 0 && grid.in_row < columns;
    if (!beside) {
        const float known = grid.rows.size() < before.rows.size() ? before.rows[grid.rows.size()] : 0.0f;
        one.cell_line = place(std::max({least, known, wanted}), m.gap);
    }
    grid.add(least, columns);
    Box box = one.cell_line;
    box.w = cell_width(columns);
    box.x += (box.w + m.gap) * static_cast<float>(grid.in_row - 1);
    return box;
}

Box Kit::Inside::take(float h, float gap) {
    Flow& one = here();
    one.list_grid.in_row = 0;
    for (Grid& grid : one.answer_grids) {
        grid.in_row = 0;
    }
    return place(h, gap);
}

Box Kit::Inside::place(float h, float gap) {
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
