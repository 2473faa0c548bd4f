#include "tests/screens/audit.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <set>

namespace beckhand::screens {

using kit::Box;
using kit::Control;
using kit::Inked;

namespace {

constexpr float capitals = 0.617f;     // of B612's line height
constexpr float answer_mm = 15.0f, target_mm = 12.0f, gap_mm = 3.0f, edge_mm = 4.0f;
constexpr float rounding_mm = 0.17f;   // to whole dots
constexpr double all_text = 7.0, main_text = 15.0, main_text_dark = 9.0, strokes = 4.5;

Box shared(const Box& a, const Box& b) {
    const float x = std::max(a.x, b.x), y = std::max(a.y, b.y);
    return {x, y, std::min(a.x + a.w, b.x + b.w) - x, std::min(a.y + a.h, b.y + b.h) - y};
}
bool any(const Box& box) { return box.w > 0.0f && box.h > 0.0f; }

float gap_between(const Box& a, const Box& b) {
    const float across = std::max(b.x - (a.x + a.w), a.x - (b.x + b.w));
    const float down = std::max(b.y - (a.y + a.h), a.y - (b.y + b.h));
    return std::max(across, down);
}

std::string shown(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f", value);
    return text;
}

bool is_main(const Control& control) {
    static const std::set<std::string> roles{"title", "question", "heading", "answer", "row", "figure"};
    return roles.count(control.role) > 0;
}

bool same(kit::Colour a, kit::Colour b) { return a.r == b.r && a.g == b.g && a.b == b.b; }

} // namespace

Audit::Audit(kit::Kit& kit, Glass glass, std::string name, std::function<void()> draw)
    : kit_(kit), glass_(glass), name_(std::move(name)), draw_(std::move(draw)) {
    kit_.set_size(glass_.width, glass_.height, glass_.px_per_mm, glass_.text_scale);
    kit_.note_ink(true);
}

void Audit::settle() {
    for (int pass = 0; pass < 8; ++pass) {
        kit::Input input;
        input.seconds = seconds_ += 1.0 / 30.0;
        kit_.feed(input);
        draw_();
        if (pass > 0 && kit_.settled()) return;
    }
}

void Audit::found(const std::string& rule, const std::string& where, const std::string& what) {
    findings.push_back({rule, where, what});
}

std::string Audit::place(const Control& control) const {
    std::string words = control.label.substr(0, 32);
    std::replace(words.begin(), words.end(), '\n', ' ');
    return name_ + " " + glass_.name + " " + control.role + " " + control.id + " '" + words + "'";
}

void Audit::everything() {
    settle();
    ++figures.screens;
    targets();
    letters();
    words();
    colours();
    std::set<int> regions;
    for (const Control& control : kit_.controls()) regions.insert(control.region);
    for (const int region : regions) {
        if (region >= 0) scroll_to_end(region);
    }
}

void Audit::targets() {
    const float mm = glass_.px_per_mm;
    std::set<std::string> ids;
    const auto& all = kit_.controls();
    for (const Control& c : all) {
        ++figures.controls;
        if (c.box.x < -0.5f || c.box.x + c.box.w > glass_.width + 0.5f)
            found("off the glass sideways", place(c), shown(c.box.x) + " + " + shown(c.box.w));
        if (c.region < 0 && (c.box.y < -0.5f || c.box.y + c.box.h > glass_.height + 0.5f))
            found("off the glass", place(c), shown(c.box.y) + " + " + shown(c.box.h));
        if (!kit::is_pressed(c)) continue;
        if (!ids.insert(c.id).second) found("two of one id", place(c), c.id);
        const double size = static_cast<double>(std::min(c.box.w, c.box.h) / mm);
        const bool answer = c.role == "answer";
        (answer ? figures.answer_mm : figures.target_mm).take(size, place(c));
        if (size < (answer ? answer_mm : target_mm) - rounding_mm) found("too small to press", place(c), shown(size) + " mm");
        float edge = std::min(c.box.x, glass_.width - c.box.x - c.box.w);
        if (!c.clipped) edge = std::min({edge, c.box.y, glass_.height - c.box.y - c.box.h});
        figures.edge_mm.take(static_cast<double>(edge / mm), place(c));
        if (edge / mm < edge_mm - rounding_mm) found("too near the edge", place(c), shown(static_cast<double>(edge / mm)) + " mm");
        for (const Control& other : all) {
            if (&other <= &c || !kit::is_pressed(other)) continue;
            if (other.region != c.region && (other.clipped || c.clipped)) continue; // scrolled away under the other
            const double gap = static_cast<double>(gap_between(c.box, other.box) / mm);
            figures.gap_mm.take(gap, place(c) + " / " + other.id);
            if (gap < static_cast<double>(gap_mm - rounding_mm))
                found("too near each other", place(c) + " / " + other.id, shown(gap) + " mm");
        }
    }
}

void Audit::letters() {
    const bool tablet = kit_.metrics().tablet;
    for (const Inked& ink : kit_.inked()) {
        if (ink.text.empty()) continue;
        ++figures.lines;
        const double tall = static_cast<double>(ink.letter_px * capitals / glass_.px_per_mm);
        const std::string where = name_ + " " + glass_.name + " '" + ink.text + "'";
        (tablet ? figures.tablet_letter_mm : figures.phone_letter_mm).take(tall, where);
        if (tall < (tablet ? 3.5 : 2.3) - 0.01) found("letters too small", where, shown(tall) + " mm");
    }
}

// Every line that is drawn belongs to something registered, and stays within it, on the glass, and clear of others.
void Audit::words() {
    const auto& inked = kit_.inked();
    for (std::size_t i = 0; i < inked.size(); ++i) {
        const Inked& ink = inked[i];
        if (ink.text.empty()) continue;
        const std::string where = name_ + " " + glass_.name + " '" + ink.text + "'";
        const Box seen = shared(ink.box, ink.seen);
        if (ink.box.x < -0.5f || ink.box.x + ink.box.w > glass_.width + 0.5f || ink.box.x < ink.seen.x - 0.5f ||
            ink.box.x + ink.box.w > ink.seen.x + ink.seen.w + 0.5f)
            found("words cut at the side", where, shown(ink.box.x) + " + " + shown(ink.box.w));
        if (ink.cut) {
            ++figures.words_cut;
            if (glass_.text_scale <= 1.0f) found("a word cut in two", where, "");
        }
        const Control* owner = nullptr;
        for (const Control& c : kit_.controls()) {
            if (c.label.find(ink.text) == std::string::npos || !any(shared(c.box, ink.box))) continue;
            const bool inside = ink.box.x >= c.box.x - 1.5f && ink.box.y >= c.box.y - 1.5f &&
                                ink.box.x + ink.box.w <= c.box.x + c.box.w + 1.5f &&
                                ink.box.y + ink.box.h <= c.box.y + c.box.h + 1.5f;
            if (!owner || inside) owner = &c;
            if (inside) break;
        }
        if (!owner) {
            found("drawn and not registered", where, "");
        } else if (ink.box.x < owner->box.x - 1.5f || ink.box.x + ink.box.w > owner->box.x + owner->box.w + 1.5f ||
                   ink.box.y < owner->box.y - 1.5f || ink.box.y + ink.box.h > owner->box.y + owner->box.h + 1.5f) {
            found("words leave their place", where, place(*owner));
        }
        for (std::size_t j = i + 1; j < inked.size(); ++j) {
            const Inked& other = inked[j];
            if (other.text.empty()) continue;
            const Box both = shared(seen, shared(other.box, other.seen));
            if (both.w > 1.0f && both.h > 1.0f) found("words over words", where, "'" + other.text + "'");
        }
    }
}

void Audit::colours() {
    settle();
    const kit::Palette& p = kit_.palette();
    const bool paper = p.paper.r == 255;
    for (const Control& c : kit_.controls()) {
        if (c.label.empty() || c.role == "drawing") continue;
        const double ratio = kit::contrast(c.text, c.ground);
        figures.contrast.take(ratio, place(c));
        if (ratio < all_text) found("too faint", place(c), shown(ratio));
        // Main text in the colour of ink; a tone's own colour is held to what holds for all text.
        if (is_main(c) && same(c.text, p.ink)) {
            if (paper) figures.main_contrast.take(ratio, place(c));
            if (ratio < (paper ? main_text : main_text_dark)) found("main text too faint", place(c), shown(ratio));
        }
    }
    for (const Inked& ink : kit_.inked()) {
        if (!ink.text.empty()) {
            const double ratio = std::max(kit::contrast(ink.colour, p.paper),
                                          kit::contrast(ink.colour, p.watch)); // on its tag at the least
            if (kit::contrast(ink.colour, p.paper) < all_text && kit::contrast(ink.colour, p.water_text) < all_text &&
                ratio < all_text)
                found("letters too faint", name_ + " '" + ink.text + "'", shown(ratio));
            continue;
        }
        const double ratio = kit::contrast(ink.colour, p.paper);
        figures.outline_contrast.take(ratio, name_);
        if (ratio < strokes) found("outline too faint", name_, shown(ratio));
    }
}

void Audit::scroll_to_end(int region) {
    const auto last_of = [&]() -> const Control* {
        const Control* last = nullptr;
        for (const Control& c : kit_.controls()) {
            if (c.region == region && (!last || c.box.y + c.box.h > last->box.y + last->box.h)) last = &c;
        }
        return last;
    };
    const Control* last = last_of();
    if (!last || !last->clipped) return;
    kit::Input wheel;
    wheel.wheel = -1000.0f;
    wheel.x = std::min(glass_.width - 5.0f, std::max(5.0f, last->box.x + last->box.w / 2));
    wheel.y = glass_.height / 2;
    wheel.seconds = seconds_ += 1.0 / 30.0;
    kit_.feed(wheel);
    draw_();
    settle();
    last = last_of();
    const auto bar_top = [&] {
        float top = glass_.height;
        for (const Control& c : kit_.controls()) top = c.region < 0 && kit::is_pressed(c) ? std::min(top, c.box.y) : top;
        return top;
    };
    // What is taller than the view is read in parts; its end must be reached too.
    if (last->clipped && last->box.y + last->box.h > bar_top() - gap_mm * glass_.px_per_mm + 1.0f) found("scrolling does not reach it", place(*last), shown(last->box.y) + " to " + shown(last->box.y + last->box.h) + ", the bar from " + shown(bar_top()));
    words();
    targets();
    wheel.wheel = 1000.0f;
    kit_.feed(wheel);
    draw_();
}

void Audit::keys() {
    settle();
    std::vector<std::string> all;
    for (const Control& c : kit_.controls()) {
        if (kit::is_pressed(c) && c.enabled) all.push_back(c.id);
    }
    std::set<std::string> reached;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!kit_.move_focus(1)) {
            found("no key reaches anything", name_ + " " + glass_.name, "");
            return;
        }
        settle();
        const std::string id(kit_.focus());
        reached.insert(id);
        const auto at = std::find_if(kit_.controls().begin(), kit_.controls().end(),
                                     [&](const Control& c) { return c.id == id && kit::is_pressed(c); });
        if (at == kit_.controls().end()) {
            found("the focus is lost", name_ + " " + glass_.name, all[i]);
            return;
        }
        if (at->clipped && at->box.h < glass_.height * 0.5f) found("the focus is out of view", place(*at), "");
    }
    for (const std::string& id : all) {
        if (reached.count(id) == 0) found("no key reaches it", name_ + " " + glass_.name + " " + id, "");
    }
}

