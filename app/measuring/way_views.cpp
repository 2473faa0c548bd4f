// One screen for each kind of way: taps, the microphone, the bucket, and figures to be typed.
#include <algorithm>
#include <cmath>

#include <imgui.h>

#include "app/figures.h"
#include "app/kit/shapes.h"
#include "app/measuring/measuring_views.h"
#include "engine/measuring/bucket.h"

namespace beckhand {
namespace {

constexpr const char* tap_here = "Tap here at each shut";
constexpr const char* start_over = "Start over";
constexpr const char* forget_last = "Undo last";
constexpr const char* start = "Start: water runs in";
constexpr const char* stop = "Stop: at the mark";
constexpr const char* type_volume = "First type what the bucket holds.";
constexpr const char* not_typed = "type it";
constexpr const char* if_there = "if there is one";
constexpr std::size_t marks_shown = 16;
constexpr const char* how_heading = "How it is done";
constexpr float how_mm = 26.0f;
constexpr float most_off = 0.25f;            // of a beat: the edge of the marks' strip
constexpr float marks_mm = 11.0f, level_mm = 9.0f;

void steps(kit::Kit& kit, Way way) {
    for (const std::string_view step : steps_of(way)) kit.words(kit::Type::body, step);
}

/// The last taps as strokes: on the middle line the beat was on time, above it late, below it early.
void steadiness(kit::Kit& kit, const TappedBeat& beat) {
    const kit::Metrics& m = kit.metrics();
    const kit::Palette& p = kit.palette();
    const kit::Box box = kit.canvas(m.mm(marks_mm), "How steady the last taps were: each mark on the line was on time");
    if (box.h <= 0) return;
    ImDrawList& ink = *kit.ink();
    const float middle = box.y + box.h / 2;
    ink.AddLine({box.x, middle}, {box.x + box.w, middle}, kit::paint(p.line), m.stroke);
    const std::size_t n = std::min(beat.off.size(), marks_shown);
    const float step = box.w / static_cast<float>(marks_shown);
    for (std::size_t i = 0; i < n; ++i) {
        const float off = std::clamp(static_cast<float>(beat.off[beat.off.size() - n + i]) / most_off, -1.0f, 1.0f);
        const float x = box.x + (static_cast<float>(i) + 0.5f) * step, y = middle - off * (box.h / 2 - m.mm(1.2f));
        const bool near = std::abs(off) < 0.4f;
        const kit::Colour colour = near ? p.good_text : p.watch_text;
        if (near) ink.AddCircleFilled({x, y}, m.mm(1.1f), kit::paint(colour));
        else ink.AddRectFilled({x - m.mm(1.1f), y - m.mm(0.6f)}, {x + m.mm(1.1f), y + m.mm(0.6f)}, kit::paint(colour));
    }
}

/// The level as a bar, in decibels from -60 to 0.
void level_bar(kit::Kit& kit, double level) {
    const kit::Metrics& m = kit.metrics();
    const kit::Palette& p = kit.palette();
    const kit::Box box = kit.canvas(m.mm(level_mm), "How loud it is at the microphone");
    if (box.h <= 0) return;
    ImDrawList& ink = *kit.ink();
    const double decibels = 20 * std::log10(std::max(level, 1e-6));
    const float share = std::clamp(static_cast<float>((decibels + 60) / 60), 0.0f, 1.0f);
    ink.AddRectFilled({box.x, box.y}, {box.x + box.w * share, box.y + box.h}, kit::paint(p.water_text));
    ink.AddRect({box.x, box.y}, {box.x + box.w, box.y + box.h}, kit::paint(p.line), m.mm(1.0f), 0, m.stroke);
}

void slot_row(const State& state, kit::Kit& kit, const Slot& slot, std::optional<Intent>& did) {
    const auto typed = state.measuring.typed.find(slot.key);
    const bool there = typed != state.measuring.typed.end();
    const std::string figure = there ? format_figure(slot.kind, typed->second, state.units) : std::string(slot.must ? not_typed : if_there);
    const std::size_t colon = slot.title.find(": ");
    const std::string below = colon == std::string::npos ? "" : slot.title.substr(colon + 2);
    if (kit.row(slot.key, slot.title.substr(0, colon), below, figure, there ? kit::Tone::plain : kit::Tone::unknown)) did = TypeSlot{slot.key};
}

/// The bar of a way that can be begun anew.
void bar_to_start_over(kit::Kit& kit, const MeasuredFigure& made, bool begun, std::optional<Intent>& did) {
    kit.bar();
    if (const auto done = measuring_bar(kit, made)) did = done;
    if (kit.bar_button("start_over", start_over, kit::Slot::middle, begun)) did = StartOver{};
}

} // namespace

std::optional<Intent> tap_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const TappedBeat beat = beat_of_taps(state.measuring.struck);
    const MeasuredFigure made = figure_of(beat);
    const bool wide = kit.metrics().wide;
    begin_measuring(state, kit, "tapping");
    kit.side();
    const bool begun = !state.measuring.struck.empty();
    if (wide || !begun) steps(kit, Way::tapped);
    if (wide || begun) figure_words(state, pack, kit, made);
    if (begun) steadiness(kit, beat);
    remarks(state, pack, kit, made);
    kit.main();
    std::vector<double> struck = kit.pad("tap", tap_here);
    if (!struck.empty()) did = Struck{std::move(struck)};
    bar_to_start_over(kit, made, begun, did);
    kit.end_screen();
    return did;
}

