// Words and the things to press. Each takes its place, listens, then draws: full width, text left, height
// by its text, 2 mm rounding, one firm outline.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float pad_mm = 4.0f;      // from a box to its text
constexpr float text_gap_mm = 2.0f; // between paragraphs
constexpr float drawing_wide_mm = 17.0f, drawing_pad_mm = 1.5f; // in an answer

} // namespace

// --- words ---

void Kit::words(Type type, std::string_view text, Tone tone) {
    Inside& in = *inside_;
    const Face face = face_of(type);
    if (type == Type::question) {
        in.question += text;
    }
    const float sign = tone == Tone::plain ? 0.0f : size_of(in.letters, face) * 0.62f;
    const float indent = tone == Tone::plain ? 0.0f : sign + in.mm(2.0f);
    const auto lines = in.lines(face, text, in.here().w - indent);
    const float gap = type == Type::question ? in.m.gap : in.mm(type == Type::heading ? 2.5f : text_gap_mm);
    // Large letters bring enough air of their own below the last line.
    const float below =
        type == Type::question ? line_step(in.letters, face) - size_of(in.letters, face) : 0.0f;
    const Box box = in.take(in.tall(face, lines.size()) - below, gap);
    // The sign carries the tone; reading text keeps the full contrast of ink.
    const bool large = type != Type::body && type != Type::small;
    const Colour colour = large                 ? text_of(in.palette, tone)
                          : type == Type::small ? in.palette.quiet
                                                : in.palette.ink;
    draw_lines(in.ink(), in.letters, face, box.x + indent, box.y, colour, lines);
    tone_sign(in.ink(), in.palette, tone, {box.x + sign / 2.0f, box.y + size_of(in.letters, face) * 0.52f},
              sign);
    const char* const roles[] = {"text", "text", "question", "heading", "figure"};
    in.register_control(
        in.control(roles[static_cast<std::size_t>(type)], "", text, box, face, colour, in.palette.paper));
}

void Kit::label_and_figure(std::string_view label, std::string_view figure, Tone tone) {
    Inside& in = *inside_;
    const float w = in.here().w, sign = size_of(in.letters, Face::body) * 0.62f;
    const float sign_w = tone == Tone::plain ? 0.0f : sign + in.mm(1.5f);
    const float figure_w = width_of_line(in.letters, Face::strong, figure) + sign_w;
    const bool beside = width_of_line(in.letters, Face::body, label) + in.m.gap + figure_w <= w;
    const auto label_lines = in.lines(Face::body, label, w);
    const auto figure_lines = in.lines(Face::strong, figure, w - sign_w);
    const float step = line_step(in.letters, Face::body);
    const float label_h = in.tall(Face::body, label_lines.size());
    const Box box =
        in.take(beside ? step : label_h + in.tall(Face::strong, figure_lines.size()), in.mm(1.5f));
    const Colour colour = text_of(in.palette, tone);
    draw_lines(in.ink(), in.letters, Face::body, box.x, box.y, in.palette.quiet, label_lines);
    const float x = box.x + std::max(0.0f, w - figure_w);
    const float y = beside ? box.y : box.y + label_h;
    tone_sign(in.ink(), in.palette, tone, {x + sign / 2.0f, y + size_of(in.letters, Face::body) * 0.52f},
              sign);
    draw_lines(in.ink(), in.letters, Face::strong, x + sign_w, y, colour, figure_lines);
    const std::string both = std::string(label) + ": " + std::string(figure);
    in.register_control(in.control("text", "", both, box, Face::body, colour, in.palette.paper));
}

void Kit::note_and_words(std::string_view note, std::string_view text) {
    Inside& in = *inside_;
    const float indent = width_of_line(in.letters, Face::small, note) + in.mm(2.5f);
    const auto broken = in.lines(Face::body, text, in.here().w - indent);
    const Box box = in.take(in.tall(Face::body, broken.size()), in.mm(text_gap_mm));
    const float base = (size_of(in.letters, Face::body) - size_of(in.letters, Face::small)) * 0.8f;
    draw_lines(in.ink(), in.letters, Face::small, box.x, box.y + base, in.palette.quiet, {note});
    draw_lines(in.ink(), in.letters, Face::body, box.x + indent, box.y, in.palette.ink, broken);
    const std::string both = std::string(note) + " " + std::string(text);
    in.register_control(in.control("text", "", both, box, Face::small, in.palette.quiet, in.palette.paper));
}

