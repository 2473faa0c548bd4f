// Years and months of a time that was given, in the Gregorian calendar, UTC: Howard Hinnant, chrono-compatible
// low-level date algorithms, 2013. The engine has no clock of its own.
#pragma once

#include <cstdint>

namespace beckhand {

inline constexpr std::int64_t day_ms = 86'400'000;

/// Milliseconds since 1970 of the first of a month, 1 to 12.
[[nodiscard]] std::int64_t first_of_month(int year, int month);

/// Of milliseconds since 1970; times beyond the years 1 to 9999 count as those.
[[nodiscard]] int year_of(std::int64_t ms);
[[nodiscard]] int month_of(std::int64_t ms);

} // namespace beckhand
