#include "engine/diagnosis/may_ask.h"

#include <algorithm>
#include <iterator>

namespace beckhand {
namespace {

/// What one told sight says of the pump beside its answer.
PumpState told_of_pump(const Pack& pack, const Visit& visit, const Answered& given) {
    for (const Answered& told : visit.told) {
        for (const FirstSight& sight : pack.first_sights) {
            if (given.told && told.observation == given.observation && sight.means.observation == told.observation &&
                sight.means.answer == told.answer && sight.pump != PumpState::either) {
                return sight.pump;
            }
        }
    }
    return PumpState::either;
}

bool needs_gauge(const std::vector<std::string>& tools) {
    return tools.size() == 1 && tools.front() == "pressure gauge"; // with others there is another way
}

} // namespace

PumpState pump_state(const Pack& pack, const Visit& visit) {
    PumpState state = PumpState::either;
    int latest = -1;
    const auto hear = [&](PumpState said, int number) {
        if (said != PumpState::either && number >= latest) {
            state = said;
            latest = number;
        }
    };
    for (const Answered& given : visit.answers) {
        const Observation* observation = find_observation(pack, given.observation);
        const Answer* answer = observation ? find_answer(*observation, given.answer) : nullptr;
        const int number = number_of(visit.answered_at, given.observation);
        hear(told_of_pump(pack, visit, given), number);
        hear(answer != nullptr ? answer->pump : PumpState::either, number);
    }
    const auto hear_figures = [&](const std::map<std::string, Measured>& figures, const auto& number) {
        for (const char* id : {"B", "Q"}) {
            const auto found = figures.find(id);
            if (found == figures.end()) continue;
            const bool runs = found->second.value_si > 0;
            // A pump that delivers nothing may beat all the same.
            if (runs || found->first == "B") hear(runs ? PumpState::running : PumpState::stopped, number(found->first));
        }
    };
    hear_figures(visit.as_found, [&](const std::string& id) { return number_of(visit.measured_at, id); });
    for (const Attempt& attempt : visit.attempts) {
        hear_figures(attempt.proof, [&](const std::string&) { return attempt.proof_at; });
    }
    return state;
}

bool can_be_done(PumpState wanted, PumpState now) {
    // A running pump can be stopped; a stopped one cannot be looked at running.
    return !(wanted == PumpState::running && now == PumpState::stopped);
}

bool any_refused(const Visit& visit, const std::vector<std::string>& needs) {
    return std::any_of(needs.begin(), needs.end(),
                       [&](const std::string& id) { return visit.not_measured.count(id) > 0; });
}

bool without_gauge(const Pack& pack, const Visit& visit) {
    const bool said = std::any_of(visit.answers.begin(), visit.answers.end(),
                                  [](const Answered& given) { return given.answer == "no_gauge"; });
    return said || std::any_of(pack.measurements.begin(), pack.measurements.end(), [&](const Measurement& how) {
               return visit.not_measured.count(how.id) > 0 && needs_gauge(how.tools);
           });
}

bool wants_gauge(const Pack& pack, const Observation& observation) {
    if (find_answer(observation, "no_gauge") != nullptr) return true;
    const std::vector<std::string> none;
    const std::vector<std::string>& needs = observation.bands ? observation.bands->needs : none;
    return std::any_of(needs.begin(), needs.end(), [&](const std::string& id) {
        const Measurement* how = find_measurement(pack, id);
        return how != nullptr && needs_gauge(how->tools);
    });
}

bool kept_from(const Pack& pack, const Visit& visit, const std::string& part, Place place) {
    for (const std::string& id : visit.kept_from) {
        const Caution* const caution = find_caution(pack, id);
        for (const Pointed& on : caution != nullptr ? caution->fires_on : std::vector<Pointed>{}) {
            const Answered* const given = visit.answer_to(on.observation);
            const Observation* const warned = find_observation(pack, on.observation);
            if (given == nullptr || given->answer != on.answer || warned == nullptr) continue;
            if (part == warned->part || (place == warned->place && place != Place::anywhere)) return true;
        }
    }
    return false;
}

bool can_be_looked_at(const Pack& pack, const Visit& visit, const Observation& observation, PumpState now) {
    const bool beyond = observation.skilled && visit.person == Person::newcomer; // it opens or throttles something
    return can_be_done(observation.pump, now) && !kept_from(pack, visit, observation.part, observation.place) && !beyond;
}

bool lacks_record(const Observation& observation, const Visit& visit) {
    return observation.bands && observation.bands->quantity == "beat_ratio" && !visit.site.record.beat;
}

bool told_weak(const Visit& visit) {
    const auto says = [](const Answered& given) {
        return given.observation == "complaint" &&
               (given.answer == "less_at_tank" || given.answer == "runs_out_of_water");
    };
    return std::any_of(visit.told.begin(), visit.told.end(), says);
}

} // namespace beckhand
