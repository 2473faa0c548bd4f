// Cards: a caution with its sign (a triangle where it stops the job), a finding with the sign of its tone. And the place to draw in.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float band_mm = 2.0f; // at the left edge, in the colour of the tone

} // namespace

/// The left edge of a card, with the card's own corners: a clip leaves no seam where it ends.
void Kit::Inside::band_fill(Box box, Colour colour) const {
    ink().PushClipRect({box.x, box.y}, {std::round(box.x + mm(band_mm)), box.y + box.h}, true);
    box_fill(box, colour);
    ink().PopClipRect();
}

/// The card of a caution: a band at its left, one firm outline.
void Kit::Inside::caution_card(Box box, bool stop, bool held) const {
    const Colour ground = held ? palette.press : palette.card;
    box_fill(box, ground);
    band_fill(box, stop ? palette.stop : palette.watch);
    box_outline(box, stop ? palette.stop_text : palette.watch_text, stop ? mm(0.9f) : m.stroke);
}

/// The word in its colour, the rest of its line and the lines below in ink.
void Kit::Inside::caution_head(float x, float y, bool stop, std::string_view word,
                               const Lines& head) const {
    const bool whole = !head.empty() && head.front().size() >= word.size(); // the word has not been cut in two
    if (!whole) {
        draw_lines(ink(), letters, Face::strong, x, y, palette.ink, head);
        return;
    }
    const Line rest(head.front().substr(word.size()), head.front().cut);
    draw_lines(ink(), letters, Face::strong, x, y, stop ? palette.stop_text : palette.watch_text, {word});
    draw_lines(ink(), letters, Face::strong, x + width_of_line(letters, Face::strong, word), y, palette.ink, {rest});
    draw_lines(ink(), letters, Face::strong, x, y + line_step(letters, Face::strong), palette.ink,
               {head.begin() + 1, head.end()});
}

// Compact, since a repair has many: the word leads the title, the text runs under the sign.
void Kit::caution(std::string_view title, std::string_view text, std::string_view defer_to, bool stop) {
    Inside& in = *inside_;
    const Palette& p = in.palette;
    const float pad = in.mm(2.5f), sign = in.mm(in.m.tablet ? 9.0f : 7.0f);
    const float inner = in.here().w - in.mm(band_mm) - 2 * pad, indent = sign + in.mm(2.0f);
    const std::string word = stop ? "Stop." : "Caution.";
    const std::string head = word + " " + std::string(title);
    const auto head_lines = in.lines(Face::strong, head, inner - indent);
    const auto text_lines = in.lines(Face::body, text, inner);
    const auto defer_lines = in.lines(Face::small, defer_to, inner);
    const float title_h = in.tall(Face::strong, head_lines.size()), head_h = std::max(sign, title_h);
    const float text_h = in.tall(Face::body, text_lines.size());
    const float defer_h = defer_lines.empty() ? 0.0f : in.tall(Face::small, defer_lines.size()) + in.mm(0.5f);
    const Box box = in.take(pad + head_h + in.mm(1.0f) + text_h + defer_h + pad * 0.6f, in.mm(2.0f));
    in.caution_card(box, stop, false);

    const float x = box.x + in.mm(band_mm) + pad;
    float y = box.y + pad;
    (stop ? warning_sign : mandatory_sign)(in.ink(), p, {x + sign / 2.0f, y + sign / 2.0f}, sign);
    in.caution_head(x + indent, y + (head_h - title_h) / 2.0f, stop, word, head_lines);
    y += head_h + in.mm(1.0f);
    draw_lines(in.ink(), in.letters, Face::body, x, y, p.ink, text_lines);
    y += text_h + in.mm(0.5f);
    draw_lines(in.ink(), in.letters, Face::small, x, y, p.quiet, defer_lines);
    std::string said = head + ". " + std::string(text);
    said += defer_to.empty() ? std::string() : " " + std::string(defer_to);
    in.register_control(in.control("caution", "", said, box, Face::body, p.ink, p.card));
}

bool Kit::caution_titles(std::string_view id, std::string_view titles, bool stop, bool open,
                         const std::function<void()>& inside) {
    Inside& in = *inside_;
    const Palette& p = in.palette;
    const float pad = in.mm(2.5f), sign = in.mm(in.m.tablet ? 9.0f : 7.0f), plus = in.mm(3.6f);
    const float indent = in.mm(band_mm) + pad + sign + in.mm(2.0f);
    const std::string word = stop ? "Stop." : "Caution.";
    const std::string head = word + " " + std::string(titles);
    const auto lines = in.lines(Face::strong, head, in.here().w - indent - plus - in.mm(2.0f) - pad);
    const float text_h = in.tall(Face::strong, lines.size());
    const Box box = in.take(std::max(in.m.control, text_h + 2 * in.mm(1.8f)), in.m.gap);
    Control made = in.control("fold", id, head, box, Face::strong, p.ink, p.card);
    made.chosen = open;
    const Touch touch = in.listen(std::move(made));
    in.caution_card(box, stop, touch.held);
    (stop ? warning_sign : mandatory_sign)(
        in.ink(), p, {box.x + in.mm(band_mm) + pad + sign / 2.0f, box.y + box.h / 2.0f}, sign);
    in.caution_head(box.x + indent, box.y + (box.h - text_h) / 2.0f, stop, word, lines);
    plus_or_minus(in.ink(), p.ink, {box.x + box.w - pad - plus / 2.0f, box.y + box.h / 2.0f}, plus,
                  in.mm(0.7f), !open);
    if (open) {
        const float from = in.here().y;
        inside();
        in.here().folded += in.here().y - from;
        in.reveal_from(id, box.y);
    } else if (touch.fired) {
        in.reveal = id;
    }
    return touch.fired;
}

