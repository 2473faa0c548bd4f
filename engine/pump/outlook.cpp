#include "engine/pump/outlook.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "engine/hydraulics/site_check_parts.h"

namespace beckhand {
namespace {

constexpr std::size_t group = 8;       // pumps side by side
constexpr std::size_t drawn_pumps = 16;
constexpr std::array matching_shares{0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.88, 0.95};
/// A record this far past the ends of the matching runs is still taken for the nearest of them.
constexpr double reach_slack = 0.1;

const RunOptions outlook_run{.seconds = 60, .warm_up_seconds = 15, .reaches = ensemble_reaches};

using FigureOf = std::function<double(const PumpRun&)>;

struct Target {
    double wanted;
    FigureOf figure;
};

/// What of the healthy record the closing speed is matched to: the drive flow, else the waste, else the beat.
std::optional<Target> target_of(const HealthyRecord& record) {
    const auto waste = known(record.waste), delivered = known(record.delivered);
    if (waste && delivered)
        return Target{(*waste + *delivered).si(), [](const PumpRun& r) { return r.drive.si(); }};
    if (waste)
        return Target{waste->si(), [](const PumpRun& r) { return r.waste.si(); }};
    if (const auto beat = known(record.beat))
        return Target{beat->si(), [](const PumpRun& r) { return r.beat.si(); }};
    return std::nullopt;
}

/// The closing share that gives the target, on straight lines between the runs; the nearest where it lies
/// outside by a tenth or less.
std::optional<double> share_for(const std::vector<PumpRun>& runs, const Target& target) {
    std::vector<std::pair<double, double>> points; // figure, share
    for (std::size_t i = 0; i < runs.size(); ++i) {
        if (runs[i].rest == ValveRest::runs)
            points.emplace_back(target.figure(runs[i]), matching_shares[i]);
    }
    std::sort(points.begin(), points.end());
    if (points.empty() || target.wanted < points.front().first * (1 - reach_slack) ||
        target.wanted > points.back().first * (1 + reach_slack))
        return std::nullopt;
    if (target.wanted <= points.front().first)
        return points.front().second;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const auto& [low, low_share] = points[i - 1];
        const auto& [high, high_share] = points[i];
        if (target.wanted <= high)
            return low_share + (target.wanted - low) / std::max(high - low, 1e-12) * (high_share - low_share);
    }
    return points.back().second;
}

template <class Q>
Expected<Q> band_of(const std::vector<PumpRun>& runs, const FigureOf& figure, double own_error,
                    const std::string& basis) {
    const std::vector<double> q = quantiles(runs, figure, {0.05, 0.5, 0.95});
    const double own = std::log(1 + own_error), middle = q[1];
    const auto apart = [own](double a, double b) { // two independent doubts, in the logarithm
        return a > 0 && b > 0 ? std::exp(std::hypot(std::log(a / b), own)) : 1;
    };
    return {Q::from_si(middle / apart(middle, q[0])), Q::from_si(middle), Q::from_si(middle * apart(q[2], middle)),
            basis};
}

std::optional<SoundPump> sound_of(const std::vector<PumpRun>& drawn, Match match) {
    std::vector<PumpRun> running;
    for (const PumpRun& run : drawn) {
        if (run.rest == ValveRest::runs)
            running.push_back(run);
    }
    if (running.empty())
        return std::nullopt;
    const std::string whose = match == Match::matched ? "the virtual pump, set to this pump's record"
                                                      : "the virtual pump of this site";
    const std::string basis = whose + ": nine in ten of pumps that differ in friction, setting and air, and "
                                      "the model's own error";
    SoundPump sound{.drawn = drawn.size(), .running = running.size()};
    sound.drive = band_of<FlowRate>(running, [](const PumpRun& r) { return r.drive.si(); }, flow_error, basis);
    sound.waste = band_of<FlowRate>(running, [](const PumpRun& r) { return r.waste.si(); }, flow_error, basis);
    sound.delivered =
        band_of<FlowRate>(running, [](const PumpRun& r) { return r.delivered.si(); }, flow_error, basis);
    sound.beat = band_of<Frequency>(running, [](const PumpRun& r) { return r.beat.si(); }, beat_error, basis);
    sound.pressure =
        band_of<Pressure>(running, [](const PumpRun& r) { return r.vessel_mean.si(); }, pressure_error, basis);
    sound.peak = pascals(quantiles(running, [](const PumpRun& r) { return r.body_peak.si(); }, {0.95})[0]);
    sound.efficiency = quantiles(running, [](const PumpRun& r) { return r.efficiency; }, {0.5})[0];
    return sound;
}

Setting setting_of(const PumpDesign& d, const PumpRun& r) {
    return {.travel = metres(d.waste_valve.travel_m),
            .load = kilograms(d.waste_valve.weight_n / g_si),
            .closing_share = 0,
            .drive = r.drive,
            .delivered = r.delivered,
            .beat = r.beat,
            .efficiency = r.efficiency};
}

} // namespace

