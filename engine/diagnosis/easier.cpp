#include "engine/diagnosis/easier.h"

#include "engine/diagnosis/policy_ask.h"

namespace beckhand {
namespace {

constexpr double easy_minutes = 4;
constexpr double worth_looking = 0.1;      // of what the answer that was not found would have told of the causes
constexpr double never = 1e-6;             // hypotheses that hold less are left out

std::vector<std::size_t> telling_answers(const Model& model, std::size_t observation) {
    std::vector<std::size_t> answers;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        if (!model.is_cannot(observation, a)) answers.push_back(a);
    }
    return answers;
}

} // namespace

std::optional<std::size_t> could_not_tell(const Pack& pack, const Visit& visit) {
    if (visit.person == Person::keeper || visit.answers.empty()) return std::nullopt;
    const Answered& last = visit.answers.back();
    const Observation* const observation = find_observation(pack, last.observation);
    const Answer* const answer = observation != nullptr ? find_answer(*observation, last.answer) : nullptr;
    if (answer == nullptr || !answer->cannot || last.told) return std::nullopt;
    const int at = number_of(visit.answered_at, last.observation);
    for (const auto& [id, number] : visit.measured_at) {
        if (number > at) return std::nullopt;
    }
    return index_of(pack.observations, observation);
}

double shared_information(const Model& model, const Belief& belief, std::size_t one, std::size_t other) {
    const std::vector<std::size_t> ones = telling_answers(model, one), others = telling_answers(model, other);
    std::vector<double> both(ones.size() * others.size()), of_one(ones.size()), of_other(others.size());
    double sum = 0;
    for (std::size_t h = 0; h < belief.hypothesis.size(); ++h) {
        if (belief.hypothesis[h] < never) continue;
        for (std::size_t a = 0; a < ones.size(); ++a) {
            const double shows = belief.hypothesis[h] * model.likelihood(one, h, ones[a]);
            for (std::size_t b = 0; b < others.size(); ++b) {
                const double chance = shows * model.likelihood(other, h, others[b]);
                both[a * others.size() + b] += chance;
                of_one[a] += chance;
                of_other[b] += chance;
                sum += chance;
            }
        }
    }
    return (uncertainty(of_one) + uncertainty(of_other) - uncertainty(both)) / sum;
}

double told_of_causes(const Model& model, const Belief& belief, std::size_t observation) {
    const std::vector<std::size_t> answers = telling_answers(model, observation);
    std::vector<double> chance(answers.size()), shows(answers.size());
    double unsure = 0, sum = 0;   // of the answer where the hypothesis is known
    for (std::size_t h = 0; h < belief.hypothesis.size(); ++h) {
        if (belief.hypothesis[h] < never) continue;
        for (std::size_t i = 0; i < answers.size(); ++i) {
            shows[i] = belief.hypothesis[h] * model.likelihood(observation, h, answers[i]);
            chance[i] += shows[i];
            sum += shows[i];
        }
        unsure += uncertainty(shows);
    }
    return (uncertainty(chance) - unsure) / sum;
}

std::optional<std::size_t> easier_look(const Pack& pack, const Model& model, const Belief& belief, Person by,
                                       std::size_t too_hard, const std::vector<std::size_t>& askable) {
    std::optional<std::size_t> best;
    double most = worth_looking * told_of_causes(model, belief, too_hard);
    for (const std::size_t o : askable) {
        const Observation& look = pack.observations[o];
        const bool easy = !look.skilled && !look.bands && look.minutes <= easy_minutes &&
                          model.slip_of(o, by) <= model.slip_of(too_hard, by);
        if (!easy || o == too_hard) continue;
        const double shared = shared_information(model, belief, too_hard, o);
        if (shared > most) {
            most = shared;
            best = o;
        }
    }
    return best;
}

} // namespace beckhand
