// The frame from begin_screen to end_screen: header, scroll bars, what was registered, whether sizes settled.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

/// The colour as near to its ground as WCAG 2.2, SC 1.4.11 lets a part of a control be: 3:1.
Colour lightest_seen(Colour colour, Colour ground) {
    constexpr double least = 3.0;
    float share = 0.5f;
    while (share > 0.0f && contrast(mix(colour, ground, share), ground) < least) {
        share -= 0.02f;
    }
    return mix(colour, ground, std::max(share, 0.0f));
}

} // namespace

Kit::Kit(std::span<const std::byte> regular, std::span<const std::byte> bold)
    : inside_(std::make_unique<Inside>()) {
    Inside& in = *inside_;
    in.regular = regular;
    in.bold = bold;
    in.context = ImGui::CreateContext();
    ImGui::SetCurrentContext(in.context);
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.LogFilename = nullptr;
    io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
    io.ConfigInputTextCursorBlink = false; // nothing moves at rest
    io.MouseDragThreshold = 1e6f;          // gestures are decided here
    const std::pair<ImGuiKey, Key> keys[] = {{ImGuiKey_Backspace, Key::erase},
                                             {ImGuiKey_Delete, Key::remove},
                                             {ImGuiKey_LeftArrow, Key::left},
                                             {ImGuiKey_RightArrow, Key::right},
                                             {ImGuiKey_Enter, Key::enter}};
    for (const auto& [theirs, ours] : keys) {
        io.KeyMap[theirs] = static_cast<int>(ours);
    }
    set_theme(Theme::paper);
    set_size(412, 915, 6.3f, 1.0f);
}

Kit::~Kit() {
    ImGui::DestroyContext(inside_->context);
}

void Kit::set_theme(Theme theme) {
    Inside& in = *inside_;
    ImGui::SetCurrentContext(in.context);
    if (in.themed && in.theme == theme && ImGui::GetStyle().FrameRounding == in.m.radius) {
        return;
    }
    in.themed = true;
    in.theme = theme;
    in.palette = palette_of(theme);
    ImGuiStyle style; // a fresh one each time; only the text field uses it
    style.AntiAliasedLinesUseTex = false;
    style.WindowPadding = {0, 0};
    style.WindowBorderSize = 0;
    style.WindowRounding = 0;
    style.WindowMinSize = {1, 1};
    style.FrameBorderSize = 0;
    style.FrameRounding = in.m.radius;
    style.CircleTessellationMaxError = 0.15f;
    const auto set = [&style](ImGuiCol which, Colour c) {
        style.Colors[which] = ImGui::ColorConvertU32ToFloat4(paint(c));
    };
    for (const ImGuiCol ground :
         {ImGuiCol_WindowBg, ImGuiCol_FrameBg, ImGuiCol_FrameBgHovered, ImGuiCol_FrameBgActive}) {
        set(ground, in.palette.paper);
    }
    set(ImGuiCol_Text, in.palette.ink);
    set(ImGuiCol_TextSelectedBg, in.palette.press);
    ImGui::GetStyle() = style;
}

void Kit::set_size(float width_px, float height_px, float px_per_mm, float text_scale) {
    Inside& in = *inside_;
    ImGui::SetCurrentContext(in.context);
    const Metrics before = in.m;
    in.m = metrics_for(width_px, height_px, px_per_mm, text_scale);
    in.width = width_px;
    in.height = height_px;
    ImGui::GetIO().DisplaySize = {width_px, height_px};
    const bool same = before.small == in.m.small && before.body == in.m.body &&
                      before.heading == in.m.heading && before.question == in.m.question &&
                      before.figure == in.m.figure;
    if (!same || in.letters.fonts[0] == nullptr) {
        in.letters = load_letters(in.m, in.regular, in.bold);
        note_ink(in.noting);
    }
    set_theme(in.theme);
}

