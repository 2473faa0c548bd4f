// Drawing the pumps of each cause, and the density of measured figures over them.
#include "engine/diagnosis/pump_evidence.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace beckhand {
namespace {

constexpr double ln2pi = 1.8378770664093453;

/// A figure that the virtual pump gives as a person would take it.
struct Kind {
    std::string_view id;
    double model_error; // one standard deviation of its logarithm
    double (*of)(const PumpDesign&, const PumpRun&);
};

// The model's own error, taken as one standard deviation.
const double log_flow_error = std::log(1 + flow_error), log_beat_error = std::log(1 + beat_error),
             log_pressure_error = std::log(1 + pressure_error);

const std::vector<Kind>& all_kinds() {
    static const std::vector<Kind> kinds{
        {"B", log_beat_error, [](const PumpDesign&, const PumpRun& r) { return r.beat.si(); }},
        {"W", log_flow_error, [](const PumpDesign&, const PumpRun& r) { return r.waste.si(); }},
        // What vessel and pipe give back is no delivery: a person waits until the line is steady.
        {"Q", log_flow_error,
         [](const PumpDesign&, const PumpRun& r) {
             return r.rest == ValveRest::runs ? std::min(r.delivered.si(), r.through_check.si()) : 0.0;
         }},
        {"D", log_flow_error, [](const PumpDesign&, const PumpRun& r) { return r.drive.si(); }},
        {"Pr", log_pressure_error, [](const PumpDesign&, const PumpRun& r) { return r.vessel_mean.si(); }},
        // Read a minute after the stop, the line open: that is how it is asked for.
        {"Ps", log_pressure_error,
         [](const PumpDesign& d, const PumpRun&) { return pressure_after_stop(d, seconds(60), true).si(); }},
    };
    return kinds;
}

const Kind& kind_named(std::string_view id) {
    const auto& kinds = all_kinds();
    return *std::find_if(kinds.begin(), kinds.end(), [&](const Kind& kind) { return kind.id == id; });
}

DrawnPumps drawn_from(const PumpEvidence& evidence, const ManyRuns& done, const std::vector<double>& severities) {
    const std::vector<PumpDesign>& designs = done.designs();
    const std::vector<PumpRun>& runs = done.runs();
    DrawnPumps pumps;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        DrawnPump pump{severities[i], runs[i].rest, figures_of(evidence.kinds, designs[i], runs[i])};
        if (std::all_of(pump.figures.begin(), pump.figures.end(), [](double f) { return std::isfinite(f); })) {
            pumps.push_back(std::move(pump));
        }
    }
    return pumps;
}

double middle_of(const DrawnPumps& pumps, std::size_t kind) {
    std::vector<double> figures;
    for (const DrawnPump& pump : pumps) {
        figures.push_back(pump.figures[kind]);
    }
    if (figures.empty()) {
        return 0;
    }
    const auto middle = figures.begin() + static_cast<std::ptrdiff_t>(figures.size() / 2);
    std::nth_element(figures.begin(), middle, figures.end());
    return *middle;
}

// Figures are compared as log(x + a little), so that "twice as much" counts the same at any size and nothing
// at all is a figure too. The little is the share of the sound pump's figure under which a flow is a drip.
constexpr double nothing_share = 0.02;
// Now and then a figure is plain wrong: another bucket, a slip of the pen. Then it lies anywhere between
// nothing and three times the sound figure. The share is the pack's usual slip.
constexpr double odd_share = 0.05;
constexpr double odd_most = 3;

/// One measured figure, ready to be held against drawn ones.
struct Found {
    std::size_t kind;
    double scale;   // drawn figures are multiplied by this
    double nothing; // the little
    double at;      // log(measured + nothing)
    double sigma;   // of `at`: the person's error and the model's
};

std::vector<Found> usable(const PumpEvidence& evidence, const Readings& measured, const Readings& healthy) {
    const bool both_flows = measured.count("W") > 0 && measured.count("Q") > 0;
    std::vector<Found> figures;
    for (std::size_t k = 0; k < evidence.kinds.size(); ++k) {
        const std::string& id = evidence.kinds[k];
        const auto found = measured.find(id);
        // The drive flow is the sum of the other two: it would say the same again.
        if (found == measured.end() || (id == "D" && both_flows)) {
            continue;
        }
        const auto [value, error] = found->second;
        const double sound = middle_of(evidence.sound, k);
        if (!std::isfinite(value) || value < 0 || !std::isfinite(error) || error < 0 || !(sound > 0)) {
            continue;
        }
        const auto record = healthy.find(id);
        const bool scaled =
            record != healthy.end() && std::isfinite(record->second.value) && record->second.value > 0;
        const double scale = scaled ? record->second.value / sound : 1;
        const double nothing = nothing_share * scale * sound;
        figures.push_back({k, scale, nothing, std::log(value + nothing),
                           std::hypot(kind_named(id).model_error, error / (value + nothing))});
    }
    return figures;
}