void Kit::space(float mm) {
    Flow& flow = inside_->here();
    flow.y += inside_->mm(mm);
    for (Grid& grid : flow.answer_grids) {
        grid.in_row = 0; // what comes after stands below, not beside
    }
}

void Kit::line() {
    Inside& in = *inside_;
    const Box box = in.take(in.m.stroke, in.m.gap);
    in.ink().AddRectFilled({box.x, box.y}, {box.x + box.w, box.y + box.h}, paint(in.palette.line));
}

void Kit::badge(std::string_view text, Tone tone) {
    Inside& in = *inside_;
    const float sign = tone == Tone::plain ? 0.0f : size_of(in.letters, Face::strong) * 0.66f;
    const float indent = in.mm(2.0f) + (tone == Tone::plain ? 0.0f : sign + in.mm(1.5f));
    const auto lines = in.lines(Face::strong, text, in.here().w - indent - in.mm(2.5f));
    Box box =
        in.take(capital_height(in.letters, Face::strong, lines.size()) + in.mm(4.0f), in.mm(text_gap_mm));
    float widest = 0;
    for (const std::string_view one : lines) {
        widest = std::max(widest, width_of_line(in.letters, Face::strong, one));
    }
    box.w = widest + indent + in.mm(2.5f);
    in.box_fill(box, in.palette.card);
    in.box_outline(box, text_of(in.palette, tone), in.m.stroke);
    tone_sign(in.ink(), in.palette, tone, {box.x + in.mm(2.0f) + sign / 2.0f, box.y + box.h / 2.0f}, sign);
    draw_lines_centred(in.ink(), in.letters, Face::strong, box.x + indent, box.y, box.h,
                       text_of(in.palette, tone), lines);
    in.register_control(
        in.control("badge", "", text, box, Face::strong, text_of(in.palette, tone), in.palette.card));
}

// --- things to press ---

bool Kit::answer(std::string_view id, std::string_view text, bool chosen) {
    return inside_->answer(id, text, nullptr, chosen);
}

bool Kit::drawn_answer(std::string_view id, std::string_view text, const Drawing& drawing, bool chosen) {
    return inside_->answer(id, text, &drawing, chosen);
}

bool Kit::Inside::answer(std::string_view id, std::string_view text, const Drawing* drawing, bool chosen) {
    const float mark = chosen ? mm(8.0f) : 0.0f;
    // A drawing takes the left of its box; the words begin nearer to it than to an edge.
    const float drawing_w = drawing ? mm(drawing_wide_mm) : 0.0f;
    const float before_text = drawing ? drawing_w + mm(2 * drawing_pad_mm) : mm(pad_mm);
    const float after_text = mm(drawing ? drawing_pad_mm : pad_mm) + mark;
    Flow& column = here();
    Lines words;
    Box box;
    for (int columns = 1; columns <= most_columns; ++columns) {
        const float text_w = cell_width(columns) - before_text - after_text;
        const auto broken = lines(Face::strong, text, text_w);
        const float text_h = capital_height(letters, Face::strong, broken.size()) + 2 * mm(2.5f);
        const float least = std::round(std::max(mm(15.0f), text_h));
        Grid& grid = column.answer_grids[static_cast<std::size_t>(columns - 1)];
        grid.cuts = grid.cuts || width_of_longest_word(letters, Face::strong, text) > text_w;
        if (columns != column.columns) {
            grid.add(least, columns); // as it would stand
            continue;
        }
        const std::size_t rows_before = grid.rows.size();
        const Grid& before = column.answer_grids_before[static_cast<std::size_t>(columns - 1)];
        box = take_cell(grid, before, columns, least, column.answer_h);
        words = broken;
        if (grid.rows.size() > rows_before) {
            ++column.answers;
            const bool known = columns > 1 && rows_before < before.rows.size();
            column.stretched += box.h - (known ? std::max(least, before.rows[rows_before]) : least);
        }
    }
    const Colour ground = chosen ? palette.press : palette.paper;
    Control made = control("answer", id, text, box, Face::strong, palette.ink, ground);
    made.chosen = chosen;
    const Touch touch = listen(std::move(made));
    box_fill(box, touch.held ? palette.press : ground);
    const bool strong = touch.held || chosen;
    box_outline(box, strong ? palette.water_text : palette.quiet, strong ? mm(0.9f) : m.stroke);
    if (drawing) {
        const float tall = std::min(box.h - mm(drawing_pad_mm), drawing_w);
        (*drawing)({box.x + mm(drawing_pad_mm), box.y + (box.h - tall) / 2.0f, drawing_w, tall});
    }
    draw_lines_centred(ink(), letters, Face::strong, box.x + before_text, box.y, box.h, palette.ink,
                       words);
    if (chosen) {
        tick_mark(ink(), palette.water_text, {box.x + box.w - mm(6.5f), box.y + box.h / 2.0f}, mm(5.0f), mm(0.9f));
    }
    return touch.fired;
}