const Metrics& Kit::metrics() const {
    return inside_->m;
}
const Palette& Kit::palette() const {
    return inside_->palette;
}
const std::vector<Control>& Kit::controls() const {
    return inside_->controls;
}
bool Kit::settled() const {
    return inside_->settled;
}
std::optional<double> Kit::wake() const {
    return inside_->wake;
}
void Kit::wake_after(double seconds) {
    inside_->wake_after(seconds);
}
double Kit::seconds_since(double then) {
    const double since = std::max(0.0, inside_->seconds - then);
    wake_after(1.0 - (since - std::floor(since)));
    return since;
}
void Kit::let_move(bool may) {
    inside_->may_move = may;
}
bool Kit::may_move() const {
    return inside_->may_move;
}
std::optional<double> Kit::moving() {
    Inside& in = *inside_;
    const double since = in.seconds - in.moving_since;
    if (!in.may_move || in.still || since >= moves_seconds) {
        return std::nullopt;
    }
    wake_after(1.0 / 20.0);
    return since;
}
ImDrawList* Kit::ink() {
    return ImGui::GetWindowDrawList();
}
void Kit::feed(const Input& input) {
    inside_->input = input;
}
void Kit::press(std::string_view id) {
    inside_->pressed_id = id;
}

void Kit::leave_writing(bool to_platform) {
    inside_->platform_writes = to_platform;
}

void Kit::write_into(std::string_view id, std::string_view text) {
    inside_->written_id = id;
    inside_->written = text;
}

bool Kit::wants_letters() const {
    ImGui::SetCurrentContext(inside_->context);
    return ImGui::GetIO().WantTextInput;
}

// --- the frame ---

void Kit::begin_screen(std::string_view id, std::string_view title, std::string_view note) {
    Inside& in = *inside_;
    ImGui::SetCurrentContext(in.context);
    in.wake.reset();
    in.follow_finger();

    const std::string key = std::string(id) + '\n' + std::string(title);
    if (key != in.screen_key) {
        if (in.last_question.empty()) {
            in.places[in.screen_key] = in.flows[1].scroll;
        }
        const auto place = in.places.find(key);
        in.flows[0].scroll = 0;
        in.flows[1].scroll = place == in.places.end() ? 0.0f : place->second;
        in.glide_speed = 0;
        in.reveal.clear();
        in.focus.clear();
        in.seen_to_end = false;
        in.screen_key = key;
        in.move_anew();
    }
    in.screen = id;
    in.question.clear();
    in.controls.clear();
    in.noted.clear();
    in.bar_guess = std::move(in.bar_items);
    in.bar_items.clear();
    in.bar_height_guess = in.bar_height;
    in.bar_height = in.m.edge;
    in.lay_out_bar();
    in.fold_guess = std::move(in.folds);
    in.folds.clear();
    in.pair_folds();

    ImGui::NewFrame();
    ImGui::SetNextWindowPos({0, 0});
    ImGui::SetNextWindowSize({in.width, in.height});
    ImGui::Begin("screen", nullptr,
                 ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove |
                     ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoSavedSettings |
                     ImGuiWindowFlags_NoNav | ImGuiWindowFlags_NoBackground |
                     ImGuiWindowFlags_NoBringToFrontOnFocus);
    in.ink().AddRectFilled({0, 0}, {in.width, in.height}, paint(in.palette.paper));
    in.draw_header(title, note);
    in.wet_strip();
    for (Flow& one : in.flows) {
        one.used = false;
    }
    in.flow = -1;
}