std::optional<Intent> ear_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const MeasuredFigure made = figure_of(state.measuring, state.units);
    const HearingOnScreen& now = state.measuring.hearing;
    begin_measuring(state, kit, "listening");
    kit.side();
    steps(kit, Way::by_ear);
    draw_way(kit, Way::by_ear, 0.0f);
    kit.main();
    const std::string listening = now.open ? "Listening, " + std::to_string(static_cast<int>(now.seconds)) + " s" : "Waiting for the microphone";
    if (now.trouble.empty()) kit.words(kit::Type::body, listening);
    if (now.open) level_bar(kit, now.level);
    figure_words(state, pack, kit, made);
    remarks(state, pack, kit, made);
    if (!made.ready && kit.quiet("tap_instead", name_of(Way::tapped))) did = ChooseWay{Way::tapped};
    bar_to_start_over(kit, made, now.open, did);
    kit.end_screen();
    return did;
}

std::optional<Intent> bucket_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const MeasuringOnScreen& now = state.measuring;
    MeasuredFigure made = figure_of(now, state.units);
    const std::vector<double> fills = fills_of(now);
    const bool filling = now.struck.size() % 2 == 1, volume = now.typed.contains("volume");
    begin_measuring(state, kit, "bucket");
    kit.side();
    if (kit.metrics().wide || fills.empty()) steps(kit, Way::bucket);
    for (const Slot& slot : slots_of(now)) slot_row(state, kit, slot, did);
    if (kit.metrics().wide) draw_way(kit, Way::bucket, kit.metrics().mm(how_mm));
    kit.main();
    std::string times;
    for (const double fill : fills) times += (times.empty() ? "Fills: " : ", ") + format_duration(seconds(fill), state.units);
    if (!times.empty()) kit.words(kit::Type::body, times + ".");
    std::string watch = filling ? stop : start;
    if (filling) watch += ", " + std::to_string(static_cast<int>(kit.seconds_since(now.struck.back()))) + " s";
    if (made.value_si) figure_words(state, pack, kit, made);
    remarks(state, pack, kit, made);
    if (!volume && !fills.empty()) kit.words(kit::Type::body, type_volume, kit::Tone::watch);
    std::vector<double> struck = kit.pad("watch", watch, filling);
    if (!struck.empty()) did = Struck{std::move(struck)};
    kit.bar();
    if (filling) made.value_si.reset(); // the fill that runs is not thrown away by a press
    if (const auto done = measuring_bar(kit, made)) did = done;
    if (kit.bar_button("forget", forget_last, kit::Slot::middle, !now.struck.empty())) did = ForgetLast{};
    kit.end_screen();
    return did;
}

std::optional<Intent> slots_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const MeasuringOnScreen& now = state.measuring;
    const MeasuredFigure made = figure_of(now, state.units);
    begin_measuring(state, kit, "slots");
    const bool wide = kit.metrics().wide;
    if (wide) {
        kit.side();
        draw_way(kit, *now.way, 0.0f);
        steps(kit, *now.way);
    }
    kit.main();
    // A phone has room for either the steps or the figures.
    const auto how = [&] {
        draw_way(kit, *now.way, kit.metrics().mm(how_mm));
        steps(kit, *now.way);
    };
    if (!wide && kit.fold("how", how_heading, state.how_open, how)) did = Unfold{Unfold::how};
    if (made.value_si || !made.mind.empty()) {
        figure_words(state, pack, kit, made);
        remarks(state, pack, kit, made);
    }
    for (const Slot& slot : slots_of(now)) slot_row(state, kit, slot, did);
    const std::vector<std::string_view> options = options_of(*now.way);
    for (std::size_t i = 0; i < options.size(); ++i) {
        const int option = static_cast<int>(i);
        if (kit.tick("option_" + std::to_string(option), options[i], now.option == option)) did = ChooseOption{option};
    }
    bar_to_start_over(kit, made, !now.typed.empty(), did);
    kit.end_screen();
    return did;
}

} // namespace beckhand
