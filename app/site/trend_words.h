// The trend of a site and what is due there, in words: for the window, the list of sites and the terminal.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/figures.h"
#include "engine/records/due.h"
#include "engine/records/trend.h"

namespace beckhand {

/// A site's trend as worked out from its visits, and what was due when its screen was turned to.
struct SiteTrend {
    Trend trend;
    std::vector<Due> due;
    std::vector<PartUsedOften> parts;
    std::string key;              // of the visits and the sheet it was worked out from
};

/// The figures that a chart can show.
enum class Shown { delivered, beat, efficiency, fall, source };
inline constexpr std::array all_shown{Shown::delivered, Shown::beat, Shown::efficiency, Shown::fall, Shown::source};

[[nodiscard]] std::string_view name_of(Shown which);
[[nodiscard]] std::optional<TrendFigure> figure_of(const TrendPoint& point, Shown which);
/// The number to show and its unit: efficiency in per cent.
[[nodiscard]] double number_of(Shown which, double si, Units units);
[[nodiscard]] std::string unit_of(Shown which, Units units);
[[nodiscard]] std::string figure_text(Shown which, double si, Units units);

/// "Going down", "Steady", "Too few figures".
[[nodiscard]] std::string trend_heading(const Trend& trend);
/// The finding with its figures, a sentence or two each.
[[nodiscard]] std::vector<std::string> trend_words(const Trend&, Units, const MinutesAhead&);
/// The likeliest causes of a decline and how sure each is; empty unless the site is going down.
[[nodiscard]] std::string reason_words(const Pack&, const Trend&);
/// One line for the list of sites; empty unless the site is going down.
[[nodiscard]] std::string trend_warning(const Trend&, const MinutesAhead&);
/// What the expectation rests on, how the test works and how often it errs.
[[nodiscard]] std::vector<std::string> trend_method(const Trend&, Units);

/// "in 3 weeks, 14 Dec 2026", "due since 1 Nov 2026"; of work that nobody ever set down, "never recorded here": whether
/// it was done is not known.
[[nodiscard]] std::string due_when(const Due&, Instant now, const MinutesAhead&);
/// Why then: last done, season, or the site's own history.
[[nodiscard]] std::string due_why(const Due&, const MinutesAhead&);
[[nodiscard]] bool is_southern(const Site&);
/// Of which half of the earth the seasons are.
[[nodiscard]] std::string_view seasons_words(const Site&);
/// "Used here often: gasket sheet (3 at 2 visits)."; empty without any.
[[nodiscard]] std::string parts_often_words(std::span<const PartUsedOften>);
/// What to carry on the next visit: for all that is due within so many days, for the likeliest reason of a decline,
/// and the parts that were used here often.
inline constexpr int carry_ahead_days = 30;
[[nodiscard]] std::vector<std::string> carry_list(const Pack&, const SiteTrend&, Instant now);

} // namespace beckhand