bool Kit::action(std::string_view id, std::string_view text, bool enabled) {
    Inside& in = *inside_;
    const auto lines = in.lines(Face::strong, text, in.here().w - 2 * in.mm(pad_mm));
    const float h =
        std::max(in.mm(15.0f), capital_height(in.letters, Face::strong, lines.size()) + 2 * in.mm(pad_mm));
    const Box box = in.take(h, in.m.gap);
    const Colour fill = enabled ? in.palette.water_text : in.palette.card;
    const Colour letters = enabled ? readable_on(fill, in.palette.paper, in.palette.ink) : in.palette.quiet;
    Control made = in.control("action", id, text, box, Face::strong, letters, fill);
    made.enabled = enabled;
    const Touch touch = in.listen(std::move(made));
    in.box_fill(box, touch.held ? mix(fill, in.palette.ink, 0.35f) : fill);
    if (!enabled) {
        in.box_outline(box, in.palette.line, in.m.stroke);
    }
    draw_lines_centred(in.ink(), in.letters, Face::strong, box.x + in.mm(pad_mm), box.y, box.h, letters,
                       lines);
    return touch.fired;
}

bool Kit::quiet(std::string_view id, std::string_view text) {
    Inside& in = *inside_;
    const auto lines = in.lines(Face::body, text, in.here().w - 2 * in.mm(pad_mm));
    const float h =
        std::max(in.m.control, capital_height(in.letters, Face::body, lines.size()) + 2 * in.mm(3.0f));
    const Box box = in.take(h, in.m.gap);
    const Touch touch =
        in.listen(in.control("quiet", id, text, box, Face::body, in.palette.water_text, in.palette.paper));
    if (touch.held) {
        in.box_fill(box, in.palette.press);
    }
    in.box_outline(box, in.palette.line, in.m.stroke);
    draw_lines_centred(in.ink(), in.letters, Face::body, box.x + in.mm(pad_mm), box.y, box.h,
                       in.palette.water_text, lines);
    return touch.fired;
}

