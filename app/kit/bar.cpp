// The bottom bar: up to three buttons within the thumb's reach. On a tall screen they share the width by
// what their words need, the main one taking more; on a wide screen they stand at the edges.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float padding_mm = 2.5f;

} // namespace

void Kit::Inside::lay_out_bar() {
    std::vector<BarItem*> order;
    for (BarItem& item : bar_guess) {
        order.push_back(&item);
    }
    std::stable_sort(order.begin(), order.end(),
                     [](const BarItem* a, const BarItem* b) { return a->slot < b->slot; });
    if (order.empty()) {
        return;
    }
    const auto n = static_cast<float>(order.size());
    const float room = width - 2 * m.edge - m.gap * (n - 1.0f);
    const float least = std::min(mm(18.0f), room / n);
    const bool has_main = std::any_of(order.begin(), order.end(), [](const BarItem* i) { return i->main; });

    float wanted = 0, shares = 0;
    for (const BarItem* item : order) {
        wanted += std::max(least, item->want);
        shares += item->main ? 3.0f : 1.0f;
    }
    const bool alone = order.size() == 1 && !has_main;
    float x = m.edge, right = width - m.edge;
    for (BarItem* item : order) {
        float w = std::max(least, item->want);
        if (m.wide) {
            w = std::clamp(item->want, mm(30.0f), mm(70.0f));
        } else if (wanted > room) {
            w *= room / wanted;
        } else {
            w += (room - wanted) * (item->main ? 3.0f : 1.0f) / shares;
            w = alone ? std::max(item->want, room * 0.5f) : w;
        }
        item->box.w = std::floor(w);
        item->box.x = std::round(x);
        x += w + m.gap;
    }
    if (m.wide) {
        for (auto item = order.rbegin(); item != order.rend(); ++item) {
            if ((*item)->slot == Slot::right) {
                right -= (*item)->box.w;
                (*item)->box.x = std::round(right);
                right -= m.gap;
            } else if ((*item)->slot == Slot::middle) {
                (*item)->box.x = std::max((*item)->box.x, std::round((width - (*item)->box.w) / 2.0f));
            }
        }
    }
    float h = m.control;
    for (const BarItem* item : order) {
        const auto text =
            lines(item->main ? Face::strong : Face::body, item->label, item->box.w - 2 * mm(1.5f));
        h = std::max(h, capital_height(letters, Face::strong, text.size()) + mm(5.0f));
    }
    for (BarItem* item : order) {
        item->box.h = std::round(h);
        item->box.y = std::round(height - m.edge - h);
    }
    bar_height = mm(2.0f) + std::round(h) + m.edge;
}

bool Kit::Inside::bar_button(std::string_view id, std::string_view text, Slot slot, bool enabled, bool main) {
    const Face face = main ? Face::strong : Face::body;
    BarItem item;
    item.id = id;
    item.label = text;
    item.slot = slot;
    item.main = main;
    item.want = std::ceil(width_of_line(letters, face, text)) + 2 * mm(padding_mm);
    const auto known =
        std::find_if(bar_guess.begin(), bar_guess.end(), [&](const BarItem& g) { return g.id == id; });
    item.box = known != bar_guess.end()
                   ? known->box
                   : Box{m.edge, height - m.edge - m.control, width - 2 * m.edge, m.control};
    bar_items.push_back(item);

    const Colour fill = !enabled ? palette.card : main ? palette.water_text : palette.paper;
    const Colour letters_on = !enabled ? palette.quiet
                              : main   ? readable_on(fill, palette.paper, palette.ink)
                                       : palette.ink;
    Control made = control(main ? "action" : "bar", id, text, item.box, face, letters_on, fill);
    made.enabled = enabled;
    const Touch touch = listen(std::move(made), 1.0f, 0.0f, 1.0f);
    const Colour pressed = main ? mix(fill, palette.ink, 0.35f) : palette.press;
    box_fill(item.box, touch.held ? pressed : fill);
    if (!main || !enabled) {
        box_outline(item.box, enabled ? palette.quiet : palette.line, m.stroke);
    }
    const auto broken = lines(face, text, item.box.w - 2 * mm(1.5f));
    float widest = 0;
    for (const std::string_view line : broken) {
        widest = std::max(widest, width_of_line(letters, face, line));
    }
    draw_lines_centred(ink(), letters, face, item.box.x + (item.box.w - widest) / 2.0f, item.box.y,
                       item.box.h, letters_on, broken);
    return touch.fired;
}

bool Kit::bar_button(std::string_view id, std::string_view text, Slot slot, bool enabled, bool main_action) {
    return inside_->bar_button(id, text, slot, enabled, main_action);
}

} // namespace beckhand::kit