double log_sum(const std::vector<double>& logs) {
    const double most = *std::max_element(logs.begin(), logs.end());
    double sum = 0;
    for (const double each : logs) {
        sum += std::exp(each - most);
    }
    return most + std::log(sum);
}

const double anywhere = 1 / std::log((odd_most + nothing_share) / nothing_share);

/// Where a drawn pump's figure lies on the scale of `Found::at`.
double place_of(const Found& seen, const DrawnPump& pump) {
    return std::log(pump.figures[seen.kind] * seen.scale + seen.nothing);
}

double near_density(const Found& seen, double place) {
    const double off = (place - seen.at) / seen.sigma;
    return std::exp(-0.5 * (off * off + ln2pi)) / seen.sigma;
}

double density(const Found& seen, double place) {
    return (1 - odd_share) * near_density(seen, place) + odd_share * anywhere;
}

double log_density(const Found& seen, const DrawnPump& pump) {
    return std::log(density(seen, place_of(seen, pump)));
}

/// Mean over the drawn pumps of the chance of all figures together: what hangs together in a pump (less
/// water, slower beat) is kept together.
std::optional<double> log_likelihood(const std::vector<Found>& seen, const DrawnPumps& pumps) {
    if (pumps.empty()) {
        return std::nullopt;
    }
    std::vector<double> logs;
    for (const DrawnPump& pump : pumps) {
        double log = 0;
        for (const Found& figure : seen) {
            log += log_density(figure, pump);
        }
        logs.push_back(log);
    }
    return log_sum(logs) - std::log(static_cast<double>(logs.size()));
}

} // namespace

std::vector<double> figures_of(const std::vector<std::string>& kinds, const PumpDesign& design, const PumpRun& run) {
    std::vector<double> figures;
    for (const std::string& kind : kinds) figures.push_back(std::max(0.0, kind_named(kind).of(design, run)));
    return figures;
}

RestShares rest_shares(const DrawnPumps& pumps) {
    RestShares shares;
    for (const DrawnPump& pump : pumps) {
        const double one = 1 / static_cast<double>(pumps.size());
        shares.runs += pump.rest == ValveRest::runs ? one : 0;
        shares.open += pump.rest == ValveRest::open ? one : 0;
        shares.shut += pump.rest == ValveRest::shut ? one : 0;
    }
    return shares;
}

EvidenceJob::EvidenceJob(const Pack& pack, const PumpDesign& sound, const EvidenceOptions& wanted)
    : options(wanted) {
    for (const Kind& kind : all_kinds()) {
        if (find_measurement(pack, kind.id) != nullptr) {
            evidence.kinds.emplace_back(kind.id);
        }
    }
    evidence.causes.resize(pack.causes.size());
    Dice dice(options.seed);
    drawn = draw_designs(sound, usual_doubts(), options.members, dice);
    for (std::size_t i = 0; i < options.members;
         ++i) { // one in each slice, so that few members cover the range
        severity_at.push_back((static_cast<double>(i) + dice.even()) / static_cast<double>(options.members));
    }
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        const Cause& cause = pack.causes[c];
        if (cause.in_the_pump.empty()) {
            outside.push_back(c);
        } else {
            tasks.push_back({c, cause.in_the_pump, cause.severity_least, cause.severity_most});
        }
    }
}

namespace {

/// The pumps of this step: sound ones first, then those of one cause after the other.
void begin_step(EvidenceJob& job) {
    std::vector<PumpDesign> designs;
    job.severities.clear();
    if (job.done == 0) {
        designs = job.drawn;
        job.severities.assign(designs.size(), 0.0);
    } else {
        const EvidenceJob::Task& task = job.tasks[job.done - 1];
        for (std::size_t i = 0; i < job.drawn.size(); ++i) {
            PumpDesign design = job.drawn[i];
            const double severity =
                task.severity_least + job.severity_at[i] * (task.severity_most - task.severity_least);
            if (apply_effects(design, task.effects, severity)) { // a pump that cannot be is not drawn
                designs.push_back(design);
                job.severities.push_back(severity);
            }
        }
    }
    RunOptions options{.seconds = job.options.seconds, .warm_up_seconds = std::min(15.0, job.options.seconds / 2)};
    options.reaches = ensemble_reaches;
    job.under_way.emplace(std::move(designs), options);
}

} // namespace

bool part(EvidenceJob& job) {
    if (job.done > job.tasks.size()) {
        return false;
    }
    if (!job.under_way) {
        begin_step(job);
    }
    if (job.under_way->part()) {
        return true;
    }
    DrawnPumps pumps = drawn_from(job.evidence, *job.under_way, job.severities);
    job.under_way.reset();
    if (job.done == 0) {
        job.evidence.sound = std::move(pumps);
        for (const std::size_t cause : job.outside) {
            job.evidence.causes[cause] = job.evidence.sound;
        }
    } else {
        job.evidence.causes[job.tasks[job.done - 1].cause] = std::move(pumps);
    }
    ++job.done;
    return job.done <= job.tasks.size();
}