void Kit::card(Tone tone, std::string_view heading, std::string_view text) {
    Inside& in = *inside_;
    const Palette& p = in.palette;
    const float pad = in.mm(3.0f), band = tone == Tone::plain ? 0.0f : in.mm(band_mm);
    const float sign = tone == Tone::plain ? 0.0f : size_of(in.letters, Face::strong) * 0.7f;
    const float indent = tone == Tone::plain ? 0.0f : sign + in.mm(2.0f);
    const float inner = in.here().w - band - 2 * pad;
    const auto head_lines = in.lines(Face::strong, heading, inner - indent);
    const auto text_lines = in.lines(Face::body, text, inner);
    const float head_h = in.tall(Face::strong, head_lines.size());
    const float between = head_lines.empty() || text_lines.empty() ? 0.0f : in.mm(1.0f);
    const Box box =
        in.take(2 * pad + head_h + between + in.tall(Face::body, text_lines.size()) - in.mm(0.5f), in.m.gap);
    if (tone == Tone::unknown) { // no fill: it could be taken for another tone
        const float x0 = box.x + in.m.stroke / 2.0f, x1 = box.x + box.w - in.m.stroke / 2.0f;
        const float y0 = box.y + in.m.stroke / 2.0f, y1 = box.y + box.h - in.m.stroke / 2.0f;
        const ImVec2 corners[] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}};
        for (std::size_t i = 1; i < std::size(corners); ++i) {
            dashed(in.ink(), p.quiet, corners[i - 1], corners[i], in.m.stroke, in.mm(1.5f));
        }
    } else {
        in.box_fill(box, p.card);
        if (band > 0.0f) {
            in.band_fill(box, fill_of(p, tone));
        }
        in.box_outline(box, tone == Tone::plain ? p.line : text_of(p, tone), in.m.stroke);
    }
    const float x = box.x + band + pad;
    float y = box.y + pad - in.mm(0.3f);
    tone_sign(in.ink(), p, tone, {x + sign / 2.0f, y + size_of(in.letters, Face::strong) * 0.52f}, sign);
    draw_lines(in.ink(), in.letters, Face::strong, x + indent, y, text_of(p, tone), head_lines);
    draw_lines(in.ink(), in.letters, Face::body, x, y + head_h + between, p.ink, text_lines);
    in.register_control(in.control("card", "", std::string(heading) + ". " + std::string(text), box,
                                   Face::body, p.ink, tone == Tone::unknown ? p.paper : p.card));
}

// --- drawing ---

Box Kit::canvas(float height_px, std::string_view label) {
    Inside& in = *inside_;
    Flow& flow = in.here();
    flow.wants_drawing = flow.wants_drawing || height_px <= 0.0f;
    const float h = height_px <= 0.0f ? flow.drawing_h : height_px;
    if (h <= 0.0f) {
        return {flow.x, flow.y, flow.w, 0.0f};
    }
    const Box box = in.take(h, in.m.gap);
    if (height_px <= 0.0f) {
        flow.fitted += box.h + in.m.gap;
    }
    in.register_control(in.control("drawing", "", label, box, Face::small, in.palette.ink, in.palette.paper));
    return box;
}

void Kit::write(float x, float y, Type type, Colour colour, std::string_view text, float wrap,
                std::optional<Colour> ground) {
    Inside& in = *inside_;
    const Face face = face_in_drawing(type);
    const Lines lines = in.lines(face, text, wrap);
    draw_lines(in.ink(), in.letters, face, x, y, colour, lines);
    float w = 0;
    for (const Line& line : lines) {
        w = std::max(w, width_of_line(in.letters, face, line));
    }
    in.register_control(in.control("label", "", text, {x, y, w, in.tall(face, lines.size()) - line_step(in.letters, face) + size_of(in.letters, face)}, face, colour,
                                   ground.value_or(in.palette.paper)));
}

float Kit::width_of(Type type, std::string_view text) const {
    return width_of_line(inside_->letters, face_in_drawing(type), text);
}

} // namespace beckhand::kit