void Kit::Inside::draw_header(std::string_view title, std::string_view note) {
    const float x = m.edge, w = width - 2 * m.edge;
    const float title_w = width_of_line(letters, Face::strong, title);
    const float note_w = width_of_line(letters, Face::small, note);
    const bool beside = title_w + m.gap * 1.5f + note_w <= w;
    const auto title_lines = lines(Face::strong, title, w);
    const auto note_lines = lines(Face::small, note, beside ? 0.0f : w);
    const float least = mm(m.tablet ? 12.0f : 7.5f);
    const float title_h = std::max(least, tall(Face::strong, title_lines.size()) + mm(2.5f));
    draw_lines_centred(ink(), letters, Face::strong, x, 0, title_h, palette.ink, title_lines);
    register_control(
        control("title", "title", title, {x, 0, w, title_h}, Face::strong, palette.ink, palette.paper));
    header = title_h;
    if (note.empty()) {
        return;
    }
    Box place{x + w - note_w, 0, note_w, title_h};
    if (!beside) {
        place = {x, title_h - mm(1.0f), w, tall(Face::small, note_lines.size())};
        header = place.y + place.h + mm(1.0f);
    }
    draw_lines_centred(ink(), letters, Face::small, place.x, place.y, place.h, palette.quiet, note_lines);
    register_control(control("text", "note", note, place, Face::small, palette.quiet, palette.paper));
}

void Kit::side() {
    inside_->enter(0);
}
void Kit::main() {
    inside_->enter(1);
}
void Kit::bar() {
    inside_->leave();
}

void Kit::end_screen() {
    Inside& in = *inside_;
    in.leave();
    bool settled =
        in.bar_items.size() == in.bar_guess.size() && std::abs(in.bar_height - in.bar_height_guess) < 0.5f;
    for (std::size_t i = 0; settled && i < in.bar_items.size(); ++i) {
        settled = in.bar_items[i].id == in.bar_guess[i].id && in.bar_items[i].want == in.bar_guess[i].want;
    }
    settled = settled && in.folds.size() == in.fold_guess.size();
    for (std::size_t i = 0; settled && i < in.folds.size(); ++i) {
        settled = in.folds[i].same(in.fold_guess[i]);
    }
    for (Flow& one : in.flows) {
        if (!one.used) {
            continue;
        }
        const float content = one.y + std::round(one.scroll) - one.view.y;
        settled = settled && std::abs(content - one.content) < 0.5f;
        one.content = content;
        const float rest = content - one.fitted - one.folded - one.stretched;
        settled = settled && std::abs(rest - one.rest) < 0.5f;
        one.rest = rest;
        if (one.reveal_by > 0.0f) {
            one.scroll += one.reveal_by;
            settled = false;
        }
        if (one.scroll > one.furthest()) {
            one.scroll = one.furthest();
            settled = false;
        }
        if (one.furthest() <= 0.0f) {
            continue;
        }
        // The bar stands in the outer 2.5 mm, clear of the content, and no darker than it must be.
        const float shown = one.view.h / one.content, w = in.mm(2.5f);
        const float track = one.view.h - in.mm(1.0f), length = std::max(in.mm(8.0f), track * shown);
        const float y = one.view.y + (track - length) * one.scroll / one.furthest();
        const float x = one.view.x + one.view.w - w;
        in.ink().AddRectFilled({x + in.mm(0.6f), y}, {x + w - in.mm(0.6f), y + length},
                               paint(lightest_seen(in.palette.line, in.palette.paper)), in.mm(0.65f));
        in.ink().AddLine({one.view.x, one.view.y + one.view.h},
                         {one.view.x + one.view.w, one.view.y + one.view.h}, paint(in.palette.line),
                         in.m.stroke);
    }
    if (in.question != in.last_question) {
        in.flows[0].scroll = in.flows[1].scroll = 0; // another question starts at its top
        in.last_question = in.question;
        in.focus.clear();
        in.seen_to_end = false;
        in.move_anew();
        settled = false;
    }
    in.draw_focus();
    constexpr int most_passes = 4;
    in.settled = settled || ++in.unsettled_frames >= most_passes;
    in.unsettled_frames = in.settled ? 0 : in.unsettled_frames;
    if (in.settled && !in.seen_to_end && in.flows[1].scroll >= in.flows[1].furthest() - 0.5f) {
        in.seen_to_end = true;
        in.settled = false; // a button may wait for it
    }
    in.pressed_id.clear();
    in.show_how_long();
    ImGui::End();
    ImGui::Render();
}

