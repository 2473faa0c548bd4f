// The bottom bar: up to three buttons within the thumb's reach. On a tall screen they share the width by
// what their words need, the main one taking more; on a wide screen they stand at the edges.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float padding_mm = 2.5f;
constexpr float text_pad_mm = 1.5f; // the least

} // namespace

float Kit::Inside::lay_out_bar_row(std::span<BarItem* const> order, float foot) {
    const auto n = static_cast<float>(order.size());
    const float room = width - 2 * m.edge - m.gap * (n - 1.0f);
    const float least = std::min(mm(18.0f), room / n);
    const bool has_main = std::any_of(order.begin(), order.end(), [](const BarItem* i) { return i->main; });

    float wanted = 0, shares = 0, needed = 0;
    for (const BarItem* item : order) {
        wanted += std::max(least, item->want);
        needed += std::max(item->need, mm(12.0f));
        shares += item->main ? 3.0f : 1.0f;
    }
    const bool alone = order.size() == 1 && !has_main && bar_guess.size() == 1;
    float x = m.edge, right = width - m.edge;
    for (BarItem* item : order) {
        float w = std::max(least, item->want);
        if (m.wide) {
            w = std::clamp(item->want, mm(30.0f), std::max(mm(70.0f), item->need));
        } else if (wanted > room && needed < room && wanted > needed) {
            // Each keeps its longest word whole; the rest is shared by what they want.
            const float own = std::max(item->need, mm(12.0f));
            w = own + (w - own) * (room - needed) / (wanted - needed);
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
            lines(item->main ? Face::strong : Face::body, item->label, item->box.w - 2 * mm(text_pad_mm));
        h = std::max(h, capital_height(letters, Face::strong, text.size()) + mm(5.0f));
    }
    h = std::round(h);
    for (BarItem* item : order) {
        item->box.h = h;
        item->box.y = std::round(foot - h);
    }
    return h;
}

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
    // Large letters: as many rows as keep every word whole, the main one lowest.
    std::vector<std::vector<BarItem*>> rows(1);
    float taken = 0;
    for (BarItem* item : order) {
        const float need = std::max(item->need, mm(12.0f));
        if (!rows.back().empty() && taken + need > width - 2 * m.edge) {
            rows.emplace_back();
            taken = 0;
        }
        rows.back().push_back(item);
        taken += need + m.gap;
    }
    float foot = height - m.edge;
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) {
        foot -= lay_out_bar_row(*row, foot) + m.gap;
    }
    bar_height = height - (foot + m.gap) + m.gap;
}

bool Kit::Inside::bar_button(std::string_view id, std::string_view text, Slot slot, bool enabled, bool main) {
    const Face face = main ? Face::strong : Face::body;
    BarItem item;
    item.id = id;
    item.label = text;
    item.slot = slot;
    item.main = main;
    item.want = std::ceil(width_of_line(letters, face, text)) + 2 * mm(padding_mm);
    item.need = std::ceil(width_of_longest_word(letters, face, text)) + 2 * mm(text_pad_mm);
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
    const auto broken = lines(face, text, item.box.w - 2 * mm(text_pad_mm));
    float widest = 0;
    for (const Line& line : broken) {
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
