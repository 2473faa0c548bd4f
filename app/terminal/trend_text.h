// The trend of a site and what is due there, for a terminal: a table, the finding, the list; or JSON in SI.
#pragma once

#include <string>

#include "app/site/trend_words.h"

namespace beckhand {

/// What is due, what to carry, and of which half of the earth the seasons are.
[[nodiscard]] std::string due_text(const Pack&, const Site&, const SiteTrend&, Instant now, const MinutesAhead&);
[[nodiscard]] std::string trend_text(const Pack&, const Site&, const SiteTrend&, Instant now, Units, const MinutesAhead&);
[[nodiscard]] std::string trend_json(const Pack&, const Site&, const SiteTrend&, Instant now);

} // namespace beckhand