bool step(EvidenceJob& job) {
    const std::size_t before = job.done;
    while (part(job) && job.done == before) {}
    return job.done <= job.tasks.size();
}

double progress(const EvidenceJob& job) {
    return static_cast<double>(job.done) / static_cast<double>(job.tasks.size() + 1);
}

std::vector<double> log_likelihoods(const PumpEvidence& evidence, const Readings& measured,
                                    const Readings& healthy) {
    std::vector<double> out(evidence.causes.size(), 0.0);
    const std::vector<Found> seen = usable(evidence, measured, healthy);
    if (seen.empty()) {
        return out;
    }
    std::vector<double> known;
    std::vector<std::size_t> unknown;
    for (std::size_t c = 0; c < out.size(); ++c) {
        if (const std::optional<double> log = log_likelihood(seen, evidence.causes[c])) {
            out[c] = *log;
            known.push_back(*log);
        } else {
            unknown.push_back(c);
        }
    }
    // What has not been computed gets the mean of what has: it is neither favoured nor held back.
    for (const std::size_t c : unknown) {
        out[c] = known.empty() ? 0 : log_sum(known) - std::log(static_cast<double>(known.size()));
    }
    return out;
}

std::vector<double> log_likelihoods(const PumpEvidence& evidence, const Readings& measured, const Readings& healthy,
                                    const std::vector<Hypothesis>& hypotheses) {
    const std::vector<double> single = log_likelihoods(evidence, measured, healthy);
    const std::vector<Found> seen = usable(evidence, measured, healthy);
    std::vector<double> out(hypotheses.size(), 0.0);
    if (seen.empty()) {
        return out;
    }
    // Something else may give any figures: as likely as under the average cause.
    const double average = log_sum(single) - std::log(static_cast<double>(single.size()));
    // Places of the drawn figures by cause, and how far each cause moves them from the sound middle.
    std::vector<std::vector<double>> places(single.size());
    std::vector<double> sound(seen.size());
    for (std::size_t k = 0; k < seen.size(); ++k) {
        sound[k] = std::log(middle_of(evidence.sound, seen[k].kind) * seen[k].scale + seen[k].nothing);
    }
    for (std::size_t c = 0; c < single.size(); ++c) {
        for (const DrawnPump& pump : evidence.causes[c]) {
            for (const Found& figure : seen) {
                places[c].push_back(place_of(figure, pump));
            }
        }
    }
    for (std::size_t h = 0; h < hypotheses.size(); ++h) {
        const auto [a, b] = hypotheses[h];
        if (a >= single.size()) {
            out[h] = average;
            continue;
        }
        if (b == no_fault || places[a].empty() || places[b].empty()) {
            out[h] = b == no_fault ? single[a] : (single[a] + single[b]) / 2;
            continue;
        }
        const std::size_t members = std::max(places[a].size(), places[b].size()) / seen.size();
        double sum = 0;
        for (std::size_t i = 0; i < members; ++i) {
            const double* one = &places[a][(i * seen.size()) % places[a].size()];
            const double* other = &places[b][(i * seen.size()) % places[b].size()];
            double chance = 1;
            for (std::size_t k = 0; k < seen.size(); ++k) {
                const double floor = std::log(seen[k].nothing);
                chance *= density(seen[k], std::max(one[k] + other[k] - sound[k], floor));
            }
            sum += chance;
        }
        out[h] = std::log(sum / static_cast<double>(members));
    }
    return out;
}

std::vector<std::string> odd_figures(const PumpEvidence& evidence, const Readings& measured, const Readings& healthy,
                                     const std::vector<double>& belief) {
    std::vector<std::string> odd;
    for (const Found& figure : usable(evidence, measured, healthy)) {
        double near = 0, all = 0;
        for (std::size_t c = 0; c < evidence.causes.size(); ++c) {
            const double share = belief[c] / std::max<double>(1, static_cast<double>(evidence.causes[c].size()));
            for (const DrawnPump& pump : evidence.causes[c]) {
                near += share * (1 - odd_share) * near_density(figure, place_of(figure, pump));
                all += share;
            }
        }
        if (all > 0 && near < all * odd_share * anywhere) odd.push_back(evidence.kinds[figure.kind]);
    }
    return odd;
}

Readings healthy_readings(const Site& site) {
    Readings readings;
    const HealthyRecord& record = site.record;
    if (record.beat) readings["B"] = {record.beat->si(), 0};
    if (record.waste) readings["W"] = {record.waste->si(), 0};
    if (record.delivered) readings["Q"] = {record.delivered->si(), 0};
    if (record.running) readings["Pr"] = {record.running->si(), 0};
    return readings;
}

} // namespace beckhand
