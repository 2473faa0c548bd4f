// One site on a page: its drawing, what it should give, and which published limits it breaks.
#include <algorithm>
#include <cctype>

#include "app/codes/codes_view.h"
#include "app/figures.h"
#include "app/kit/installation.h"
#include "app/site/differences.h"
#include "app/site/outlook_words.h"
#include "app/site/site_views.h"
#include "engine/hydraulics/expectation.h"

namespace beckhand {
namespace {

constexpr const char* should_give = "What this site should give";
constexpr const char* too_little_known =
    "Not enough is known to say. Fall, lift and drive pipe bore are the first three to measure.";
constexpr const char* is_sound = " is sound.";
constexpr const char* basis_heading = "Where these come from";
constexpr const char* delivered = "Delivered";
constexpr const char* in_a_day = "Delivered in a day";
constexpr const char* waste = "Waste flow";
constexpr const char* drive = "Drive flow";
constexpr const char* beat = "Beat";
constexpr const char* running = "Pressure, running";
constexpr const char* stopped = "Pressure, stopped";
constexpr const char* peak = "Peak in the pump, an estimate";
constexpr const char* working_out = "The virtual pump is running: ";
constexpr const char* setting_heading = "Setting the waste valve";
constexpr const char* virtual_pump = "Virtual pump: ";
constexpr const char* limits_heading = "Limits of the site";
constexpr const char* none_known = "No limit could be checked yet: the figures for it are missing.";
constexpr const char* all_kept = "No limit that could be checked is broken.";
constexpr const char* at_the_pump = "At the pump: ";
constexpr const char* near_heading = " (near the limit)";
constexpr const char* start_visit = "Start visit";
constexpr const char* go_on = "Go on";
constexpr const char* show_codes = "Show codes";
constexpr const char* two_values = "Two values are noted";
constexpr const char* hand_on = "Hand it on";
constexpr const char* trend_and_due = "Trend, and what is due";
constexpr const char* change = "Change the figures";

template <class Q>
void expected_row(kit::Kit& kit, const char* label, const std::optional<Expected<Q>>& figure, Figure kind,
                  Units units) {
    if (!figure) return;
    kit.label_and_figure(label, format_figure(kind, figure->likely.si(), units));
    kit.words(kit::Type::small, band_text(kind, figure->least.si(), figure->most.si(), units) + is_sound);
}

template <class Q>
void basis_line(kit::Kit& kit, const char* label, const std::optional<Expected<Q>>& figure) {
    if (figure) kit.words(kit::Type::body, label + (": " + figure->basis) + ".");
}

/// True when the fold with the sources of the figures was pressed.
bool what_it_should_give(const Site& site, const OutlookOnScreen& outlook, Units units, bool basis_open,
                         kit::Kit& kit) {
    kit.words(kit::Type::heading, should_give);
    Expectation expected = expect(site);
    if (const Outlook* const found = outlook.found()) expected = with_pump(expected, site, *found);
    const bool nothing = !expected.delivered && !expected.waste && !expected.drive_flow && !expected.beat &&
                         !expected.pressure_stopped && !expected.pressure_running;
    if (nothing) {
        kit.words(kit::Type::body, too_little_known);
        return false;
    }
    expected_row(kit, delivered, expected.delivered, Figure::flow, units);
    if (expected.delivered) {
        kit.label_and_figure(in_a_day, format_figure(Figure::day_flow, expected.delivered->likely.si(), units));
    }
    expected_row(kit, waste, expected.waste, Figure::flow, units);
    expected_row(kit, drive, expected.drive_flow, Figure::flow, units);
    expected_row(kit, beat, expected.beat, Figure::beat, units);
    expected_row(kit, running, expected.pressure_running, Figure::pressure, units);
    if (expected.pressure_stopped) kit.label_and_figure(stopped, format_pressure(*expected.pressure_stopped, units));
    if (!outlook.result && outlook.steps > 0) {
        kit.words(kit::Type::small, working_out + std::to_string(outlook.done) + " of " + std::to_string(outlook.steps));
    }
    if (const Outlook* const found = outlook.found()) {
        if (found->sound) kit.label_and_figure(peak, format_pressure(found->sound->peak, units));
        for (const std::string& words : reliance_words(site, *found, units)) kit.words(kit::Type::small, words);
    }
    return kit.fold("basis", basis_heading, basis_open, [&] {
        basis_line(kit, delivered, expected.delivered);
        basis_line(kit, waste, expected.waste);
        basis_line(kit, drive, expected.drive_flow);
        basis_line(kit, beat, expected.beat);
        basis_line(kit, running, expected.pressure_running);
    });
}

/// What to do with nut and weight; nothing until the virtual pump has run, or without a source flow.
void setting(const OutlookOnScreen& outlook, Units units, kit::Kit& kit) {
    const Outlook* const found = outlook.found();
    if (found == nullptr) return;
    const std::vector<std::string> words = setting_words(*found, units);
    if (words.empty()) return;
    kit.words(kit::Type::heading, setting_heading);
    for (const std::string& one : words) kit.words(kit::Type::body, one);
}

/// What the virtual pump does here with the limit kept and broken; empty where it was not run.
std::string pump_words(const Limit& limit, const Outlook* outlook, Units units) {
    const LimitEffect* const effect = outlook != nullptr ? effect_of(*outlook, limit.id) : nullptr;
    if (effect != nullptr) return virtual_pump + effect_words(*effect, units);
    if (limit.id != "drive_rating" || outlook == nullptr || !outlook->sound) return "";
    return virtual_pump + ("peaks of about " + format_pressure(outlook->sound->peak, units)) + " in the pump body.";
}

std::string limit_words(const Limit& limit, const std::string& pump) {
    std::string words = "Found " + limit.found + ", wanted " + limit.wanted + ".";
    if (!limit.by_how_much.empty()) {
        std::string by_how_much = limit.by_how_much + ".";
        by_how_much[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(by_how_much[0])));
        words += " " + by_how_much;
    }
    if (!limit.at_the_pump.empty()) words += "\n" + (at_the_pump + limit.at_the_pump);
    if (!pump.empty()) words += "\n" + pump;
    return words;
}

/// Broken ones first; kept and unknown ones opened on demand. True when that was pressed.
bool limits(const Site& site, const Outlook* outlook, Units units, bool kept_open, kit::Kit& kit) {
    const std::vector<Limit> all = check_site(site, units);
    const auto count = [&all](LimitState wanted) {
        return std::count_if(all.begin(), all.end(), [wanted](const Limit& l) { return l.state == wanted; });
    };
    kit.words(kit::Type::heading, limits_heading);
    if (count(LimitState::broken) == 0) kit.words(kit::Type::body, count(LimitState::unknown) == std::ssize(all) ? none_known : all_kept);
    for (const Limit& limit : all) {
        if (limit.state != LimitState::broken) continue;
        kit.card(kit::Tone::stop, limit.name, limit_words(limit, pump_words(limit, outlook, units)));
    }
    for (const Limit& limit : all) {
        if (limit.state != LimitState::near) continue;
        kit.card(kit::Tone::watch, limit.name + near_heading, limit_words(limit, pump_words(limit, outlook, units)));
    }
    const std::string heading = std::to_string(count(LimitState::kept)) + " kept, " +
                                std::to_string(count(LimitState::unknown)) + " not known";
    return kit.fold("kept", heading, kept_open, [&] {
        for (const Limit& limit : all) {
            if (limit.state == LimitState::kept) kit.label_and_figure(limit.name, limit.found, kit::Tone::good);
            if (limit.state == LimitState::unknown) kit.label_and_figure(limit.name, "not known", kit::Tone::unknown);
            const std::string pump = limit.state == LimitState::kept ? pump_words(limit, outlook, units) : "";
            if (!pump.empty()) kit.words(kit::Type::small, pump);
        }
    });
}

} // namespace

