// The trend of one site: the finding in words, the chart, what its figures were last, what is due and what
// to carry.
#include <algorithm>
#include <chrono>

#include "app/kit/chart.h"
#include "app/site/site_views.h"

namespace beckhand {
namespace {

constexpr double day_ms = 86'400'000;
constexpr double most_ticks = 7;
constexpr const char* method_heading = "How it is tested, and how often it errs";
constexpr const char* latest_heading = "Figures";
constexpr const char* due_heading = "What is due";
constexpr const char* carry_heading = "Take on the next visit";
constexpr const char* never = "not measured yet";
constexpr const char* no_figures = ": nothing was measured here yet.";
constexpr const char* set_down = "Set down a round";
constexpr const char* mind = "Mind: ";
constexpr const char* local_rules = "Local rules and licensed trades decide on water rights, drinking water and pressure vessels.";

double x_of(Instant at) { return static_cast<double>(at.ms) / day_ms; }

/// The first of the months, so many that at most seven stand on the axis.
std::vector<kit::ChartTick> month_ticks(Instant from, Instant to) {
    using std::chrono::sys_days, std::chrono::year_month_day;
    constexpr std::array names{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const auto day_of = [](Instant at) {
        return year_month_day(sys_days(std::chrono::floor<std::chrono::days>(std::chrono::milliseconds(at.ms))));
    };
    const year_month_day first = day_of(from), last = day_of(to);
    const int months = (static_cast<int>(last.year()) - static_cast<int>(first.year())) * 12 + static_cast<int>(static_cast<unsigned>(last.month())) -
                       static_cast<int>(static_cast<unsigned>(first.month())) + 1;
    int step = 1;
    for (const int wide : {1, 2, 3, 6, 12, 24, 60, 120}) {
        step = wide;
        if (months / wide <= most_ticks) break;
    }
    std::vector<kit::ChartTick> ticks;
    const int begin = static_cast<int>(first.year()) * 12 + static_cast<int>(static_cast<unsigned>(first.month())) - 1;
    for (int at = (begin + step - 1) / step * step; at <= begin + months; at += step) {
        const year_month_day day(std::chrono::year(at / 12), std::chrono::month(static_cast<unsigned>(at % 12) + 1),
                                 std::chrono::day(1));
        const auto index = static_cast<std::size_t>(at % 12);
        const bool year_too = ticks.empty() || index == 0;
        ticks.push_back({static_cast<double>(sys_days(day).time_since_epoch().count()),
                         std::string(names[index]) + (year_too ? " " + std::to_string(at / 12) : "")});
    }
    return ticks;
}

/// The band of a figure that does not move with the day; nothing where none is known.
std::optional<Expected<double>> steady_band(const State& state, const Site& site, Shown which,
                                            std::optional<double> draw) {
    Expectation expected = expect(site);
    if (const Outlook* const found = state.outlook.found()) expected = with_pump(expected, site, *found);
    if (which == Shown::beat && expected.beat)
        return Expected<double>{expected.beat->least.si(), expected.beat->likely.si(), expected.beat->most.si(), ""};
    if (which == Shown::fall && site.fall) {
        const double fall = site.fall->si();
        return Expected<double>{0.97 * fall, fall, 1.03 * fall, ""};
    }
    if (which == Shown::source && draw) return Expected<double>{*draw, *draw, *draw, ""};
    const Outlook* const outlook = state.outlook.found();
    if (which == Shown::efficiency && !site.record.delivered && outlook != nullptr && outlook->sound) {
        const double value = outlook->sound->efficiency;
        return Expected<double>{value / (1 + flow_error), value, value * (1 + flow_error), ""};
    }
    if (which == Shown::efficiency && site.record.delivered && site.record.waste && site.fall && site.lift) {
        const double drive = (*site.record.delivered + *site.record.waste).si();
        const double value = site.record.delivered->si() * site.lift->si() / (drive * site.fall->si());
        return Expected<double>{0.9 * value, value, 1.1 * value, ""};
    }
    return std::nullopt;
}

kit::Chart chart_of(const State& state, const Site& site, const Trend& trend) {
    const Shown which = state.shown;
    const auto shown = [&](double si) { return number_of(which, si, state.units); };
    kit::Chart chart;
    chart.unit = std::string(name_of(which)) + ", " + unit_of(which, state.units);
    for (std::size_t i = 0; i < trend.points.size(); ++i) {
        const TrendPoint& point = trend.points[i];
        const double x = x_of(point.at);
        if (point.as_left) chart.repairs.push_back(x);
        const std::optional<TrendFigure> figure = figure_of(point, which);
        if (!figure) {
            if (!point.as_left) chart.gaps.push_back(x);
            continue;
        }
        const bool warned = which == Shown::delivered && trend.marks[i] && trend.marks[i]->called_out;
        chart.points.push_back({x, shown(figure->value), shown(figure->sigma),
                                warned          ? kit::ChartSign::warned
                                : point.as_left ? kit::ChartSign::left
                                                : kit::ChartSign::found});
        if (which == Shown::delivered && trend.marks[i]) {
            const TrendMark& mark = *trend.marks[i];
            chart.band.push_back({x, shown(mark.least), shown(mark.expected), shown(mark.most)});
        }
    }
    if (trend.points.empty()) return chart;
    if (const auto band = steady_band(state, site, which, trend.reference_draw)) {
        for (const Instant at : {trend.points.front().at, trend.points.back().at})
            chart.band.push_back({x_of(at), shown(band->least), shown(band->likely), shown(band->most)});
    }
    chart.ticks = month_ticks(trend.points.front().at, trend.points.back().at);
    return chart;
}

/// What the signs mean that stand on this chart.
std::string signs_of(const kit::Chart& chart, Shown which) {
    const auto any = [&](kit::ChartSign sign) {
        return std::any_of(chart.points.begin(), chart.points.end(), [&](const kit::ChartPoint& p) { return p.sign == sign; });
    };
    std::string words = "Disc: as found.";
    if (any(kit::ChartSign::warned)) words += " Triangle: called out.";
    if (any(kit::ChartSign::left)) words += " Ring: as left after a repair.";
    if (!chart.repairs.empty()) words += " Dashes: repair proved.";
    if (!chart.gaps.empty()) words += " Stroke at the foot: not measured.";
    if (which == Shown::source && chart.band.size() > 1) words += " Line across: what the pump draws.";
    else if (chart.band.size() > 1) words += " Shaded: nine of ten healthy figures.";
    return words + " Bars: one standard deviation.";
}

/// The figures as last taken: each opens its own chart.
std::optional<Intent> figure_rows(const State& state, const Trend& trend, kit::Kit& kit) {
    std::optional<Intent> did;
    kit.words(kit::Type::heading, latest_heading);
    for (const Shown which : all_shown) {
        const TrendPoint* last = nullptr;
        for (const TrendPoint& point : trend.points) {
            if (figure_of(point, which)) last = &point;
        }
        const std::string below = last ? day_text(last->at, state.minutes_ahead) : never;
        const std::string figure = last ? figure_text(which, figure_of(*last, which)->value, state.units) : "";
        const std::string title = std::string(name_of(which)) + (which == state.shown ? " (shown)" : "");
        if (kit.row("show_" + std::to_string(static_cast<int>(which)), title, below, figure)) did = ShowFigure{which};
    }
    return did;
}

void due_list(const State& state, const Pack& pack, const Site& sheet, const SiteTrend& site, kit::Kit& kit) {
    if (site.due.empty()) return;
    kit.words(kit::Type::heading, carry_heading);
    std::string carry;
    for (const std::string& thing : carry_list(pack, site, state.now)) carry += (carry.empty() ? "" : ", ") + thing;
    kit.words(kit::Type::body, carry.empty() ? "Nothing falls due in the next 30 days." : carry + ".");
    if (const std::string often = parts_often_words(site.parts); !often.empty()) kit.words(kit::Type::small, often);
    kit.words(kit::Type::heading, due_heading);
    for (const Due& due : site.due) {
        std::string text = due_when(due, state.now, state.minutes_ahead) + ".\n" + due_why(due, state.minutes_ahead) + "\n" + due.say;
        text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
        std::string cautions;
        for (const std::string& id : due.cautions) {
            const Caution* const caution = find_caution(pack, id);
            cautions += (cautions.empty() ? mind : "; ") + (caution ? caution->title : id);
        }
        if (!cautions.empty()) text += "\n" + cautions + ".";
        const kit::Tone overdue = due.last ? kit::Tone::watch : kit::Tone::unknown;
        kit.card(due.at < state.now ? overdue : kit::Tone::plain, due.name, text);
    }
    kit.words(kit::Type::small, seasons_words(sheet));
    kit.words(kit::Type::small, local_rules);
}

} // namespace

std::optional<Intent> trend_view(const State& state, const Pack& pack, kit::Kit& kit) {
    std::optional<Intent> did;
    const SiteRow* const row = find_site(state, state.site_id);
    const Site site = row != nullptr ? row->site : Site{};
    const auto found = state.trends.find(state.site_id);
    const SiteTrend held = found != state.trends.end() ? found->second : SiteTrend{};
    const Trend& trend = held.trend;
    const bool wide = kit.metrics().wide;

    kit.begin_screen("trend", "Trend: " + site.name);
    if (wide) kit.side();
    else kit.main();
    kit.card(trend.state == TrendState::going_down ? kit::Tone::watch
             : trend.state == TrendState::steady   ? kit::Tone::good
                                                   : kit::Tone::unknown,
             trend_heading(trend), [&] {
                 std::string all;
                 for (const std::string& words : trend_words(trend, state.units, state.minutes_ahead))
                     all += (all.empty() ? "" : "\n") + words;
                 return all;
             }());
    const kit::Chart chart = chart_of(state, site, trend);
    if (chart.points.empty()) {
        kit.words(kit::Type::body, std::string(name_of(state.shown)) + no_figures);
    } else {
        kit::draw_chart(kit, chart, kit.metrics().mm(wide ? 46.0f : kit.metrics().tablet ? 62.0f : 48.0f),
                        std::string(name_of(state.shown)) + " over time. " + trend_heading(trend) + ".");
        kit.words(kit::Type::small, signs_of(chart, state.shown));
    }
    if (const std::string reasons = reason_words(pack, trend); !reasons.empty()) kit.words(kit::Type::body, reasons);
    if (wide) kit.main();
    if (const auto one = figure_rows(state, trend, kit)) did = one;
    due_list(state, pack, site, held, kit);
    if (kit.fold("method", method_heading, state.how_open, [&] {
            for (const std::string& words : trend_method(trend, state.units)) kit.words(kit::Type::body, words);
        })) {
        did = Unfold{Unfold::how};
    }
    kit.bar();
    if (kit.bar_button("back", "Back", kit::Slot::left)) did = Back{};
    if (kit.bar_button("round", set_down, kit::Slot::right, !site.name.empty(), true)) did = BeginRound{};
    kit.end_screen();
    return did;
}

} // namespace beckhand