bool Kit::seen_to_end() const {
    return inside_->seen_to_end;
}

void Kit::scroll_on() {
    Flow& main = inside_->flows[1];
    main.reveal_by = std::max(0.0f, main.view.h - inside_->mm(8.0f));
}

void Kit::Inside::move_anew() {
    still = false;
    moving_since = seconds;
}

void Kit::Inside::wake_after(double after) {
    wake = wake ? std::min(*wake, after) : after;
}

// --- registering, drawing ---

Control Kit::Inside::control(std::string_view role, std::string_view id, std::string_view label, Box box,
                             Face face, Colour text, Colour ground) const {
    Control made;
    made.screen = screen;
    made.role = role;
    made.id = id;
    made.label = label;
    made.box = box;
    made.letter_px = size_of(letters, face);
    made.text = text;
    made.ground = ground;
    return made;
}

void Kit::Inside::register_control(Control control) {
    const ImVec2 low = ink().GetClipRectMin(), high = ink().GetClipRectMax();
    const Box& b = control.box;
    control.region = flow;
    control.clipped =
        b.x < low.x - 0.5f || b.y < low.y - 0.5f || b.x + b.w > high.x + 0.5f || b.y + b.h > high.y + 0.5f;
    controls.push_back(std::move(control));
}

void Kit::Inside::box_outline(Box b, Colour colour, float stroke) const {
    const float half = stroke / 2.0f; // drawn inside the box
    ink().AddRect({b.x + half, b.y + half}, {b.x + b.w - half, b.y + b.h - half}, paint(colour), m.radius, 0,
                  stroke);
    if (noting) {
        const ImVec2 low = ink().GetClipRectMin(), high = ink().GetClipRectMax();
        letters.noted->push_back({"", b, {low.x, low.y, high.x - low.x, high.y - low.y}, colour, 0, false});
    }
}

// Straight parts and four corners: one fan over the whole box would have the software renderer look at all of its dots
// once for each of some twenty triangles. The parts overlap by a dot, so that no seam shows.
void Kit::Inside::box_fill(Box b, Colour colour) const {
    const float x0 = b.x, y0 = b.y, x1 = b.x + b.w, y1 = b.y + b.h;
    const float r = std::round(std::min({m.radius, b.w / 2.0f, b.h / 2.0f}));
    const ImU32 fill = paint(colour);
    ImDrawList& list = ink();
    list.AddRectFilled({x0 + r, y0}, {x1 - r, y1}, fill);
    list.AddRectFilled({x0, y0 + r}, {x0 + r + 1.0f, y1 - r}, fill);
    list.AddRectFilled({x1 - r - 1.0f, y0 + r}, {x1, y1 - r}, fill);
    struct Corner {
        float x, y, in_x, in_y; // centre of its circle, and the way to the middle of the box
        int from;               // twelfths of a turn
    };
    const Corner corners[] = {{x0 + r, y0 + r, 1, 1, 6},
                              {x1 - r, y0 + r, -1, 1, 9},
                              {x1 - r, y1 - r, -1, -1, 0},
                              {x0 + r, y1 - r, 1, -1, 3}};
    for (const Corner& one : corners) {
        const bool sideways_first = one.in_x == one.in_y; // which straight edge the arc leaves
        list.PathLineTo({one.x + one.in_x, one.y + one.in_y});
        if (sideways_first) {
            list.PathLineTo({one.x - one.in_x * r, one.y + one.in_y});
        } else {
            list.PathLineTo({one.x + one.in_x, one.y - one.in_y * r});
        }
        list.PathArcToFast({one.x, one.y}, r, one.from, one.from + 3);
        if (sideways_first) {
            list.PathLineTo({one.x + one.in_x, one.y - one.in_y * r});
        } else {
            list.PathLineTo({one.x - one.in_x * r, one.y + one.in_y});
        }
        list.PathFillConvex(fill);
    }
}

} // namespace beckhand::kit
