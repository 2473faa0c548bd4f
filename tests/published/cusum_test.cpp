// The test behind the trend, against published average run lengths of the one-sided CUSUM.
#include <random>

#include <doctest/doctest.h>

#include "engine/records/trend.h"
#include "tests/published/off.h"

namespace beckhand {
namespace {

/// Mean number of standard normal figures, shifted, until S passes h.
double run_length(double shift, double k, double h, int runs) {
    std::mt19937_64 random(20261125);
    std::normal_distribution<double> figure(shift, 1);
    double figures = 0;
    for (int i = 0; i < runs; ++i) {
        for (double sum = 0; sum <= h; ++figures) sum = cusum_next(sum, figure(random), k);
    }
    return figures / runs;
}

} // namespace

TEST_CASE("the CUSUM runs as long as its published table says") {
    // Lucas & Crosier, Technometrics 24 (1982), and Montgomery, Introduction to Statistical Quality Control, chapter on
    // CUSUM charts: average run lengths of the two-sided chart with k = 0.5 for h = 4 and h = 5, by the shift in standard
    // deviations. From memory. Two one-sided charts make it: 1 / ARL = 1 / ARL+ + 1 / ARL- (Kemp, 1961).
    struct Row { double shift, four, five; };
    for (const Row& row : {Row{0, 168, 465}, Row{0.25, 74.2, 139}, Row{0.5, 26.6, 38.0}, Row{0.75, 13.3, 17.0},
                           Row{1, 8.38, 10.4}, Row{1.5, 4.75, 5.75}, Row{2, 3.34, 4.01}, Row{3, 2.19, 2.57}}) {
        CAPTURE(row.shift);
        for (const double h : {4.0, 5.0}) {
            CAPTURE(h);
            const int runs = row.shift < 0.1 ? 20'000 : 40'000; // the mean of 20 000 runs is good for 0.7 %
            // Beyond half a standard deviation the other side is never heard of.
            const double other = row.shift < 0.5 ? 1 / run_length(-row.shift, 0.5, h, row.shift < 0.1 ? runs : 400) : 0;
            const double two_sided = 1 / (1 / run_length(row.shift, 0.5, h, runs) + other);
            CHECK(two_sided == doctest::Approx(h < 4.5 ? row.four : row.five).epsilon(0.02));
        }
    }
}

TEST_CASE("Siegmund's approximation of the run length") {
    // Montgomery, Introduction to Statistical Quality Control, chapter on CUSUM charts: k = 0.5, h = 5 gives 938.2
    // one-sided without a shift, and about 10.3 for a shift of one standard deviation. From memory.
    CHECK(cusum_run_length(0, 0.5, 5) == doctest::Approx(938.2).epsilon(0.001));
    CHECK(cusum_run_length(1, 0.5, 5) == doctest::Approx(10.34).epsilon(0.005));
    // Where shift and k meet it is b squared, the limit of the formula.
    CHECK(cusum_run_length(0.5, 0.5, 5) == doctest::Approx(6.166 * 6.166));
    CHECK(cusum_run_length(0.501, 0.5, 5) == doctest::Approx(6.166 * 6.166).epsilon(0.01));
}

} // namespace beckhand