OutlookJob::OutlookJob(Site site, Depth depth, std::uint64_t seed)
    : site_(std::move(site)), depth_(depth), seed_(seed),
      result_(Problem{"site", "The virtual pump has not run yet.", "Wait until it has."}) {
    const Result<PumpDesign> design = design_for(site_);
    if (!design) {
        result_ = design.error();
        phase_ = Phase::finished;
        return;
    }
    outlook_.design = *design;
    if (target_of(site_.record)) {
        ++steps_;
    } else {
        phase_ = Phase::run;
    }
    lay_out();
    steps_ += (designs_.size() + group - 1) / group;
}

void OutlookJob::lay_out() {
    const PumpDesign& sound = outlook_.design;
    designs_.assign(1, sound);
    Dice dice(seed_);
    for (const PumpDesign& drawn : draw_designs(sound, usual_doubts(), drawn_pumps, dice))
        designs_.push_back(drawn);
    changes_.clear();
    settings_.clear();
    settings_from_ = designs_.size();
    if (depth_ == Depth::sound_pump)
        return;
    changes_ = limit_changes(site_, sound);
    for (const LimitChange& change : changes_)
        designs_.push_back(change.design);
    settings_from_ = designs_.size();
    if (known(site_.source_flow))
        settings_ = settings_to_try(sound);
    for (const SettingTry& one : settings_)
        designs_.push_back(one.design);
}

bool OutlookJob::match() {
    if (!under_way_) {
        std::vector<PumpDesign> tries;
        for (const double share : matching_shares) {
            tries.push_back(outlook_.design);
            tries.back().header.source_m3s = 0;
            load_valve(tries.back(), share);
        }
        under_way_.emplace(std::move(tries), outlook_run);
    }
    if (under_way_->part())
        return true;
    const auto share = share_for(under_way_->runs(), *target_of(site_.record));
    under_way_.reset();
    outlook_.match = share ? Match::matched : Match::out_of_reach;
    if (share) {
        load_valve(outlook_.design, *share);
        lay_out();
    }
    return false;
}

void OutlookJob::sum_up() {
    const std::vector<PumpRun>& runs = under_way_->runs();
    const auto some = [&runs](std::size_t from, std::size_t count) {
        const auto begin = runs.begin() + static_cast<std::ptrdiff_t>(from);
        return std::vector<PumpRun>(begin, begin + static_cast<std::ptrdiff_t>(count));
    };
    outlook_.sound = sound_of(some(1, drawn_pumps), outlook_.match);
    for (std::size_t i = 0; i < changes_.size(); ++i)
        outlook_.limits.push_back({changes_[i], runs.front(), runs[1 + drawn_pumps + i]});
    if (runs.front().rest == ValveRest::runs)
        outlook_.now = setting_of(outlook_.design, runs.front());
    if (!settings_.empty())
        outlook_.best = best_of(settings_, some(settings_from_, settings_.size()), *site_.source_flow);
    outlook_.doubtful = doubtful_here(outlook_.design);
    result_ = std::move(outlook_);
}

bool OutlookJob::step() {
    const std::size_t before = done_;
    while (part() && done_ == before) {}
    return phase_ != Phase::finished;
}

bool OutlookJob::part() {
    switch (phase_) {
    case Phase::match:
        if (match())
            return true;
        phase_ = Phase::run;
        break;
    case Phase::run: {
        if (!under_way_)
            under_way_.emplace(designs_, outlook_run);
        const std::size_t before = under_way_->runs().size();
        if (!under_way_->part())
            phase_ = Phase::sum;
        else if (under_way_->runs().size() == before)
            return true;
        break;
    }
    case Phase::sum:
        sum_up();
        under_way_.reset();
        phase_ = Phase::finished;
        break;
    case Phase::finished:
        break;
    }
    done_ = std::min(done_ + 1, steps_);
    return phase_ != Phase::finished;
}

Result<Outlook> outlook_for(const Site& site, Depth depth, std::uint64_t seed) {
    OutlookJob job(site, depth, seed);
    while (job.step()) {}
    return job.result();
}

Expectation with_pump(Expectation e, const Site& site, const Outlook& outlook) {
    if (!outlook.sound || !outlook.doubtful.empty())
        return e;
    const SoundPump& sound = *outlook.sound;
    const auto waste = known(site.record.waste), delivered = known(site.record.delivered);
    if (!waste || !delivered)
        e.drive_flow = sound.drive;
    if (!waste)
        e.waste = sound.waste;
    if (!delivered)
        e.delivered = sound.delivered;
    if (!known(site.record.beat))
        e.beat = sound.beat;
    if (!known(site.record.running))
        e.pressure_running = sound.pressure;
    return e;
}

std::vector<std::string> doubtful_here(const PumpDesign& d) {
    std::vector<std::string> reasons;
    const double ratio = d.delivery.lift_m / d.header.level_m;
    if (d.drive.length_m < 60 * d.drive.bore_m)
        reasons.emplace_back("the drive pipe is shorter than 60 times its bore, where the model lifts too much");
    if (ratio > 12)
        reasons.emplace_back("the lift is over 12 times the fall, where the model lifts too much");
    if (ratio < 2)
        reasons.emplace_back("the lift is under twice the fall, where the model was missed by the one measured ram");
    if (wave_speed(d) > 0 && g_si * (d.delivery.lift_m - d.header.level_m) / wave_speed(d) > 0.4 * closing_speed(d))
        reasons.emplace_back("so high a lift rings in this drive pipe undamped in the model");
    return reasons;
}

} // namespace beckhand
