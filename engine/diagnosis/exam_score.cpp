#include "engine/diagnosis/exam_score.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace beckhand {

Spread spread_of(const std::vector<double>& values) {
    Spread spread;
    if (values.empty()) return spread;
    const double n = static_cast<double>(values.size());
    spread.mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
    double squares = 0;
    for (const double value : values) squares += (value - spread.mean) * (value - spread.mean);
    spread.error = values.size() > 1 ? std::sqrt(squares / (n - 1) / n) : 0;
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    spread.p95 = sorted[std::min(sorted.size() - 1, static_cast<std::size_t>(0.95 * n))];
    return spread;
}

Calibration calibration_of(std::vector<Claim> said, std::size_t bins) {
    Calibration result;
    std::stable_sort(said.begin(), said.end(), [](const Claim& a, const Claim& b) { return a.chance < b.chance; });
    const double n = static_cast<double>(said.size());
    for (const Claim& each : said) {
        const double off = each.chance - (each.so ? 1 : 0);
        result.brier += off * off / n;
        result.log_score -= std::log(std::max(each.so ? each.chance : 1 - each.chance, 1e-12)) / n;
    }
    for (std::size_t b = 0; b < bins; ++b) {
        const std::size_t from = said.size() * b / bins, to = said.size() * (b + 1) / bins;
        if (from == to) continue;
        CalibrationBin bin;
        double noise = 0; // variance of the count of what is so, were the chances honest
        for (std::size_t i = from; i < to; ++i) {
            bin.chance += said[i].chance;
            bin.so += said[i].so ? 1 : 0;
            noise += said[i].chance * (1 - said[i].chance);
        }
        bin.count = to - from;
        const double count = static_cast<double>(bin.count);
        result.ece += std::abs(bin.chance - bin.so) / n;
        result.by_chance += std::sqrt(2 / 3.14159265358979 * noise) / n; // mean size of a normal error
        bin.chance /= count;
        bin.so /= count;
        result.bins.push_back(bin);
    }
    return result;
}

} // namespace beckhand
