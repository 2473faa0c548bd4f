#include "engine/diagnosis/second_look.h"

#include <algorithm>

#include "engine/diagnosis/may_ask.h"
#include "engine/diagnosis/present.h"

namespace beckhand {
namespace {

// The exam sets these (METHOD.md). Twice as likely wrong as answers are at large:
constexpr double likely_wrong = 0.1;
// Of the minutes that help costs, so much is taken to be saved where an answer turns out wrong: the rest of the way stays.
constexpr double saved_of_help = 0.5;
constexpr double still_likely = 0.1;

/// Made twice, or repaired: that is settled. Where it was not found once, it may have been missed.
bool missed_once(const Visit& visit, const std::string& cause) {
    int not_found = 0;
    for (const Attempt& attempt : visit.attempts) {
        if (attempt.cause != cause) continue;
        if (attempt.check != CheckResult::no) return false;
        ++not_found;
    }
    return not_found == 1;
}

std::optional<Offer> look_again(const Pack& pack, const Model& model, const Visit& visit, const Grounds& grounds,
                                const Belief& belief, double help_minutes) {
    if (visit.looked_again.size() >= most_second_looks) return std::nullopt;
    const PumpState pump = pump_state(pack, visit);
    const Place here = place_now(pack, visit);
    int latest = 0; // what was said a moment ago was meant
    for (const auto& [id, number] : visit.answered_at) latest = std::max(latest, number);
    std::optional<Offer> best;
    double most = 0;
    for (const Fact& fact : grounds.facts) {
        const Observation& observation = pack.observations[fact.observation];
        const Answered* const given = visit.answer_to(observation.id);
        if (given == nullptr || given->told || visit.looked_again.count(observation.id) > 0 || of_the_past(observation) ||
            number_of(visit.answered_at, observation.id) == latest || !can_be_looked_at(pack, visit, observation, pump)) {
            continue;
        }
        const double chance = slip_chance(model, belief, fact);
        const double minutes = observation.minutes + overhead_minutes(observation.place, here);
        const double saves = chance * saved_of_help * help_minutes - minutes;
        if (chance < likely_wrong || saves <= most) continue;
        most = saves;
        best.emplace();
        best->step = Ask{fact.observation};
        best->minutes = minutes;
    }
    return best;
}

std::optional<Offer> check_again(const Pack& pack, const Visit& whole, const Belief& belief) {
    for (const std::size_t c : belief.ranked) {
        if (belief.of(c) < still_likely) break;
        if (c >= pack.causes.size()) continue;
        const Cause& cause = pack.causes[c];
        if (!missed_once(whole, cause.id) || put_aside(whole, cause.id) || kept_from(pack, whole, cause.part, cause.check.place)) {
            continue;
        }
        Offer offer;
        offer.step = TryFix{c};
        offer.minutes = cause.check.minutes + cause.fix.minutes;
        offer.separates = {c};
        offer.held = mass_of_fix(pack, belief, c);
        return offer;
    }
    return std::nullopt;
}

} // namespace

double slip_chance(const Model& model, const Belief& belief, const Fact& fact) {
    const auto given = std::find(fact.answer.begin(), fact.answer.end(), 1.0);
    if (given == fact.answer.end() || fact.from_figures) return 0;
    const auto answer = static_cast<std::size_t>(given - fact.answer.begin());
    const double slip = model.slip_of(fact.observation, fact.by);
    const double wrong = slip * model.background(fact.observation, answer);
    double chance = 0;
    for (std::size_t h = 0; h < belief.hypothesis.size(); ++h) {
        const double right = (1 - slip) * model.shows(fact.observation, h, answer);
        if (wrong + right > 0) chance += belief.hypothesis[h] * wrong / (wrong + right);
    }
    return chance;
}

std::optional<Offer> second_look(const Pack& pack, const Model& model, const Visit& whole, const Grounds& grounds,
                                 const Belief& belief, double help_minutes) {
    auto again = look_again(pack, model, present_of(pack, whole), grounds, belief, help_minutes);
    if (!again) again = check_again(pack, whole, belief);
    if (again) again->again = true;
    return again;
}

} // namespace beckhand
