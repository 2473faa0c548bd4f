// The frame: what the finger did, where the regions are, what was registered.
#include <algorithm>
#include <cmath>

#include "app/kit/inside.h"

namespace beckhand::kit {

namespace {

constexpr float slop_mm = 2.0f;          // travel that makes a press a scroll
constexpr float call_off_mm = 4.0f;      // travel that calls a press off
constexpr double deaf_seconds = 0.350;   // after a press that may change the screen
constexpr float glide_seconds = 0.32f;   // a glide slows by e in this time
constexpr float glide_least = 20.0f;     // px a second
constexpr float wheel_mm = 12.0f;        // a notch
constexpr float off_screen = -3.4e38f;   // where Dear ImGui looks for an absent mouse

bool contains(const Box& box, float x, float y) {
    return x >= box.x && x < box.x + box.w && y >= box.y && y < box.y + box.h;
}

} // namespace

Kit::Kit(std::span<const std::byte> regular, std::span<const std::byte> bold) : inside_(std::make_unique<Inside>()) {
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
    const std::pair<ImGuiKey, Key> keys[] = {{ImGuiKey_Backspace, Key::erase}, {ImGuiKey_Delete, Key::remove},
                                             {ImGuiKey_LeftArrow, Key::left}, {ImGuiKey_RightArrow, Key::right},
                                             {ImGuiKey_Enter, Key::enter}};
    for (const auto& [theirs, ours] : keys) {
        io.KeyMap[theirs] = static_cast<int>(ours);
    }
    set_theme(Theme::paper);
    set_size(412, 915, 6.3f, 1.0f);
}

Kit::~Kit() { ImGui::DestroyContext(inside_->context); }

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
    for (const ImGuiCol ground : {ImGuiCol_WindowBg, ImGuiCol_FrameBg, ImGuiCol_FrameBgHovered, ImGuiCol_FrameBgActive}) {
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
    const bool same = before.small == in.m.small && before.body == in.m.body && before.heading == in.m.heading &&
                      before.question == in.m.question && before.figure == in.m.figure;
    if (!same || in.letters.fonts[0] == nullptr) {
        in.letters = load_letters(in.m, in.regular, in.bold);
    }
    set_theme(in.theme);
}

const Metrics& Kit::metrics() const { return inside_->m; }
const Palette& Kit::palette() const { return inside_->palette; }
const std::vector<Control>& Kit::controls() const { return inside_->controls; }
bool Kit::settled() const { return inside_->settled; }
std::optional<double> Kit::wake() const { return inside_->wake; }
void Kit::wake_after(double seconds) { inside_->wake_after(seconds); }
ImDrawList* Kit::ink() { return ImGui::GetWindowDrawList(); }
void Kit::feed(const Input& input) { inside_->input = input; }
void Kit::press(std::string_view id) { inside_->pressed_id = id; }

bool Kit::wants_letters() const {
    ImGui::SetCurrentContext(inside_->context);
    return ImGui::GetIO().WantTextInput;
}

bool Kit::press_key(char key) {
    const auto press_first = [this](auto&& fits, int n) {
        for (const Control& control : inside_->controls) {
            if (fits(control) && --n == 0) {
                press(control.id);
                return true;
            }
        }
        return false;
    };
    const bool keypad = std::any_of(controls().begin(), controls().end(), [](const Control& c) { return c.role == "key"; });
    if (keypad) {
        const std::string id = key == '\b' ? "erase" : key == '\r' ? "accept" : std::string(1, key);
        return press_first([&id](const Control& c) { return c.role == "key" && c.id == id; }, 1);
    }
    if (key >= '1' && key <= '9') {
        return press_first([](const Control& c) { return c.role == "answer"; }, key - '0');
    }
    if (key == '\b') {
        return press_first([](const Control& c) { return c.id == "back"; }, 1);
    }
    return key == '\r' && press_first([](const Control& c) { return c.role == "action"; }, 1);
}

// --- the finger ---

// Decides what a touch is before Dear ImGui sees it. A touch that turned into a scroll is parked off the
// screen while still down: content moves along with the finger, and the button under it would fire on release.
void Kit::Inside::follow_finger() {
    ImGuiIO& io = ImGui::GetIO();
    io.DeltaTime = std::clamp(static_cast<float>(input.seconds - seconds), 0.001f, 1.0f / 15.0f);
    seconds = input.seconds;
    const bool down = input.present && input.down;

    if (down && !was_down) {
        gesture = seconds < deaf_until ? Gesture::deaf : Gesture::press;
        pressed_at = {input.x, input.y};
        scrolling = -1;
        glide_speed = 0;
        speed = 0;
        moved_at = seconds;
        moved_y = input.y;
    } else if (down && gesture == Gesture::press) {
        const float dx = input.x - pressed_at.x, dy = input.y - pressed_at.y;
        if (std::abs(dy) > mm(slop_mm)) {
            for (int i = 0; i < 2; ++i) {
                const Flow& one = flows[static_cast<std::size_t>(i)];
                if (one.used && one.furthest() > 0.0f && contains(one.view, pressed_at.x, pressed_at.y)) {
                    gesture = Gesture::scroll;
                    scrolling = i;
                    scroll_from = one.scroll;
                    finger_from = input.y;
                }
            }
        }
        if (gesture == Gesture::press && std::hypot(dx, dy) > mm(call_off_mm)) {
            gesture = Gesture::called_off;
        }
    }
    if (down && gesture == Gesture::scroll) {
        Flow& one = flows[static_cast<std::size_t>(scrolling)];
        one.scroll = std::clamp(scroll_from - (input.y - finger_from), 0.0f, one.furthest());
        const auto passed = static_cast<float>(seconds - moved_at);
        if (passed > 0.001f) {
            speed = 0.5f * speed + 0.5f * (moved_y - input.y) / passed;
            moved_at = seconds;
            moved_y = input.y;
        }
    }
    if (!down && was_down) {
        if (gesture == Gesture::scroll && seconds - moved_at < 0.1) {
            glide_speed = speed;
            glide_since = seconds;
            glide_from = flows[static_cast<std::size_t>(scrolling)].scroll;
        }
    } else if (!down) {
        gesture = Gesture::none;
        held_id.clear();
        held_done = false;
    }
    if (glide_speed != 0.0f && scrolling >= 0) {
        Flow& one = flows[static_cast<std::size_t>(scrolling)];
        const auto t = static_cast<float>(seconds - glide_since);
        const float left = std::exp(-t / glide_seconds);
        one.scroll = std::clamp(glide_from + glide_speed * glide_seconds * (1.0f - left), 0.0f, one.furthest());
        if (std::abs(glide_speed) * left < glide_least || one.scroll <= 0.0f || one.scroll >= one.furthest()) {
            glide_speed = 0.0f;
        } else {
            wake_after(1.0 / 30.0);
        }
    }
    if (input.wheel != 0.0f) {
        for (Flow& one : flows) {
            if (one.used && contains(one.view, input.x, input.y)) {
                one.scroll = std::clamp(one.scroll - input.wheel * mm(wheel_mm), 0.0f, one.furthest());
            }
        }
    }
    was_down = down;

    const bool heard = gesture == Gesture::none || gesture == Gesture::press;
    io.MousePos = input.present && heard ? ImVec2{input.x, input.y} : ImVec2{off_screen, off_screen};
    io.MouseDown[0] = down && gesture != Gesture::deaf;
    for (bool& key : io.KeysDown) {
        key = false;
    }
    if (input.key != Key::none) {
        io.KeysDown[static_cast<int>(input.key)] = true;
    }
    if (!input.letters.empty()) {
        io.AddInputCharactersUTF8(input.letters.c_str());
    }
    // Given once, however often the frame is drawn again.
    input.wheel = 0;
    input.letters.clear();
    input.key = Key::none;
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
        in.screen_key = key;
    }
    in.screen = id;
    in.question.clear();
    in.controls.clear();
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
                 ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoScrollWithMouse |
                     ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoNav | ImGuiWindowFlags_NoBackground |
                     ImGuiWindowFlags_NoBringToFrontOnFocus);
    in.ink().AddRectFilled({0, 0}, {in.width, in.height}, paint(in.palette.paper));
    in.draw_header(title, note);
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
    const float least = mm(m.tablet ? 12.0f : 9.0f);
    const float title_h = std::max(least, tall(Face::strong, title_lines.size()) + mm(2.5f));
    draw_lines_centred(ink(), letters, Face::strong, x, 0, title_h, palette.ink, title_lines);
    register_control(control("title", "title", title, {x, 0, w, title_h}, Face::strong, palette.ink, palette.paper));
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

