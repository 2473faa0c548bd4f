// What is due next at a site and what to carry: the pack's routine service by months and seasons, and what
// the site's own history says comes back. Pure; the caller gives the time.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

enum class DueBy { months, season, history };

struct Due {
    std::string id;                  // of the service, or of the cause that comes back
    DueBy by = DueBy::months;
    std::string name, say;
    Instant at{};                    // due on this day
    std::optional<Instant> last{};   // when it was last done; absent: counted from the first visit
    std::vector<Instant> times{};    // history: when the cause was repaired, oldest first
    double months = 0;               // the interval: the pack's, or the mean of the times
    std::string before{};            // season: its words
    std::vector<std::string> carry{};      // tools, then parts
    std::vector<std::string> cautions{};
};

/// Sorted by date, the earliest first; of one date in the pack's order. `visits` of one site, in any order. Nothing
/// for a site that was never visited: there is no day to count from. Seasons are the northern ones, or half a year
/// later with `southern`.
[[nodiscard]] std::vector<Due> due_at(const Pack&, std::span<const Visit> visits, Instant now, bool southern = false);

/// A part that was used up here at several visits lately: the next visit may need it again.
struct PartUsedOften {
    std::string part;
    int count = 0;                         // in all
    std::vector<Instant> times{};          // of the visits, oldest first
};

/// Parts used up at `comes_back_times` visits and more within `comes_back_months`; the most often used first.
[[nodiscard]] std::vector<PartUsedOften> parts_used_often(std::span<const Visit> visits, Instant now);

/// What to carry for all that is due by `until`: each thing once, in the order of the list.
[[nodiscard]] std::vector<std::string> to_carry(std::span<const Due> due, Instant until);

/// A cause repaired, or a part used up, at so many visits within so many months comes back.
inline constexpr int comes_back_times = 2;
inline constexpr double comes_back_months = 24;

/// Mean Gregorian month, in milliseconds.
inline constexpr double month_ms = 30.436875 * 86'400'000;

} // namespace beckhand
