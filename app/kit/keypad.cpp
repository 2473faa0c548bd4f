// The keypad: figure, unit and note on top, four rows of three keys below, in the order of a calculator. On
// a wide screen the figure stands at the left of the keys. Accept goes to the bottom bar.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

struct KeyMark {
    const char* id;
    char digit;
};
constexpr std::array<KeyMark, 11> marks = {{{"7", '7'},
                                            {"8", '8'},
                                            {"9", '9'},
                                            {"4", '4'},
                                            {"5", '5'},
                                            {"6", '6'},
                                            {"1", '1'},
                                            {"2", '2'},
                                            {"3", '3'},
                                            {".", '.'},
                                            {"0", '0'}}};
constexpr double clear_seconds = 0.8;

} // namespace

KeypadPress Kit::keypad(std::string_view id, const Typed& typed, char& digit, std::string_view accept) {
    Inside& in = *inside_;
    const Metrics& m = in.m;
    const Palette& p = in.palette;
    KeypadPress press = KeypadPress::none;
    Flow& flow = in.here();

    const float keys_least = 3 * m.key + 2 * m.gap;
    const bool beside = m.wide && flow.w >= keys_least + in.mm(34.0f) + m.gap;
    const float keys_w = beside ? keys_least : flow.w;
    const float figure_w = beside ? flow.w - keys_w - 2 * m.gap : flow.w;

    const auto key = [&](Box box, const char* name, std::string_view label, Face face) {
        Control made = in.control("key", name, label, box, face, p.ink, p.card);
        const Touch touch = in.listen(std::move(made), 1.0f, 2.0f, 1.5f);
        in.box_fill(box, touch.held ? p.press : p.card);
        in.box_outline(box, touch.held ? p.water_text : p.line, touch.held ? in.mm(0.9f) : m.stroke);
        return touch;
    };
    const auto centred = [&](Box box, Face face, std::string_view text, Colour colour) {
        const float w = width_of_line(in.letters, face, text);
        draw_lines_centred(in.ink(), in.letters, face, box.x + (box.w - w) / 2.0f, box.y, box.h, colour,
                           {text});
    };

    // The figure with its unit. The unit is a key when there is another one to change to.
    const float figure_h = std::max(in.mm(14.0f), capital_height(in.letters, Face::figure, 1) + in.mm(5.0f));
    const auto note_lines = in.lines(Face::small, typed.note, figure_w - (typed.wrong ? in.mm(6.0f) : 0.0f));
    const float note_h = note_lines.empty() ? 0.0f : in.tall(Face::small, note_lines.size()) + in.mm(1.5f);
    const float unit_text = width_of_line(in.letters, Face::strong, typed.unit);
    const float unit_w = std::max(in.mm(16.0f), unit_text + in.mm(5.0f));
    const float unit_row = beside ? m.control + m.gap : 0.0f; // the unit below the figure
    const bool fractions = typed.unit == "in";
    // Keys are 17 mm high; less, never under 12, where that spares the scrolling.
    const float over_keys = beside ? 0.0f : figure_h + note_h + in.mm(2.0f);
    const float below_keys = fractions ? m.control + m.gap : 0.0f;
    const float room_left = flow.view.h - (flow.y + flow.scroll - flow.view.y) -
                            (flow.last_gap >= 0.0f ? m.gap : 0.0f) - in.mm(1.5f) - over_keys - below_keys;
    const float key_h =
        std::clamp(std::floor((room_left - 3 * m.gap) / 4.0f), std::ceil(in.mm(12.0f)), std::floor(m.key));
    const float grid_h = 4 * key_h + 3 * m.gap + below_keys;
    const Box all =
        in.take(beside ? std::max(grid_h, figure_h + unit_row + note_h) : over_keys + grid_h, m.gap);

    const Box figure{all.x, all.y, beside ? figure_w : figure_w - unit_w - m.gap, figure_h};
    in.box_fill(figure, p.card);
    in.ink().AddRectFilled({figure.x, figure.y + figure.h - in.mm(0.9f)},
                           {figure.x + figure.w, figure.y + figure.h},
                           paint(typed.wrong ? p.stop_text : p.water_text));
    // What is typed stands at the right and is never cut: long ones are set smaller.
    const float room = figure.w - in.mm(5.0f);
    const Face faces[] = {Face::figure, Face::question, Face::strong, Face::small};
    const Face* face = faces;
    while (face != faces + 3 && width_of_line(in.letters, *face, typed.text) > room) {
        ++face;
    }
    const float typed_w = width_of_line(in.letters, *face, typed.text);
    const float typed_x = figure.x + figure.w - in.mm(2.5f) - typed_w;
    draw_lines_centred(in.ink(), in.letters, *face, typed_x, figure.y, figure.h, p.ink,
                       {std::string_view(typed.text)});
    if (typed.text.empty()) {
        const float x = figure.x + figure.w - in.mm(3.0f); // where the first digit will stand
        in.ink().AddRectFilled({x - in.mm(0.6f), figure.y + in.mm(3.0f)},
                               {x, figure.y + figure.h - in.mm(3.5f)}, paint(p.water_text));
    }
    in.register_control(in.control("figure", id, typed.text, figure, *face, p.ink, p.card));

    const Box unit{beside ? all.x : all.x + figure_w - unit_w,
                   beside ? figure.y + figure_h + m.gap : all.y + (figure_h - m.control) / 2.0f,
                   beside ? figure_w : unit_w, m.control};
    if (typed.other_unit.empty()) {
        in.register_control(in.control("text", "", typed.unit, unit, Face::strong, p.ink, p.paper));
        draw_lines_centred(in.ink(), in.letters, Face::strong, unit.x + in.mm(beside ? 0.0f : 1.0f), unit.y,
                           unit.h, p.ink, {std::string_view(typed.unit)});
    } else {
        Control made = in.control("key", "unit", typed.unit + ", change to " + typed.other_unit, unit,
                                  Face::strong, p.water_text, p.paper);
        const Touch touch = in.listen(std::move(made), 1.0f, 1.0f, 1.0f);
        in.box_fill(unit, touch.held ? p.press : p.paper);
        in.box_outline(unit, p.quiet, m.stroke);
        centred(unit, Face::strong, typed.unit, p.water_text);
        press = touch.fired ? KeypadPress::unit : press;
    }
    if (!note_lines.empty()) {
        const float y = figure.y + figure_h + unit_row + in.mm(1.0f);
        const float indent = typed.wrong ? in.mm(6.0f) : 0.0f;
        const Colour colour = typed.wrong ? p.stop_text : p.quiet;
        if (typed.wrong) {
            tone_sign(in.ink(), p, Tone::stop,
                      {all.x + in.mm(2.0f), y + size_of(in.letters, Face::small) * 0.52f}, in.mm(3.2f));
        }
        draw_lines(in.ink(), in.letters, Face::small, all.x + indent, y, colour, note_lines);
        in.register_control(in.control("note", "", typed.note, {all.x, y, figure_w, note_h - in.mm(1.0f)},
                                       Face::small, colour, p.paper));
    }

    // The keys.
    const float x = beside ? all.x + all.w - keys_w : all.x;
    float y = beside ? all.y : figure.y + figure_h + note_h + in.mm(2.0f);
    const float w = std::floor((keys_w - 2 * m.gap) / 3.0f);
    const auto place = [&](std::size_t n) {
        const auto column = static_cast<float>(n % 3), line = static_cast<float>(n / 3);
        return Box{std::round(x + column * (w + m.gap)), std::round(y + line * (key_h + m.gap)), w, key_h};
    };
    for (std::size_t n = 0; n < marks.size(); ++n) {
        const Box box = place(n);
        if (key(box, marks[n].id, marks[n].id, Face::question).fired) {
            press = KeypadPress::digit;
            digit = marks[n].digit;
        }
        centred(box, Face::question, marks[n].id, p.ink);
    }
    const Box erase = place(marks.size());
    const Touch erased = key(erase, "erase", "erase", Face::small);
    const double held = in.held_for("erase", erased.held);
    if (held >= clear_seconds && !in.held_done) {
        in.held_done = true;
        press = KeypadPress::clear;
    } else if (erased.fired && !(in.held_done && in.held_id == "erase")) {
        press = KeypadPress::erase;
    }
    // An arrow to the left: the last sign goes.
    const ImVec2 c{erase.x + erase.w / 2.0f, erase.y + erase.h / 2.0f};
    const ImVec2 shaft[] = {{c.x - in.mm(3.5f), c.y}, {c.x + in.mm(3.5f), c.y}};
    const ImVec2 head[] = {{c.x - in.mm(0.9f), c.y - in.mm(2.4f)},
                           {c.x - in.mm(3.5f), c.y},
                           {c.x - in.mm(0.9f), c.y + in.mm(2.4f)}};
    round_line(in.ink(), p.ink, shaft, in.mm(0.8f));
    round_line(in.ink(), p.ink, head, in.mm(0.8f));
    if (fractions) {
        const float half = std::floor((keys_w - m.gap) / 2.0f);
        y += 4 * (key_h + m.gap);
        const Box space{x, std::round(y), half, m.control},
            stroke{std::round(x + half + m.gap), std::round(y), half, m.control};
        if (key(space, "space", "space", Face::small).fired) {
            press = KeypadPress::digit;
            digit = ' ';
        }
        centred(space, Face::small, "space", p.ink);
        if (key(stroke, "/", "/", Face::question).fired) {
            press = KeypadPress::digit;
            digit = '/';
        }
        centred(stroke, Face::question, "/", p.ink);
    }

    // Accept, in the bar. Nothing typed or something wrong: it waits.
    const int flow_before = in.flow;
    in.leave();
    if (in.bar_button("accept", accept, Slot::right, !typed.text.empty() && !typed.wrong, true)) {
        press = KeypadPress::accept;
    }
    in.enter(flow_before < 0 ? 1 : flow_before);
    return press;
}

} // namespace beckhand::kit