void Kit::side() { inside_->enter(0); }
void Kit::main() { inside_->enter(1); }
void Kit::bar() { inside_->leave(); }

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
        const auto lines_a = lines(Face::body, a.heading, w).size(), lines_b = lines(Face::body, b.heading, w).size();
        if (a.half != FoldItem::right && !a.open && !b.open && b.order == a.order + 1 && std::max(lines_a, lines_b) <= most_lines) {
            a.half = FoldItem::left;
            b.half = FoldItem::right;
            a.h = b.h = std::max(m.control, capital_height(letters, Face::body, std::max(lines_a, lines_b)) + 2 * mm(2.6f));
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

void Kit::end_screen() {
    Inside& in = *inside_;
    in.leave();
    bool settled = in.bar_items.size() == in.bar_guess.size() && std::abs(in.bar_height - in.bar_height_guess) < 0.5f;
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
        const float content = one.y + std::round(one.scroll) - one.view.y + in.mm(1.5f);
        settled = settled && std::abs(content - one.content) < 0.5f;
        one.content = content;
        const float rest = content - one.fitted - one.folded - one.stretched;
        settled = settled && std::abs(rest - one.rest) < 0.5f;
        one.rest = rest;
        if (one.scroll > one.furthest()) {
            one.scroll = one.furthest();
            settled = false;
        }
        if (one.furthest() <= 0.0f) {
            continue;
        }
        // The bar stands in the outer 4 mm, where nothing is pressed.
        const float shown = one.view.h / one.content, w = in.mm(4.0f);
        const float track = one.view.h - in.mm(1.0f), length = std::max(in.mm(8.0f), track * shown);
        const float y = one.view.y + (track - length) * one.scroll / one.furthest();
        const float x = one.view.x + one.view.w - w;
        in.ink().AddRectFilled({x + in.mm(0.6f), y}, {x + w - in.mm(0.2f), y + length}, paint(in.palette.line), in.mm(1.5f));
        in.ink().AddLine({one.view.x, one.view.y + one.view.h}, {one.view.x + one.view.w, one.view.y + one.view.h},
                         paint(in.palette.line), in.m.stroke);
    }
    if (in.question != in.last_question) {
        in.flows[0].scroll = in.flows[1].scroll = 0; // another question starts at its top
        in.last_question = in.question;
        settled = false;
    }
    constexpr int most_passes = 4;
    in.settled = settled || ++in.unsettled_frames >= most_passes;
    in.unsettled_frames = in.settled ? 0 : in.unsettled_frames;
    in.pressed_id.clear();
    ImGui::End();
    ImGui::Render();
}

