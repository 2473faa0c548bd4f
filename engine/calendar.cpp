#include "engine/calendar.h"

#include <algorithm>

namespace beckhand {
namespace {

constexpr double year_ms = 365.2425 * 86'400'000.0;

std::int64_t within_reach(std::int64_t ms) {
    return std::clamp(ms, first_of_month(1, 1), first_of_month(9999, 12));
}

} // namespace

std::int64_t first_of_month(int year, int month) {
    const int y = month <= 2 ? year - 1 : year;
    const int era = (y >= 0 ? y : y - 399) / 400;
    const int of_era = y - era * 400;
    const int of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5;
    const int day = of_era * 365 + of_era / 4 - of_era / 100 + of_year;
    return (std::int64_t{era} * 146'097 + day - 719'468) * day_ms;
}

int year_of(std::int64_t ms) {
    const std::int64_t at = within_reach(ms);
    int year = 1970 + static_cast<int>(static_cast<double>(at) / year_ms);
    while (first_of_month(year, 1) > at) --year;
    while (first_of_month(year + 1, 1) <= at) ++year;
    return year;
}

int month_of(std::int64_t ms) {
    const std::int64_t at = within_reach(ms);
    const int year = year_of(at);
    int month = 12;
    while (month > 1 && first_of_month(year, month) > at) --month;
    return month;
}

} // namespace beckhand
