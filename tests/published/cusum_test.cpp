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

TEST_CASE("the CUSUM runs as long as its published tables say") {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3, table of average run lengths for k = 0.5, one-sided, as
    // in Lucas & Crosier, Technometrics 24 (1982): shift in standard deviations, h = 4, h = 5. From memory.
    struct Row { double shift, four, five; };
    for (const Row& row : {Row{0, 336, 930}, Row{0.25, 74.2, 140}, Row{0.5, 26.6, 38.0}, Row{0.75, 13.3, 17.0},
                           Row{1, 8.38, 10.4}, Row{1.5, 4.75, 5.75}, Row{2, 3.34, 4.01}, Row{3, 2.19, 2.57}}) {
        CAPTURE(row.shift);
        const int runs = row.shift < 0.1 ? 20'000 : 40'000; // the mean of 20 000 runs is good for 0.7 %
        CHECK(run_length(row.shift, 0.5, 4, runs) == doctest::Approx(row.four).epsilon(0.025));
        CHECK(run_length(row.shift, 0.5, 5, runs) == doctest::Approx(row.five).epsilon(0.025));
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