void Kit::Inside::wake_after(double after) { wake = wake ? std::min(*wake, after) : after; }

// --- placing, listening, registering ---

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

Control Kit::Inside::control(std::string_view role, std::string_view id, std::string_view label, Box box, Face face,
                             Colour text, Colour ground) const {
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
    control.clipped = b.x < low.x - 0.5f || b.y < low.y - 0.5f || b.x + b.w > high.x + 0.5f || b.y + b.h > high.y + 0.5f;
    controls.push_back(std::move(control));
}

bool Kit::Inside::key_pressed(std::string_view id) {
    if (pressed_id.empty() || pressed_id != id) {
        return false;
    }
    pressed_id.clear();
    return true;
}

Touch Kit::Inside::listen(Control control, float up_mm, float down_mm, float aside_mm) {
    Touch touch;
    const Box box = control.box;
    const std::string id = control.id;
    const std::string role = control.role;
    const bool enabled = control.enabled;
    register_control(std::move(control));
    if (!enabled) {
        return touch;
    }
    ImGui::SetCursorScreenPos({box.x - mm(aside_mm), box.y - mm(up_mm)});
    touch.fired = ImGui::InvisibleButton(id.c_str(), {box.w + 2 * mm(aside_mm), box.h + mm(up_mm + down_mm)});
    touch.held = ImGui::IsItemActive() && gesture == Gesture::press;
    touch.fired = key_pressed(id) || touch.fired;
    const bool stays = role == "key" || role == "tick" || role == "fold";
    if (touch.fired && !stays) {
        deaf_until = seconds + deaf_seconds;
    }
    return touch;
}

double Kit::Inside::held_for(std::string_view id, bool held) {
    if (!held) {
        if (held_id == id) {
            held_id.clear();
            held_done = false;
        }
        return -1.0;
    }
    if (held_id != id) {
        held_id = id;
        held_since = seconds;
        held_done = false;
    }
    wake_after(1.0 / 30.0);
    return seconds - held_since;
}

void Kit::Inside::box_outline(Box b, Colour colour, float stroke) const {
    const float half = stroke / 2.0f; // drawn inside the box
    ink().AddRect({b.x + half, b.y + half}, {b.x + b.w - half, b.y + b.h - half}, paint(colour), m.radius, 0, stroke);
}

void Kit::Inside::box_fill(Box b, Colour colour) const {
    ink().AddRectFilled({b.x, b.y}, {b.x + b.w, b.y + b.h}, paint(colour), m.radius);
}

} // namespace beckhand::kit
