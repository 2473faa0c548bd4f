// A site's figures over its visits, against what a healthy pump gives there: is the delivered flow going
// down before it stops, since when, by how much, and what is likeliest behind it. Pure.
//
// The test is a one-sided CUSUM (Page, Continuous inspection schemes, Biometrika 41, 1954) on the logarithm of
// delivered over expected flow, counted in standard deviations, downwards:
//     S = max(0, S + z - k),  z = (ln expected - ln delivered) / sigma;  called out when S > h.
// sigma joins the error of the bucket (the pack's, by the care taken), the scatter of a healthy pump and what is
// not known of the expectation. A proved repair starts S anew.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "engine/diagnosis/belief.h"
#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"
#include "engine/pump/outlook.h"

namespace beckhand {

/// k and h of the CUSUM. Chosen so that in tests/engine/trend_test.cpp, with a visit every one to two months, a
/// healthy site is called out less than once in 50 years (0.5 to 0.9), and a slow decline within three visits of
/// its reaching 15 % (99 of 100).
inline constexpr double cusum_allowance = 1.2, cusum_limit = 2.5;
/// Relative scatter of a healthy pump's flow from visit to visit: judgement.
inline constexpr double healthy_scatter = 0.04;
/// So many healthy figures sharpen the expectation; after them it stays, so that a slow loss is not learned.
inline constexpr int figures_learned = 6;

/// SI, with one standard deviation.
struct TrendFigure { double value = 0, sigma = 0; };

/// The figures of one visit: as they were found, or as they were left after a repair that was proved.
struct TrendPoint {
    std::string visit_id;
    Instant at{};                       // opening of the visit
    bool as_left = false;
    std::optional<TrendFigure> delivered{}, waste{}, beat{}, fall{}, source{};
    std::optional<TrendFigure> efficiency{};   // d'Aubuisson: delivered x lift / ((delivered + waste) x fall)
};

/// One or two points; none for a visit without figures and without a proved repair.
[[nodiscard]] std::vector<TrendPoint> trend_points(const Pack&, const std::string& visit_id, const Visit& visit);

enum class TrendState { too_few, steady, going_down };
enum class TrendBasis { none, healthy_record, virtual_pump, first_figures };

/// What was expected at one point, and where the test stood after it.
struct TrendMark {
    double expected = 0, least = 0, most = 0;   // m3/s: nine of ten healthy figures lie between
    double conditions = 1;                      // share of the reference that fall and source of that day allow
    double loss = 0;                            // 1 - delivered / expected
    double sum = 0;                             // S
    bool called_out = false;
};

struct TrendReason { std::string cause, sureness; };   // a cause's id, "about 4 times in 10"

struct Trend {
    TrendState state = TrendState::too_few;
    TrendBasis basis = TrendBasis::none;
    std::vector<TrendPoint> points;                 // by time
    std::vector<std::optional<TrendMark>> marks;    // as many; empty where delivered was not measured
    std::optional<TrendFigure> reference;           // delivered at the sheet's fall, sharpened; sigma is SI too
    std::optional<double> reference_fall, reference_draw;   // m; m3/s of drive flow
    int more_needed = 0;                            // too_few: figures of delivered flow that are still missing
    // going_down:
    std::optional<std::size_t> since;               // the first point of the decline
    std::optional<std::size_t> called_at;           // the point at which it was called out
    std::vector<TrendReason> reasons;               // at most three, likeliest first
    // going_down or steady, of the latest figure: how much of what is missing fall and source explain, 0 to 1;
    // absent when less than 10 % is missing against the reference.
    std::optional<double> season_share;
    /// The latest mark, if any.
    [[nodiscard]] const TrendMark* latest() const;
};

/// `points` of one site, in any order. `sound`: what the virtual pump says of the site, where it is known.
/// The expectation is the healthy record; else the virtual pump's, which is good for a fifth and soon
/// outweighed by the first figures; else the first figures alone. It moves with the fall measured that day
/// as (H/H0)^1.5: yield constant, drive flow by the root of the head (q = eta Q H / h, Q ~ sqrt H); and with
/// the source where that gives less than the pump draws.
[[nodiscard]] Trend trend_of(const Pack&, const Model&, const Site&, std::vector<TrendPoint> points,
                             const SoundPump* sound = nullptr);

/// One more figure: S after it.
[[nodiscard]] constexpr double cusum_next(double sum, double z, double k = cusum_allowance) {
    return sum + z - k > 0 ? sum + z - k : 0;
}

/// Average number of figures until a one-sided CUSUM calls out, the mean of z being `shift`: Siegmund's
/// approximation (Sequential Analysis, 1985), (exp(-2 D b) + 2 D b - 1) / (2 D^2), D = shift - k, b = h + 1.166.
[[nodiscard]] double cusum_run_length(double shift, double k = cusum_allowance, double h = cusum_limit);

} // namespace beckhand