void merge(Figures& all, const Figures& one) {
    const auto worst = [](Worst& a, const Worst& b) { a.take(b.value, b.where); };
    worst(all.answer_mm, one.answer_mm);
    worst(all.target_mm, one.target_mm);
    worst(all.gap_mm, one.gap_mm);
    worst(all.edge_mm, one.edge_mm);
    worst(all.contrast, one.contrast);
    worst(all.main_contrast, one.main_contrast);
    worst(all.outline_contrast, one.outline_contrast);
    worst(all.phone_letter_mm, one.phone_letter_mm);
    worst(all.tablet_letter_mm, one.tablet_letter_mm);
    all.screens += one.screens;
    all.controls += one.controls;
    all.lines += one.lines;
    all.words_cut += one.words_cut;
}

std::string summary(const std::vector<Finding>& findings, std::size_t most_places) {
    std::map<std::string, std::vector<const Finding*>> by_rule;
    for (const Finding& one : findings) by_rule[one.rule].push_back(&one);
    std::string text;
    for (const auto& [rule, all] : by_rule) {
        text += rule + ": " + std::to_string(all.size()) + "\n";
        for (std::size_t i = 0; i < std::min(most_places, all.size()); ++i) {
            const Finding& one = *all[i * all.size() / std::min(most_places, all.size())];
            text += "    " + one.where + (one.what.empty() ? "" : ": " + one.what) + "\n";
        }
    }
    return text;
}

std::string table(const Figures& figures) {
    std::string text;
    const auto line = [&](const char* what, const Worst& worst, const char* unit) {
        if (worst.value < 1e8) text += std::string(what) + shown(worst.value) + unit + "  " + worst.where + "\n";
    };
    line("smallest answer        ", figures.answer_mm, " mm");
    line("smallest other target  ", figures.target_mm, " mm");
    line("smallest gap           ", figures.gap_mm, " mm");
    line("nearest to the edge    ", figures.edge_mm, " mm");
    line("least contrast         ", figures.contrast, ":1");
    line("of main text on paper  ", figures.main_contrast, ":1");
    line("of an outline          ", figures.outline_contrast, ":1");
    line("smallest letters, phone  ", figures.phone_letter_mm, " mm");
    line("smallest letters, tablet ", figures.tablet_letter_mm, " mm");
    text += std::to_string(figures.screens) + " screens measured, " + std::to_string(figures.controls) + " controls, " +
            std::to_string(figures.lines) + " lines, " + std::to_string(figures.words_cut) + " words cut by large letters\n";
    return text;
}

} // namespace beckhand::screens
