// The choice of a way to measure, and the pieces that the screens of all ways share.
#include "app/measuring/measuring_views.h"

#include <algorithm>

#include "app/entry.h"
#include "app/figures.h"
#include "engine/diagnosis/derived.h"

namespace beckhand {
namespace {

constexpr const char* choose = "How? Choose what you have with you.";
constexpr const char* use_it = "Use it";
constexpr const char* leave_empty = "Leave it empty if you did not measure it.";
constexpr double sheet_least = 0.9, sheet_most = 1.1;   // of what the sheet says: within 10 % (common practice)

struct Asked { std::string title; Figure kind = Figure::length; };

Asked asked_of(const State& state, const Pack& pack) {
    if (const Measurement* const how = find_measurement(pack, state.measuring.wanted)) return {how->name, figure_of(*how)};
    for (const SiteField& field : site_fields()) {
        if (field.key == state.measuring.wanted) return {title_of(field), figure_of(field)};
    }
    return {};
}

std::optional<Expected<double>> of_sheet(const Site& site, std::string_view wanted) {
    std::optional<double> si;
    if (wanted == "H" && site.fall) si = site.fall->si();
    if (wanted == "Lift" && site.lift) si = site.lift->si();
    if (wanted == "S" && site.source_flow) si = site.source_flow->si();
    if (!si) return std::nullopt;
    return Expected<double>{sheet_least * *si, *si, sheet_most * *si, "the site's sheet"};
}

/// What the visit or the sheet lets expect; nothing while the sheet itself is being filled in.
std::optional<Expected<double>> expected_of(const State& state) {
    const std::string& wanted = state.measuring.wanted;
    if (state.measuring_for == Screen::visit) {
        if (const auto wished = wanted_figure(wanted, state.scene.expected)) return wished;
        return of_sheet(state.scene.visit.site, wanted);
    }
    const SiteRow* const row = find_site(state, state.site_id);
    return state.measuring_for == Screen::round && row != nullptr ? of_sheet(row->site, wanted) : std::nullopt;
}

std::optional<Intent> choose_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("measuring", help_words);
    kit.main();
    kit.words(kit::Type::question, asked_of(state, pack).title);
    kit.words(kit::Type::small, choose);
    for (const Way way : ways_to(state.measuring.wanted)) {
        const std::string id = "way_" + std::to_string(static_cast<int>(way));
        if (kit.row(id, name_of(way), needs_of(way))) did = ChooseWay{way};
    }
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

std::optional<Intent> keypad_view(const State& state, const Wanted& wanted, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.begin_screen("measuring_figure", help_words);
    kit.side();
    kit.words(kit::Type::question, wanted.title);
    kit.words(kit::Type::small, leave_empty);
    kit.main();
    char digit = 0;
    const kit::KeypadPress press = kit.keypad("figure", typed_of(*state.entry, wanted, state.units), digit, "Set");
    if (press != kit::KeypadPress::none) did = Press{press, digit};
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    kit.end_screen();
    return did;
}

} // namespace

std::optional<Intent> measuring_view(const State& state, const Pack& pack, kit::Kit& kit) {
    if (const std::optional<Wanted> wanted = wanted_of(state, pack)) return keypad_view(state, *wanted, kit);
    if (!state.measuring.way) return choose_view(state, pack, kit);
    switch (*state.measuring.way) {
        case Way::tapped: return tap_view(state, pack, kit);
        case Way::by_ear: return ear_view(state, pack, kit);
        case Way::bucket: return bucket_view(state, pack, kit);
        default: return slots_view(state, pack, kit);
    }
}

void begin_measuring(const State& state, kit::Kit& kit, std::string_view id) {
    kit.begin_screen(id, name_of(state.measuring.way.value()));
}

void figure_words(const State& state, const Pack& pack, kit::Kit& kit, const MeasuredFigure& made) {
    const Asked asked = asked_of(state, pack);
    const bool there = made.value_si.has_value();
    kit.words(kit::Type::figure, there ? format_number(asked.kind, *made.value_si, state.units) : std::string("\u2013"));
    std::string below(unit_word(asked.kind, state.units));
    // Two standard deviations, in the unit as it stands, to two figures.
    if (there) below += ", give or take " + significant_text(number_in(asked.kind, 2 * made.error_si, state.units) - number_in(asked.kind, 0, state.units), 2);
    kit.words(kit::Type::body, below);
}

void remarks(const State& state, const Pack& pack, kit::Kit& kit, const MeasuredFigure& made) {
    for (const std::string& line : made.good) kit.words(kit::Type::body, line, kit::Tone::good);
    for (const std::string& line : made.mind) kit.words(kit::Type::body, line, kit::Tone::watch);
    if (!state.measuring.trouble.empty()) kit.words(kit::Type::body, state.measuring.trouble, kit::Tone::stop);
    const auto expected = expected_of(state);
    if (!made.value_si || !made.ready || !expected) return;
    const Asked asked = asked_of(state, pack);
    const std::string words = plausible_words(asked.kind, *made.value_si, made.error_si, expected->least, expected->most, state.units);
    if (!words.empty()) kit.words(kit::Type::body, words);
}

std::optional<Intent> measuring_bar(kit::Kit& kit, const MeasuredFigure& made) {
    std::optional<Intent> did;
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    if (kit.bar_button("use", use_it, kit::Slot::right, made.value_si.has_value(), made.ready)) did = UseMeasured{};
    return did;
}

std::optional<Intent> offer_help(kit::Kit& kit, std::string_view wanted) {
    if (ways_to(wanted).empty() || !kit.quiet("help_measure", help_words)) return std::nullopt;
    return HelpMeasure{};
}

std::optional<Intent> help_in_bar(kit::Kit& kit, std::string_view wanted) {
    if (ways_to(wanted).empty() || !kit.bar_button("help_measure", help_words, kit::Slot::middle)) return std::nullopt;
    return HelpMeasure{};
}

} // namespace beckhand
