// The trend of a site and what is due there, for a terminal: a table, the finding, the list; or JSON in SI.
#pragma once

#include <string>

#include "app/site/trend_words.h"

namespace beckhand {

[[nodiscard]] std::string trend_text(const Pack&, const Site&, const SiteTrend&, Instant now, Units, const MinutesAhead&);
[[nodiscard]] std::string trend_json(const Pack&, const Site&, const SiteTrend&, Instant now);

} // namespace beckhand
