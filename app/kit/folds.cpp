// What opens in place: two closed ones share a line where both fit, and what a press opens is scrolled into
// view.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float pad_mm = 4.0f;      // from a box to its text
constexpr float text_gap_mm = 2.0f; // between paragraphs

} // namespace

void Kit::Inside::pair_folds() {
    const bool beside = m.wide && flows[0].used;
    const float across = (beside ? flows[0].w : flows[1].w) - m.gap;
    const float around = 2 * mm(3.0f) + mm(3.6f) + mm(2.0f); // padding and sign
    const std::size_t most_lines = m.wide ? 1 : 2;
    for (std::size_t i = 0; i + 1 < fold_guess.size(); ++i) {
        FoldItem &a = fold_guess[i], &b = fold_guess[i + 1];
        // What is over is shared; a long heading takes from a short one.
        const float need_a = width_of_line(letters, Face::body, a.heading) + around + 1.0f,
                    need_b = width_of_line(letters, Face::body, b.heading) + around + 1.0f;
        const bool both = need_a + need_b <= across;
        const float even = across / 2.0f;
        a.w = std::floor(both ? std::clamp(even, need_a, across - need_b) : even);
        b.w = std::floor(across - a.w);
        const auto lines_a = lines(Face::body, a.heading, a.w - around).size(),
                   lines_b = lines(Face::body, b.heading, b.w - around).size();
        if (a.half != FoldItem::right && !a.open && !b.open && b.order == a.order + 1 &&
            std::max(lines_a, lines_b) <= most_lines) {
            a.half = FoldItem::left;
            b.half = FoldItem::right;
            a.h = b.h = std::max(m.control, capital_height(letters, Face::body, std::max(lines_a, lines_b)) +
                                                2 * mm(2.6f));
        }
    }
}

/// The fold just opened is seen with as much of its inside as the view holds.
void Kit::Inside::reveal_from(std::string_view id, float top) {
    if (reveal != id) {
        return;
    }
    Flow& one = here();
    const float below = one.y + m.gap - (one.view.y + one.view.h);
    one.reveal_by = std::max(0.0f, std::min(below, top - one.view.y - mm(1.0f)));
    reveal.clear();
}

bool Kit::fold(std::string_view id, std::string_view heading, bool open,
               const std::function<void()>& inside) {
    Inside& in = *inside_;
    // On a wide screen it stands under the drawing: detail beside the question, not below it.
    if (in.m.wide && in.flow == 1 && in.flows[0].used) {
        in.enter(0);
        const bool pressed = fold(id, heading, open, inside);
        in.enter(1);
        return pressed;
    }
    FoldItem item;
    item.id = id;
    item.heading = heading;
    item.open = open;
    item.order = in.controls.size();
    in.folds.push_back(item);
    const auto known = std::find_if(in.fold_guess.begin(), in.fold_guess.end(),
                                    [&](const FoldItem& f) { return f.same(item); });
    const FoldItem::Half half = known == in.fold_guess.end() ? FoldItem::whole : known->half;

    const float sign = in.mm(3.6f);
    const float pad = in.mm(half == FoldItem::whole ? pad_mm : 3.0f),
                indent = sign + in.mm(half == FoldItem::whole ? 3.0f : 2.0f);
    Box box = half == FoldItem::right ? in.fold_line : Box{};
    const float w = half == FoldItem::whole ? in.here().w : known->w;
    const auto lines = in.lines(Face::body, heading, w - indent - 2 * pad);
    if (half != FoldItem::right) {
        const float text_h = capital_height(in.letters, Face::body, lines.size());
        box = in.take(half == FoldItem::left ? known->h : std::max(in.m.control, text_h + 2 * in.mm(3.0f)),
                      in.m.gap);
        in.fold_line = box;
    }
    box.x += half == FoldItem::right ? box.w - w : 0.0f;
    box.w = w;
    Control made = in.control("fold", id, heading, box, Face::body, in.palette.water_text, in.palette.paper);
    made.chosen = open;
    const Touch touch = in.listen(std::move(made));
    if (touch.held) {
        in.box_fill(box, in.palette.press);
    }
    in.box_outline(box, in.palette.line, in.m.stroke);
    plus_or_minus(in.ink(), in.palette.water_text, {box.x + pad + sign / 2.0f, box.y + box.h / 2.0f}, sign,
                  in.mm(0.7f), !open);
    draw_lines_centred(in.ink(), in.letters, Face::body, box.x + pad + indent, box.y, box.h,
                       in.palette.water_text, lines);
    if (!open) {
        in.reveal = touch.fired ? id : in.reveal;
        return touch.fired;
    }
    Flow& flow = in.here();
    const float from = flow.y;
    flow.x += in.m.gap;
    flow.w -= in.m.gap;
    flow.last_gap = in.mm(text_gap_mm);
    inside();
    flow.x -= in.m.gap;
    flow.w += in.m.gap;
    in.ink().AddRectFilled({box.x, from + in.mm(1.0f)}, {box.x + in.mm(0.8f), flow.y},
                           paint(in.palette.water));
    flow.last_gap = in.m.gap;
    flow.folded += flow.y - from;
    in.reveal_from(id, box.y);
    return touch.fired;
}

} // namespace beckhand::kit