bool Kit::row(std::string_view id, std::string_view title, std::string_view below, std::string_view at_right,
              Tone tone) {
    Inside& in = *inside_;
    const float pad = in.mm(pad_mm), arrow = in.mm(5.0f);
    const float sign = tone == Tone::plain ? 0.0f : size_of(in.letters, Face::body) * 0.62f;
    const float right_sign = tone == Tone::plain ? 0.0f : sign + in.mm(1.5f);
    float right_w =
        at_right.empty() ? right_sign : width_of_line(in.letters, Face::small, at_right) + right_sign;
    const int columns = in.list_columns();
    float text_w = in.cell_width(columns) - 2 * pad - arrow;
    // The word at the right stands beside the title when it leaves the title two thirds; else below all.
    const bool beside = right_w > 0.0f && right_w <= text_w * 0.34f;
    if (beside) {
        text_w -= right_w + in.m.gap;
    }
    const auto title_lines = in.lines(Face::strong, title, text_w);
    const auto below_lines = in.lines(Face::small, below, text_w);
    const bool under = right_w > 0.0f && !beside;
    const auto right_lines = in.lines(Face::small, at_right, under ? text_w - right_sign : 0.0f);
    const float title_h = in.tall(Face::strong, title_lines.size());
    const float below_h = in.tall(Face::small, below_lines.size());
    const float under_h = under ? std::max(sign, in.tall(Face::small, right_lines.size())) : 0.0f;
    const float text_h = title_h + below_h + under_h;
    Flow& flow = in.here();
    const float least = std::round(std::max(in.mm(15.0f), text_h + 2 * in.mm(2.5f)));
    const Box box = in.take_cell(flow.list_grid, flow.list_grid_before, columns, least, 0.0f);

    std::string said(title);
    for (const std::string_view more : {below, at_right}) {
        said += more.empty() ? std::string() : ". " + std::string(more);
    }
    const Touch touch =
        in.listen(in.control("row", id, said, box, Face::strong, in.palette.ink, in.palette.card));
    in.box_fill(box, touch.held ? in.palette.press : in.palette.card);
    in.box_outline(box, in.palette.line, in.m.stroke);
    float y = box.y + (box.h - text_h) / 2.0f;
    const float x = box.x + pad;
    draw_lines(in.ink(), in.letters, Face::strong, x, y, in.palette.ink, title_lines);
    y += title_h;
    draw_lines(in.ink(), in.letters, Face::small, x, y, in.palette.quiet, below_lines);
    y += below_h;
    if (right_w > 0.0f) {
        const float right_x = under ? x : box.x + box.w - pad - arrow - right_w;
        const float right_y = under ? y : box.y + (box.h - line_step(in.letters, Face::small)) / 2.0f;
        tone_sign(in.ink(), in.palette, tone,
                  {right_x + sign / 2.0f, right_y + size_of(in.letters, Face::small) * 0.52f}, sign);
        draw_lines(in.ink(), in.letters, Face::small, right_x + right_sign, right_y,
                   text_of(in.palette, tone), right_lines);
    }
    const ImVec2 tip{box.x + box.w - in.mm(3.5f), box.y + box.h / 2.0f};
    const ImVec2 chevron[] = {
        {tip.x - in.mm(1.6f), tip.y - in.mm(1.9f)}, tip, {tip.x - in.mm(1.6f), tip.y + in.mm(1.9f)}};
    round_line(in.ink(), in.palette.quiet, chevron, in.m.stroke);
    return touch.fired;
}

bool Kit::tick(std::string_view id, std::string_view text, bool done) {
    Inside& in = *inside_;
    const float mark = in.mm(7.0f), indent = mark + in.m.gap;
    const auto lines = in.lines(Face::body, text, in.here().w - indent);
    const float text_h = capital_height(in.letters, Face::body, lines.size());
    const Box box = in.take(std::max(in.mm(15.0f), text_h + 2 * in.mm(3.0f)), in.m.gap);
    Control made = in.control("tick", id, text, box, Face::body, in.palette.ink, in.palette.paper);
    made.chosen = done;
    const Touch touch = in.listen(std::move(made));
    if (touch.held) {
        in.box_fill({box.x - in.mm(1.0f), box.y, box.w + in.mm(2.0f), box.h}, in.palette.press);
    }
    const Box square{box.x, std::round(box.y + (box.h - mark) / 2.0f), mark, mark};
    in.ink().AddRectFilled({square.x, square.y}, {square.x + mark, square.y + mark},
                           paint(done ? in.palette.good_text : in.palette.paper), in.mm(1.0f));
    const float half = in.m.stroke / 2.0f;
    in.ink().AddRect({square.x + half, square.y + half}, {square.x + mark - half, square.y + mark - half},
                     paint(done ? in.palette.good_text : in.palette.ink), in.mm(1.0f), 0, in.m.stroke);
    if (done) {
        tick_mark(in.ink(), readable_on(in.palette.good_text, in.palette.paper, in.palette.ink),
                  {square.x + mark / 2.0f, square.y + mark / 2.0f}, mark * 0.75f, in.mm(0.9f));
    }
    draw_lines_centred(in.ink(), in.letters, Face::body, box.x + indent, box.y, box.h, in.palette.ink, lines);
    return touch.fired;
}

