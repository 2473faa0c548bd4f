#include "engine/diagnosis/doubts.h"

#include <algorithm>
#include <cmath>

#include "engine/diagnosis/may_ask.h"
#include "engine/diagnosis/present.h"
#include "engine/diagnosis/reasons.h"

namespace beckhand {
namespace {

// A check that does not find a cause held with this much belief is the strongest sign that an answer is wrong.
constexpr double near_sure = 0.8;
// What would change the conclusion is said only where it is not far-fetched.
constexpr double far_fetched = 0.03;

std::string quoted(const Observation& observation, const Answer& answer) {
    return observation.ask + " \"" + answer.say + "\"";
}

std::size_t leader_of(const Model& model, const std::vector<double>& hypothesis) {
    const std::vector<double> cause = by_cause(model, hypothesis);
    return static_cast<std::size_t>(std::max_element(cause.begin(), cause.end()) - cause.begin());
}

/// The unasked answer that is likeliest to bring another cause to the front.
std::string what_would_change(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds,
                              const Belief& belief) {
    const PumpState pump = pump_state(pack, visit);
    double most = far_fetched;
    std::string words;
    std::vector<double> next(belief.hypothesis.size());
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const Observation& observation = pack.observations[o];
        const bool known = std::any_of(grounds.facts.begin(), grounds.facts.end(),
                                       [&](const Fact& fact) { return fact.observation == o; });
        if (known || !can_be_done(observation.pump, pump)) continue;
        for (std::size_t a = 0; a < observation.answers.size(); ++a) {
            if (observation.answers[a].cannot) continue;
            double chance = 0;
            for (std::size_t h = 0; h < next.size(); ++h) {
                next[h] = belief.hypothesis[h] * model.likelihood(o, h, a);
                chance += next[h];
            }
            if (chance <= most) continue;
            const std::size_t leader = leader_of(model, next);
            if (leader == belief.first() || leader >= pack.causes.size()) continue;
            most = chance;
            words = quoted(observation, observation.answers[a]) + " would point to: " + pack.causes[leader].name + ".";
        }
    }
    return words;
}

std::string what_it_rests_on(const Grounds& grounds, const Belief& belief, const std::vector<Belief>& without) {
    std::string words;
    double least = 1;
    for (std::size_t f = 0; f < grounds.facts.size(); ++f) {
        if (grounds.facts[f].answer.empty()) continue;
        if (without[f].first() != belief.first() && without[f].of(belief.first()) < least) {
            least = without[f].of(belief.first());
            words = grounds.facts[f].words;
        }
    }
    return words;
}

/// The answer that is hardest to believe under this cause, to be looked at again.
std::string look_again_at(const Pack& pack, const Model& model, const Grounds& grounds, std::size_t cause) {
    std::string words;
    double worst = 0;
    for (std::size_t f = 0; f < grounds.facts.size(); ++f) {
        const Fact& fact = grounds.facts[f];
        if (fact.answer.empty()) continue;
        double usual = 0;
        for (std::size_t a = 0; a < fact.answer.size(); ++a) usual += fact.answer[a] * model.background(fact.observation, a);
        const double against = grounds.says[f][cause] - std::log(std::max(usual, 1e-12));
        if (against < worst) {
            worst = against;
            words = pack.observations[fact.observation].ask;
        }
    }
    return words;
}

/// The cause whose check came out against a near-sure belief, if that was the last thing tried.
const Cause* failed_near_sure(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds) {
    if (visit.attempts.empty() || visit.attempts.back().check != CheckResult::no) return nullptr;
    const Cause* const cause = find_cause(pack, visit.attempts.back().cause);
    if (cause == nullptr) return nullptr;
    Visit before = visit;
    before.attempts.pop_back();
    Grounds then = grounds_of(pack, model, before);
    then.pump = grounds.pump; // a check alone leaves all facts and figures as they are
    then.by_pump = grounds.by_pump;
    return belief_of(model, then).of(index_of(pack.causes, cause)) >= near_sure ? cause : nullptr;
}

std::string does_not_fit(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds,
                         const Belief& belief) {
    const std::size_t named = belief.first() == model.something_else() && belief.ranked.size() > 1 ? belief.ranked[1]
                                                                                                   : belief.first();
    std::string words;
    if (const Cause* const cause = failed_near_sure(pack, model, visit, grounds)) {
        words = "Something here does not fit: nearly all spoke for \"" + cause->name + "\", and its check did not find it.";
    } else if (!grounds.odd.empty()) {
        const Measurement* const how = find_measurement(pack, grounds.odd.front());
        return "Something here does not fit: no likely cause gives the figure of " +
               (how != nullptr ? "\"" + how->name + "\"" : grounds.odd.front()) + ". Take it again.";
    } else if (belief.of(model.something_else()) >= strange_from) {
        words = "Something here does not fit any cause that the pack knows.";
    } else {
        return {};
    }
    const std::string again = look_again_at(pack, model, grounds, named);
    return words + (again.empty() ? "" : " Look again: " + again);
}

} // namespace

Doubts doubts_about(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds,
                    const Belief& belief, const std::vector<Belief>& without, std::size_t cause) {
    Doubts doubts;
    doubts.does_not_fit = does_not_fit(pack, model, visit, grounds, belief);
    if (cause != belief.first()) return doubts; // what is on the screen does not lead: `second` says what does
    doubts.would_change = what_would_change(pack, model, present_of(pack, visit), grounds, belief);
    doubts.rests_on = what_it_rests_on(grounds, belief, without);
    return doubts;
}

} // namespace beckhand
