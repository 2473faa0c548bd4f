// Which kind of figure a measurement or a field of the site is, and its words: what the window, the
// terminal and the log all need in order to show one and to read one.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "engine/diagnosis/measurement_text.h"
#include "engine/diagnosis/visit.h"
#include "engine/quantity/text.h"
#include "engine/records/site_fields.h"

namespace beckhand {

/// By the ending of the field's key: "_m", "_mm", "_lpm", "_l", "_bar", "_c", "_per_min".
[[nodiscard]] Figure figure_of(const SiteField& field);

/// "0.2 to 30 m".
[[nodiscard]] std::string range_text(Figure kind, double least_si, double most_si, Units units, int figures = 3);
/// To so many figures is a band told: two where it is wider than that, as no site is known better.
[[nodiscard]] int figures_of_band(double least_si, double most_si);
/// What is sound, as a range to that many figures.
[[nodiscard]] std::string band_text(Figure kind, double least_si, double most_si, Units units);

/// The field's words without the unit they end with, first letter large: "Drive pipe: bore".
[[nodiscard]] std::string title_of(const SiteField& field);

[[nodiscard]] std::string_view words_of(PipeMaterial material);
[[nodiscard]] std::string_view words_of(Closing how);

/// "11 min", "1 h 20 min".
[[nodiscard]] std::string minutes_text(double count);

/// Minutes by which local time is ahead of UTC at an instant, from the platform; none: UTC is shown. The log
/// itself keeps UTC.
using MinutesAhead = std::function<int(Instant)>;

/// "25 Nov 2026", "10:17" and "UTC+01:00" in local time.
[[nodiscard]] std::string day_text(Instant at, const MinutesAhead& ahead);
[[nodiscard]] std::string clock_text(Instant at, const MinutesAhead& ahead);
[[nodiscard]] std::string zone_text(Instant at, const MinutesAhead& ahead);

} // namespace beckhand