bool Kit::hold(std::string_view id, std::string_view text, float seconds) {
    Inside& in = *inside_;
    const std::string_view hint = "hold down";
    const float hint_w = width_of_line(in.letters, Face::small, hint), whole = in.here().w - 2 * in.mm(pad_mm);
    // At the right; below where large letters would leave the words too little beside it.
    const bool beside = hint_w < whole * 0.4f;
    const auto lines = in.lines(Face::strong, text, beside ? whole - hint_w - in.m.gap : whole);
    const float text_h = capital_height(in.letters, Face::strong, lines.size());
    const float below_h = beside ? 0.0f : line_step(in.letters, Face::small);
    const float h = std::max(in.mm(15.0f), text_h + below_h + 2 * in.mm(pad_mm));
    const Box box = in.take(h, in.m.gap);
    Touch touch =
        in.listen(in.control("hold", id, text, box, Face::strong, in.palette.stop_text, in.palette.paper));
    bool fired = touch.fired && in.gesture != Gesture::press; // by key; a short touch is not enough
    touch.held = touch.held || (in.held_by_key == id && in.focus == id);
    const double held = in.held_for(id, touch.held);
    if (held >= 0.0) {
        const float share = std::min(1.0f, static_cast<float>(held) / seconds);
        in.box_fill(box, in.palette.paper);
        in.ink().PushClipRect({box.x, box.y}, {box.x + box.w * share, box.y + box.h}, true);
        in.box_fill(box, in.palette.press);
        in.ink().PopClipRect();
        if (share >= 1.0f && !in.held_done) {
            in.held_done = true;
            in.held_by_key.clear();
            fired = true;
        }
    }
    in.box_outline(box, in.palette.stop_text, touch.held ? in.mm(0.9f) : in.m.stroke);
    draw_lines_centred(in.ink(), in.letters, Face::strong, box.x + in.mm(pad_mm), box.y, box.h - below_h,
                       in.palette.stop_text, lines);
    const float right = box.x + box.w - in.mm(pad_mm);
    const Box said = beside ? Box{right - hint_w, box.y, hint_w, box.h}
                            : Box{box.x + in.mm(pad_mm), box.y + box.h - in.mm(pad_mm) - below_h, hint_w, below_h};
    draw_lines_centred(in.ink(), in.letters, Face::small, said.x, said.y, said.h, in.palette.quiet, {hint});
    in.register_control(in.control("note", "", hint, said, Face::small, in.palette.quiet, in.palette.paper));
    return fired;
}

bool Kit::text_field(std::string_view id, std::string_view label, std::string& text) {
    Inside& in = *inside_;
    words(Type::small, label);
    in.here().last_gap = in.mm(1.0f);
    const Box box = in.take(in.m.control, in.mm(1.0f));
    in.here().last_gap = in.m.gap;
    in.register_control(in.control("field", id, text, box, Face::body, in.palette.ink, in.palette.paper));

    constexpr std::size_t longest = 240;
    std::array<char, longest + 1> buffer{};
    text.copy(buffer.data(), longest);
    const bool written = in.written_id == id && !id.empty();
    if (written) {
        buffer.fill('\0');
        std::size_t end = std::min(in.written.size(), longest);
        while (end > 0 && end < in.written.size() && (static_cast<unsigned char>(in.written[end]) & 0xC0) == 0x80) --end;
        in.written.copy(buffer.data(), end); // no letter is cut in half
        in.written_id.clear();
    }
    ImFont* const font = in.letters.of(Face::body);
    ImGui::PushFont(font);
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, {in.mm(3.0f), (box.h - font->FontSize) / 2.0f});
    ImGui::SetCursorScreenPos({box.x, box.y});
    ImGui::SetNextItemWidth(box.w);
    const std::string hidden = "##" + std::string(id);
    if (in.key_pressed(id)) {
        ImGui::SetKeyboardFocusHere();
    }
    const ImGuiInputTextFlags flags = in.platform_writes ? ImGuiInputTextFlags_ReadOnly : ImGuiInputTextFlags_None;
    // A long line ends before the frame does.
    in.ink().PushClipRect({box.x + in.mm(2.0f), box.y}, {box.x + box.w - in.mm(2.0f), box.y + box.h}, true);
    const bool changed = ImGui::InputText(hidden.c_str(), buffer.data(), buffer.size(), flags) || written;
    in.ink().PopClipRect();
    const bool open = ImGui::IsItemActive();
    ImGui::PopStyleVar();
    ImGui::PopFont();
    in.box_outline(box, open ? in.palette.water_text : in.palette.quiet, open ? in.mm(0.9f) : in.m.stroke);
    // A line longer than its field is read in full below it.
    if (width_of_line(in.letters, Face::body, text) > box.w - 2 * in.mm(3.0f)) {
        words(Type::small, text);
    }
    if (changed) {
        text = buffer.data();
    }
    return changed;
}

} // namespace beckhand::kit
