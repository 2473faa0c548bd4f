#include "app/site/trend_words.h"

#include <algorithm>
#include <cmath>

namespace beckhand {
namespace {

constexpr std::int64_t day_ms = 86'400'000;
constexpr const char* never_recorded = "never recorded here";

std::string percent(double share) { return std::to_string(std::lround(100 * share)) + " %"; }

std::string lower_first(std::string text) {
    if (!text.empty()) text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
    return text;
}

const TrendPoint* last_delivered(const Trend& trend) {
    for (auto p = trend.points.rbegin(); p != trend.points.rend(); ++p) {
        if (p->delivered) return &*p;
    }
    return nullptr;
}

/// When the decline began: after the visit before its first figure.
std::string began(const Trend& trend, const MinutesAhead& ahead) {
    const std::string first = day_text(trend.points[*trend.since].at, ahead);
    for (std::size_t i = *trend.since; i-- > 0;) {
        if (trend.points[i].at < trend.points[*trend.since].at && trend.marks[i])
            return "between " + day_text(trend.points[i].at, ahead) + " and " + first;
    }
    return "before " + first;
}

std::string basis_words(TrendBasis basis) {
    switch (basis) {
        case TrendBasis::healthy_record: return "the healthy record of the site, sharpened by its first healthy figures";
        case TrendBasis::virtual_pump: return "the virtual pump of the site, set right by the first healthy figures";
        case TrendBasis::first_figures: return "the first healthy figures; the site has no healthy record";
        case TrendBasis::none: break;
    }
    return "nothing yet";
}

std::string months_text(double months) {
    const long whole = std::lround(months);
    if (whole < 1) return std::to_string(std::max(1L, std::lround(months * 30.4))) + " days";
    if (whole == 1) return "month";
    return std::to_string(whole) + " months";
}

std::string span_text(std::int64_t days) {
    if (days < 14) return std::to_string(days) + (days == 1 ? " day" : " days");
    if (days < 60) return std::to_string((days + 3) / 7) + " weeks";
    return std::to_string(std::lround(static_cast<double>(days * day_ms) / month_ms)) + " months";
}

void add_season(const Trend& trend, std::vector<std::string>& words) {
    if (!trend.season_share || *trend.season_share < 0.1) return;
    const std::string share = percent(*trend.season_share);
    words.push_back(*trend.season_share >= 0.5
                        ? "Most of what is missing against the healthy figure (" + share +
                              ") is the season: less fall or less source on that day."
                        : "Less fall or less source on that day explains " + share + " of what is missing.");
}

} // namespace

std::string_view name_of(Shown which) {
    switch (which) {
        case Shown::delivered: return "Delivered flow";
        case Shown::beat: return "Beat";
        case Shown::efficiency: return "Efficiency";
        case Shown::fall: return "Fall";
        case Shown::source: return "Source flow";
    }
    return "";
}

std::optional<TrendFigure> figure_of(const TrendPoint& point, Shown which) {
    switch (which) {
        case Shown::delivered: return point.delivered;
        case Shown::beat: return point.beat;
        case Shown::efficiency: return point.efficiency;
        case Shown::fall: return point.fall;
        case Shown::source: return point.source;
    }
    return std::nullopt;
}

namespace {

Figure kind_of(Shown which) {
    if (which == Shown::beat) return Figure::beat;
    return which == Shown::fall ? Figure::length : Figure::flow;
}

} // namespace

double number_of(Shown which, double si, Units units) {
    return which == Shown::efficiency ? 100 * si : number_in(kind_of(which), si, units);
}

std::string unit_of(Shown which, Units units) {
    return which == Shown::efficiency ? "%" : std::string(unit_word(kind_of(which), units));
}

std::string figure_text(Shown which, double si, Units units) {
    return which == Shown::efficiency ? percent(si) : format_figure(kind_of(which), si, units);
}

std::string trend_heading(const Trend& trend) {
    switch (trend.state) {
        case TrendState::going_down: return "Going down";
        case TrendState::steady: return "Steady";
        case TrendState::too_few: return "Too few figures";
    }
    return "";
}

std::vector<std::string> trend_words(const Trend& trend, Units units, const MinutesAhead& ahead) {
    std::vector<std::string> words;
    const TrendPoint* const last = last_delivered(trend);
    const TrendMark* const mark = trend.latest();
    if (trend.state == TrendState::too_few || last == nullptr || mark == nullptr) {
        words.push_back(trend.more_needed > 1 ? "Measure the delivered flow at " + std::to_string(trend.more_needed) +
                                                    " visits; then it can be said whether it holds."
                                              : "Measure the delivered flow at one more visit; then it can be said "
                                                "whether it holds.");
        return words;
    }
    const std::string found = format_figure(Figure::flow, last->delivered->value, units),
                      expected = format_figure(Figure::flow, mark->expected, units),
                      day = day_text(last->at, ahead);
    if (trend.state == TrendState::steady) {
        words.push_back("Delivered was " + found + " on " + day + ", with " + expected +
                        " expected. No decline is proved.");
        add_season(trend, words);
        return words;
    }
    words.push_back("Delivered was " + found + " on " + day + ", " + percent(mark->loss) + " less than the " + expected +
                    " expected. It began " + began(trend, ahead) + ".");
    add_season(trend, words);
    return words;
}

std::string reason_words(const Pack& pack, const Trend& trend) {
    std::string likely;
    for (const TrendReason& reason : trend.reasons) {
        const Cause* const cause = find_cause(pack, reason.cause);
        likely += (likely.empty() ? "Likeliest behind it: " : "; ") + lower_first(cause ? cause->name : reason.cause) + " (" +
                  reason.sureness + ")";
    }
    return likely.empty() ? likely : likely + ". By the figures alone: a visit settles it.";
}

std::string trend_warning(const Trend& trend, const MinutesAhead& ahead) {
    const TrendMark* const mark = trend.latest();
    if (trend.state != TrendState::going_down || mark == nullptr) return "";
    return "Delivered " + percent(mark->loss) + " less than expected, going down since " +
           day_text(trend.points[*trend.since].at, ahead);
}

std::vector<std::string> trend_method(const Trend& trend, Units units) {
    std::vector<std::string> words;
    words.push_back("The expectation rests on " + basis_words(trend.basis) + ".");
    if (trend.reference_fall) {
        words.push_back("It follows the fall of the day by (H / " + format_figure(Figure::length, *trend.reference_fall, units) +
                        ") to the power of 1.5: the yield stays, the drive flow goes with the root of the fall. Where "
                        "the source gives less than the pump draws, it follows the source.");
    }
    words.push_back("The test is a one-sided CUSUM (Page, 1954) on ln(delivered / expected): what lies more than " +
                    fixed_text(cusum_allowance, 1) + " standard deviations low is summed up, and called out at " +
                    fixed_text(cusum_limit, 1) +
                    ". A standard deviation joins the bucket's error, 4 % scatter of a healthy pump (judgement) and the "
                    "doubt of the expectation. A proved repair starts it anew.");
    words.push_back("In 10 000 simulated years of healthy sites, a visit every one to two months: at most 1 false alarm in "
                    "50 years. A slow loss is called out within 3 visits of reaching 15 % in at least 98 of 100; a loss of just 15 % at once in nearly 9 of 10.");
    return words;
}

std::string due_when(const Due& due, Instant now, const MinutesAhead& ahead) {
    const std::string day = day_text(due.at, ahead);
    const std::int64_t days = (due.at.ms - now.ms) / day_ms;
    if (due.at < now) return due.last ? "due since " + day : never_recorded;
    return (days == 0 ? "due today" : "in " + span_text(days) + ", " + day) + (due.last ? "" : std::string("; ") + never_recorded);
}

std::string due_why(const Due& due, const MinutesAhead& ahead) {
    const std::string last = due.last ? "; last done " + day_text(*due.last, ahead) : "";
    switch (due.by) {
        case DueBy::months:
            return "Every " + months_text(due.months) + (due.last ? last : ", counted from the first visit") + ".";
        case DueBy::season: return "Before " + due.before + last + ".";
        case DueBy::history: {
            std::string days;
            for (const Instant at : due.times) days += (days.empty() ? "" : ", ") + day_text(at, ahead);
            return "This site's own history: it came back every " + months_text(due.months) + " (" + days + ").";
        }
    }
    return "";
}

bool is_southern(const Site& site) { return site.hemisphere == Hemisphere::south; }

std::string_view seasons_words(const Site& site) {
    if (is_southern(site)) return "Seasons are those south of the equator, as the site's sheet says.";
    return site.hemisphere ? "Seasons are those north of the equator, as the site's sheet says."
                           : "Seasons are those north of the equator; for a site in the south its sheet can say so.";
}

std::string parts_often_words(std::span<const PartUsedOften> parts) {
    std::string words;
    for (const PartUsedOften& often : parts) {
        words += (words.empty() ? "Used here often: " : "; ") + often.part + " (" + std::to_string(often.count) + " at " +
                 std::to_string(often.times.size()) + " visits)";
    }
    return words.empty() ? words : words + ".";
}

std::vector<std::string> carry_list(const Pack& pack, const SiteTrend& site, Instant now) {
    std::vector<std::string> carry = to_carry(site.due, Instant{now.ms + carry_ahead_days * day_ms});
    const auto add = [&](const std::string& thing) {
        if (std::find(carry.begin(), carry.end(), thing) == carry.end()) carry.push_back(thing);
    };
    const Cause* const cause =
        site.trend.reasons.empty() ? nullptr : find_cause(pack, site.trend.reasons.front().cause);
    if (cause != nullptr) {
        for (const auto* list : {&cause->fix.tools, &cause->fix.parts}) {
            for (const std::string& thing : *list) add(thing);
        }
    }
    for (const PartUsedOften& often : site.parts) add(often.part);
    return carry;
}

} // namespace beckhand