std::optional<Intent> site_sheet_view(const State& state, const Pack&, kit::Kit& kit) {
    std::optional<Intent> did;
    const SiteRow* const row = find_site(state, state.site_id);
    const Site site = row ? row->site : Site{};
    const VisitRow* open = nullptr;
    for (const VisitRow& visit : state.log) {
        if (!open && visit.site_id == state.site_id && !visit.closed) open = &visit;
    }

    kit.begin_screen("site_sheet", site.name);
    kit.side();
    kit::draw_installation(kit, site, "", state.units, kit.metrics().mm(kit.metrics().tablet ? 80.0f : 40.0f));
    if (!site.access.empty()) kit.words(kit::Type::body, site.access);
    kit.main();
    if (open) kit.card(kit::Tone::watch, "A visit is open", open->headline);
    const auto trend = state.trends.find(state.site_id);
    if (trend != state.trends.end() && trend->second.trend.state == TrendState::going_down) {
        kit.card(kit::Tone::watch, trend_heading(trend->second.trend),
                 trend_warning(trend->second.trend, state.minutes_ahead) + ".");
    }
    if (row != nullptr && kit.quiet("trend", trend_and_due)) did = ShowTrend{state.site_id};
    for (const std::string& line : row ? difference_lines(*row, state.units) : std::vector<std::string>{}) {
        kit.card(kit::Tone::watch, two_values, line);
    }
    if (what_it_should_give(site, state.outlook, state.units, state.how_open, kit)) did = Unfold{Unfold::how};
    setting(state.outlook, state.units, kit);
    if (limits(site, state.outlook.found(), state.units, state.kept_open, kit)) did = Unfold{Unfold::kept};
    if (kit.quiet("change", change)) did = EditSite{state.site_id};
    if (kit.quiet("hand_on", hand_on)) did = ShowBrief{state.site_id};
    if (kit.quiet("codes", show_codes)) did = ShowCodes{state.site_id};
    for (const std::string& line : hand_over_lines(state, state.site_id)) kit.words(kit::Type::small, line);
    kit.bar();
    if (kit.bar_button("back", "Sites", kit::Slot::left)) did = Back{};
    if (kit.bar_button("log", "Log", kit::Slot::middle)) did = Show{Screen::log};
    if (kit.bar_button("visit", open ? go_on : start_visit, kit::Slot::right, row != nullptr, true)) {
        if (open) did = ResumeVisit{open->id};
        else did = StartVisit{state.site_id};
    }
    kit.end_screen();
    return did;
}

} // namespace beckhand
