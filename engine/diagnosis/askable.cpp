#include "engine/diagnosis/askable.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/diagnosis/may_ask.h"

namespace beckhand {
namespace {

// From this question on each one is dearer: people tire.
constexpr int tiring_from = 9;
constexpr double tiring_share = 0.1;
// A measured figure has to be sharper than this (relative) to be worth taking for a band.
constexpr double dull_figure = 0.35;

Reading dummy_reading(const Measurement& how, const Site& site, const Expectation& expected) {
    double value = (how.least + how.most) / 2;
    if (const auto wanted = wanted_figure(how.id, expected)) value = wanted->likely;
    if (how.id == "H" && site.fall) value = site.fall->si();
    if (how.id == "Lift" && site.lift) value = site.lift->si();
    return {value, error_of(how, value)};
}

/// The measurement to take next so that this observation answers itself from figures; nothing when it
/// cannot, or when the figure would be too dull to tell its bands apart.
std::optional<std::size_t> measurement_for(const Pack& pack, const Visit& visit, const Observation& observation,
                                           const Readings& readings, const Expectation& expected, PumpState pump,
                                           double& minutes) {
    std::optional<std::size_t> first;
    Readings filled = readings;
    minutes = 0;
    for (const std::string& id : observation.bands->needs) {
        const Measurement* how = find_measurement(pack, id);
        if (how == nullptr || !can_be_done(how->pump, pump)) {
            return std::nullopt;
        }
        if (filled.count(id) > 0) {
            continue;
        }
        filled[id] = dummy_reading(*how, visit.site, expected);
        minutes += how->minutes;
        if (!first) {
            first = index_of(pack.measurements, how);
        }
    }
    const auto figure = derive(observation.bands->quantity, filled, expected);
    if (!first || !figure || figure->sigma > dull_figure * std::abs(figure->value)) {
        return std::nullopt;
    }
    return first;
}

} // namespace

std::vector<Candidate> candidates(const Pack& pack, const Visit& visit, const std::vector<Fact>& facts, int asked) {
    std::set<std::size_t> known;
    for (const Fact& fact : facts) {
        known.insert(fact.observation);
    }
    const PumpState pump = pump_state(pack, visit);
    const Expectation expected = expect(visit.site);
    const Readings readings = readings_of(pack, visit.site, visit.as_found);
    const bool no_gauge = without_gauge(pack, visit);
    const double tired = 1 + tiring_share * std::max(0, asked - tiring_from);
    const Place here = place_now(pack, visit);
    std::vector<Candidate> list;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const Observation& observation = pack.observations[o];
        if (known.count(o) > 0 || !can_be_looked_at(pack, visit, observation, pump) ||
            (no_gauge && wants_gauge(pack, observation)) || lacks_record(observation, visit)) {
            continue;
        }
        Candidate candidate{Ask{o}, o, observation.minutes * tired + overhead_minutes(observation.place, here)};
        if (observation.bands) {
            // Who could not take the figure may still answer by eye.
            const bool refused = any_refused(visit, observation.bands->needs);
            double takes = 0;
            const auto m = refused ? std::nullopt
                                   : measurement_for(pack, visit, observation, readings, expected, pump, takes);
            if (m && !kept_from(pack, visit, "", pack.measurements[*m].place)) {
                candidate.step = Measure{*m, o};
                candidate.minutes = takes * tired + overhead_minutes(pack.measurements[*m].place, here);
            }
        }
        list.push_back(candidate);
    }
    return list;
}

std::optional<Measure> baseline(const Pack& pack, const Visit& visit, const std::vector<Fact>& facts) {
    if (!told_weak(visit) || !visit.attempts.empty() || pump_state(pack, visit) != PumpState::running) return std::nullopt;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const Observation& observation = pack.observations[o];
        if (!observation.bands || observation.bands->quantity != "yield_to_table") continue;
        const bool known = std::any_of(facts.begin(), facts.end(), [&](const Fact& f) { return f.observation == o; });
        if (known || any_refused(visit, observation.bands->needs)) continue;
        for (const char* id : {"Q", "W"}) {
            const Measurement* const how = find_measurement(pack, id);
            if (how == nullptr || visit.as_found.count(id) > 0 || kept_from(pack, visit, "", how->place)) continue;
            return Measure{index_of(pack.measurements, how), o};
        }
    }
    return std::nullopt;
}

bool takes_no_practice(const Observation& observation) {
    return !observation.bands && !observation.skilled && observation.minutes <= 2 &&
           std::all_of(observation.tools.begin(), observation.tools.end(), [](const std::string& tool) { return tool == "torch"; });
}

} // namespace beckhand
