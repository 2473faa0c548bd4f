// Scores of what was believed against what was so.
#pragma once

#include <cstddef>
#include <vector>

namespace beckhand {

struct Spread {
    double mean = 0, error = 0, p95 = 0; // error: standard error of the mean
};
[[nodiscard]] Spread spread_of(const std::vector<double>& values);

/// One thing that was believed, and whether it was so.
struct Claim {
    double chance = 0;
    bool so = false;
};

struct CalibrationBin {
    double chance = 0, so = 0; // means of what was believed and of what was so
    std::size_t count = 0;
};

/// Brier 1950: mean squared difference. Log score: mean of -ln of the chance given to what came (Good 1952). ECE: mean
/// over bins of equal mass of the gap between what was believed and what was so, by count (Naeini et al. 2015). All
/// three from memory; 0 is best. `by_chance`: the ECE that an honest belief of these chances would show, for a bin
/// holds few visits.
struct Calibration {
    double brier = 0, log_score = 0, ece = 0, by_chance = 0;
    std::vector<CalibrationBin> bins;
};
inline constexpr std::size_t calibration_bins = 15;
[[nodiscard]] Calibration calibration_of(std::vector<Claim> said, std::size_t bins = calibration_bins);

} // namespace beckhand
