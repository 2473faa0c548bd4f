#include "engine/records/trend.h"

#include <algorithm>
#include <cmath>

#include "engine/diagnosis/reasons.h"
#include "engine/hydraulics/expectation.h"

namespace beckhand {
namespace {

constexpr double within = 1.645;              // standard deviations that hold nine of ten
constexpr double nothing = 0.02;              // of the expected flow: a drip, and what the logarithm is kept above
constexpr double back_again = 0.5;            // standard deviations from the expected that count as back to it
constexpr double worth_a_word = 0.10;         // loss below which no season is spoken of
constexpr double days = 86'400'000;
constexpr std::size_t reasons_named = 3;

double relative(const TrendFigure& figure) { return figure.value > 0 ? figure.sigma / figure.value : 0; }

std::optional<TrendFigure> figure_of(const Pack& pack, const std::map<std::string, Measured>& taken, const char* id) {
    const auto found = taken.find(id);
    const Measurement* const how = find_measurement(pack, id);
    if (found == taken.end() || how == nullptr || !std::isfinite(found->second.value_si) || found->second.value_si < 0)
        return std::nullopt;
    return TrendFigure{found->second.value_si, error_of(*how, found->second)};
}

/// d'Aubuisson's efficiency, where all of it is known; the sheet's fall and lift stand in for measured ones.
std::optional<TrendFigure> efficiency_of(const TrendPoint& point, const Site& site) {
    const double fall = point.fall ? point.fall->value : site.fall ? site.fall->si() : 0;
    const double lift = site.lift ? site.lift->si() : 0;
    if (!point.delivered || !point.waste || fall <= 0 || lift <= 0) return std::nullopt;
    const double delivered = point.delivered->value, drive = delivered + point.waste->value;
    if (drive <= 0) return std::nullopt;
    const double value = delivered * lift / (drive * fall);
    // q / (q + w): the flow that stands above and below the line counts by the share that is wasted.
    const double wasted = point.waste->value / drive;
    const double error = std::hypot(wasted * relative(*point.delivered), wasted * relative(*point.waste),
                                    point.fall ? relative(*point.fall) : 0.0);
    return TrendFigure{value, value * error};
}

TrendPoint point_of(const Pack& pack, const Visit& visit, const std::map<std::string, Measured>& taken) {
    TrendPoint point;
    point.delivered = figure_of(pack, taken, "Q");
    point.waste = figure_of(pack, taken, "W");
    point.beat = figure_of(pack, taken, "B");
    point.fall = figure_of(pack, taken, "H");
    point.source = figure_of(pack, taken, "S");
    point.efficiency = efficiency_of(point, visit.site);
    return point;
}

bool has_figures(const TrendPoint& p) { return p.delivered || p.waste || p.beat || p.fall || p.source; }

/// What is expected, as the logarithm of a flow with its variance, and what it rests on.
struct Level {
    double log = 0, variance = 0;
    int learned = 0;
};

std::optional<Level> first_level(const Site& site, const SoundPump* sound, double careful, TrendBasis& basis) {
    if (site.record.delivered && site.record.delivered->si() > 0) {
        basis = TrendBasis::healthy_record;
        return Level{std::log(site.record.delivered->si()), careful * careful + healthy_scatter * healthy_scatter};
    }
    if (sound != nullptr && sound->delivered.likely.si() > 0 && sound->delivered.least.si() > 0) {
        basis = TrendBasis::virtual_pump;
        const double wide = std::log(sound->delivered.most.si() / sound->delivered.least.si()) / (2 * within);
        return Level{std::log(sound->delivered.likely.si()), wide * wide};
    }
    return std::nullopt;
}

std::optional<double> first_of(const std::vector<TrendPoint>& points, std::optional<TrendFigure> TrendPoint::*which) {
    for (const TrendPoint& point : points) {
        if (point.*which) return (point.*which)->value;
    }
    return std::nullopt;
}

std::optional<double> draw_of(const Site& site, const std::vector<TrendPoint>& points, const SoundPump* sound) {
    if (site.record.waste && site.record.delivered) return (*site.record.waste + *site.record.delivered).si();
    for (const TrendPoint& point : points) {
        if (point.waste && point.delivered) return point.waste->value + point.delivered->value;
    }
    return sound != nullptr ? std::optional(sound->drive.likely.si()) : std::nullopt;
}

/// What fall and source of the day leave of the reference, and the variance they bring.
struct Conditions { double share = 1, variance = 0; };

Conditions conditions_of(const TrendPoint& point, const Trend& trend) {
    Conditions on;
    if (point.fall && trend.reference_fall && *trend.reference_fall > 0 && point.fall->value > 0) {
        on.share *= std::pow(point.fall->value / *trend.reference_fall, 1.5);
        on.variance += std::pow(1.5 * relative(*point.fall), 2);
    }
    if (point.source && trend.reference_draw && *trend.reference_draw > 0 &&
        point.source->value < *trend.reference_draw) {
        on.share *= std::max(point.source->value / *trend.reference_draw, nothing);
        on.variance += std::pow(relative(*point.source), 2);
    }
    return on;
}

const Observation* observation_with(const Pack& pack, const char* observation, const char* answer) {
    const Observation* const found = find_observation(pack, observation);
    return found != nullptr && find_answer(*found, answer) != nullptr ? found : nullptr;
}

/// The three likeliest causes of a loss that came on slowly, the latest figures being as they are.
std::vector<TrendReason> reasons_of(const Pack& pack, const Model& model, const Site& site, const TrendPoint& latest,
                                    double days_long) {
    Visit visit;
    visit.site = site;
    visit.began = true;
    const auto say = [&](const char* observation, const char* answer) {
        if (observation_with(pack, observation, answer) == nullptr) return;
        visit.answers.push_back({observation, answer, true});
        visit.told.push_back({observation, answer, true});
    };
    say("onset", days_long >= 14 ? "weeks_or_months" : "days");
    say("complaint", "less_at_tank");
    if (latest.beat && latest.beat->value > 0) say("beat_now", "steady");
    const auto take = [&](const char* id, const std::optional<TrendFigure>& figure) {
        if (figure) visit.as_found[id] = Measured{id, figure->value, Care::careful};
    };
    take("Q", latest.delivered);
    take("W", latest.waste);
    take("B", latest.beat);
    take("H", latest.fall);
    const Belief belief = belief_after(pack, model, visit);
    std::vector<TrendReason> reasons;
    for (const std::size_t cause : belief.ranked) {
        if (cause < pack.causes.size() && reasons.size() < reasons_named)
            reasons.push_back({pack.causes[cause].id, sureness(belief.of(cause))});
    }
    return reasons;
}

} // namespace

std::vector<TrendPoint> trend_points(const Pack& pack, const std::string& visit_id, const Visit& visit) {
    std::vector<TrendPoint> points;
    const auto keep = [&](TrendPoint point) {
        point.visit_id = visit_id;
        point.at = visit.opened_at;
        points.push_back(std::move(point));
    };
    if (TrendPoint found = point_of(pack, visit, visit.as_found); has_figures(found)) keep(std::move(found));
    std::map<std::string, Measured> left; // later repairs of the same visit have the last word
    bool proved = false;
    for (const Attempt& attempt : visit.attempts) {
        proved = proved || attempt.verdict == Verdict::proved;
        for (const auto& [id, taken] : attempt.proof) left[id] = taken;
    }
    if (proved) {
        TrendPoint after = point_of(pack, visit, left);
        after.as_left = true;
        keep(std::move(after));
    }
    return points;
}

const TrendMark* Trend::latest() const {
    for (auto mark = marks.rbegin(); mark != marks.rend(); ++mark) {
        if (*mark) return &**mark;
    }
    return nullptr;
}

Trend trend_of(const Pack& pack, const Model& model, const Site& site, std::vector<TrendPoint> points,
               const SoundPump* sound) {
    Trend trend;
    std::stable_sort(points.begin(), points.end(), [](const TrendPoint& a, const TrendPoint& b) { return a.at < b.at; });
    trend.points = std::move(points);
    trend.marks.resize(trend.points.size());
    trend.reference_fall = site.fall ? std::optional(site.fall->si()) : first_of(trend.points, &TrendPoint::fall);
    trend.reference_draw = draw_of(site, trend.points, sound);

    const Measurement* const bucket = find_measurement(pack, "Q");
    const double careful = bucket != nullptr ? error_of(*bucket, 1.0) : healthy_scatter;
    std::optional<Level> level = first_level(site, sound, careful, trend.basis);
    double sum = 0;
    bool called_out = false;
    int tested = 0;
    for (std::size_t i = 0; i < trend.points.size(); ++i) {
        const TrendPoint& point = trend.points[i];
        if (point.as_left) { // proved: what went before is mended
            sum = 0;
            called_out = false;
            trend.since.reset();
            trend.called_at.reset();
        }
        if (!point.delivered) continue;
        const Conditions on = conditions_of(point, trend);
        const double scatter = std::pow(point.delivered->value > 0 ? relative(*point.delivered) : careful, 2) +
                               healthy_scatter * healthy_scatter + on.variance;
        if (!level) {
            if (point.delivered->value <= 0) continue;
            trend.basis = TrendBasis::first_figures;
            level = Level{std::log(point.delivered->value / on.share), scatter, 1};
        } else {
            ++tested;
        }
        const double log_expected = level->log + std::log(on.share);
        const double log_found = std::log(std::max(point.delivered->value, nothing * std::exp(log_expected)));
        const double sigma = std::sqrt(scatter + level->variance);
        const double z = tested == 0 ? 0 : (log_expected - log_found) / sigma;
        if (called_out && z < back_again) {
            sum = 0;
            called_out = false;
            trend.called_at.reset();
        } else {
            sum = cusum_next(sum, z);
        }
        if (sum <= 0 && !called_out) trend.since.reset();
        else if (!trend.since) trend.since = i;
        if (!called_out && sum > cusum_limit) {
            called_out = true;
            trend.called_at = i;
        }
        const double expected = std::exp(log_expected), wide = std::exp(within * sigma);
        trend.marks[i] = TrendMark{expected,  expected / wide, expected * wide,
                                   on.share,  1 - point.delivered->value / expected,
                                   sum,       called_out};
        // Learned only while nothing speaks for a loss.
        if (tested > 0 && !called_out && sum < cusum_limit / 2 && level->learned < figures_learned) {
            const double gain = level->variance / (level->variance + scatter);
            level->log += gain * (log_found - log_expected);
            level->variance *= 1 - gain;
            ++level->learned;
        }
    }
    if (level) trend.reference = TrendFigure{std::exp(level->log), std::exp(level->log) * std::sqrt(level->variance)};
    const TrendMark* const latest = trend.latest();
    if (tested == 0 || latest == nullptr) {
        trend.since.reset();
        trend.more_needed = level ? 1 : 2;
        return trend;
    }
    trend.state = called_out ? TrendState::going_down : TrendState::steady;
    if (!called_out) trend.since.reset();
    const double missing = 1 - (1 - latest->loss) * latest->conditions;
    if (missing >= worth_a_word) {
        const double all = std::log(std::max(1 - missing, nothing));
        trend.season_share = std::clamp(std::log(latest->conditions) / all, 0.0, 1.0);
    }
    if (called_out) {
        std::size_t last = trend.points.size() - 1;
        while (!trend.marks[last]) --last;
        const double lasted = static_cast<double>(trend.points[last].at.ms - trend.points[*trend.since].at.ms) / days;
        trend.reasons = reasons_of(pack, model, site, trend.points[last], lasted);
    }
    return trend;
}

double cusum_run_length(double shift, double k, double h) {
    const double drift = shift - k, b = h + 1.166;
    if (std::abs(drift) < 1e-6) return b * b;
    return (std::exp(-2 * drift * b) + 2 * drift * b - 1) / (2 * drift * drift);
}

} // namespace beckhand
