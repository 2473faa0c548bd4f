#include "engine/diagnosis/present.h"

#include <algorithm>
#include <iterator>
#include <string>

namespace beckhand {
namespace {

/// Figures of the pump at work: each repair starts them anew. Fall, lift and pipes stay what they are.
bool of_the_running(const std::string& measurement) {
    const char* const running[] = {"Q", "W", "D", "B", "Pr", "Ps"};
    return std::find(std::begin(running), std::end(running), measurement) != std::end(running);
}

/// What this repair can have changed: what its cause shows otherwise than a healthy pump, and how it runs.
bool changed_by(const Cause& cause, const Observation& observation) {
    const bool marked = std::any_of(cause.seen.begin(), cause.seen.end(),
                                    [&](const Seen& seen) { return seen.observation == observation.id; });
    return marked || (observation.bands && std::any_of(observation.bands->needs.begin(),
                                                       observation.bands->needs.end(), of_the_running));
}

bool figure_changed_by(const Pack& pack, const Cause& cause, const std::string& measurement) {
    return of_the_running(measurement) ||
           std::any_of(pack.observations.begin(), pack.observations.end(), [&](const Observation& o) {
               return o.bands && changed_by(cause, o) &&
                      std::find(o.bands->needs.begin(), o.bands->needs.end(), measurement) != o.bands->needs.end();
           });
}

const Cause* made_better(const Pack& pack, const Attempt& attempt) {
    return attempt.verdict == Verdict::better ? find_cause(pack, attempt.cause) : nullptr;
}

/// The last verdict "better" that this observation's answer is older than.
bool outdated(const Pack& pack, const Visit& visit, const Observation& observation) {
    const int number = number_of(visit.answered_at, observation.id);
    return std::any_of(visit.attempts.begin(), visit.attempts.end(), [&](const Attempt& attempt) {
        const Cause* const cause = made_better(pack, attempt);
        return cause != nullptr && number < attempt.judged && changed_by(*cause, observation);
    });
}

bool outdated(const Pack& pack, const Visit& visit, const std::string& measurement) {
    const int number = number_of(visit.measured_at, measurement);
    return std::any_of(visit.attempts.begin(), visit.attempts.end(), [&](const Attempt& attempt) {
        const Cause* const cause = made_better(pack, attempt);
        return cause != nullptr && number < attempt.judged && figure_changed_by(pack, *cause, measurement);
    });
}

void take_proof(Visit& now, const Attempt& attempt) {
    for (const auto& [id, figure] : attempt.proof) {
        if (number_of(now.measured_at, id) < attempt.judged) {
            now.as_found[id] = figure;
            now.measured_at[id] = attempt.judged;
            now.not_measured.erase(id);
        }
    }
}

} // namespace

bool of_the_past(const Observation& observation) {
    return observation.place == Place::anywhere && !observation.bands;
}

Visit present_of(const Pack& pack, const Visit& visit) {
    const bool any = std::any_of(visit.attempts.begin(), visit.attempts.end(),
                                 [](const Attempt& a) { return a.verdict.has_value(); });
    if (!any) return visit;
    Visit now = visit;
    // A proof stands at its verdict's number, so that a later repair outdates it in its turn.
    for (const Attempt& attempt : visit.attempts) {
        if (attempt.verdict == Verdict::better || attempt.verdict == Verdict::not_it) take_proof(now, attempt);
    }
    for (auto figure = now.as_found.begin(); figure != now.as_found.end();) {
        figure = outdated(pack, now, figure->first) ? now.as_found.erase(figure) : std::next(figure);
    }
    for (auto answer = now.answers.begin(); answer != now.answers.end();) {
        const Observation* const observation = find_observation(pack, answer->observation);
        if (observation == nullptr || !outdated(pack, visit, *observation)) {
            ++answer;
            continue;
        }
        const auto cannot = std::find_if(observation->answers.begin(), observation->answers.end(),
                                         [](const Answer& a) { return a.cannot; });
        std::erase_if(now.told, [&](const Answered& told) { return told.observation == observation->id; });
        if (of_the_past(*observation) && cannot != observation->answers.end()) {
            answer->answer = cannot->id;
            ++answer;
        } else {
            answer = now.answers.erase(answer);
        }
    }
    return now;
}

const Answered* before_repair(const Pack& pack, const Visit& visit, const Observation& observation) {
    const Answered* const given = visit.answer_to(observation.id);
    return given != nullptr && outdated(pack, visit, observation) ? given : nullptr;
}

std::vector<int> events_before_repair(const Pack& pack, const Visit& visit) {
    std::vector<int> numbers;
    for (const Answered& given : visit.answers) {
        const Observation* const observation = find_observation(pack, given.observation);
        if (observation != nullptr && outdated(pack, visit, *observation)) {
            numbers.push_back(number_of(visit.answered_at, given.observation));
        }
    }
    for (const auto& [id, number] : visit.measured_at) {
        if (outdated(pack, visit, id)) numbers.push_back(number);
    }
    std::sort(numbers.begin(), numbers.end());
    return numbers;
}

} // namespace beckhand
