#include "engine/diagnosis/belief.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/diagnosis/present.h"
#include "engine/diagnosis/prior.h"

namespace beckhand {
namespace {

// A whole fix that changed nothing speaks against its cause nearly as strongly as a check (common practice).
constexpr double fix_cures = 0.90;
// What a cause keeps whose repair made the pump better: the repair may be half done (common practice).
constexpr double mended = 0.01;
// How often a repair makes the pump better though its cause was not there (common practice).
constexpr double better_by_chance = 0.02;
// How often the repair of one of two causes changes nothing that is seen: the other hides it (common practice).
constexpr double hidden = 0.5;

/// Logarithm of how likely this fact is under each hypothesis.
std::vector<double> logs_of(const Model& model, const Fact& fact) {
    const double slip = model.slip_of(fact.observation, fact.by);
    std::vector<double> chances(model.hypotheses().size(), 0.0);
    for (std::size_t a = 0; a < fact.answer.size(); ++a) {
        if (fact.answer[a] == 0) continue;
        const double shown = fact.answer[a] * (1 - slip);
        const double slipped = fact.answer[a] * slip * model.background(fact.observation, a);
        const auto shows = model.shows_all(fact.observation, a);
        for (std::size_t h = 0; h < chances.size(); ++h) chances[h] += shown * shows[h] + slipped;
    }
    // Pairs of causes that mark nothing here stand side by side and have the same chance.
    double last = 1, log = 0;
    for (double& chance : chances) {
        if (chance != last) {
            last = chance;
            log = std::log(std::max(chance, 1e-12));
        }
        chance = log;
    }
    return chances;
}

/// What was tried, as factors on the prior; where one of two causes was mended its pair becomes the other alone.
class Tried {
public:
    Tried(const Pack& pack, const Model& model, std::vector<double>& weight)
        : pack_(pack), model_(model), weight_(weight) {}

    void take(const Attempt& attempt) {
        const Cause* const cause = find_cause(pack_, attempt.cause);
        if (cause == nullptr) return;
        const std::size_t index = index_of(pack_.causes, cause);
        if (!attempt.again && attempt.verdict != Verdict::better) {
            if (attempt.check == CheckResult::yes) multiply(index, check_finds, check_blames);
            if (attempt.check == CheckResult::no) multiply(index, 1 - check_finds, 1 - check_blames);
        }
        if (attempt.verdict == Verdict::not_it) mend([&](std::size_t c) { return c == index; }, 1 - fix_cures, hidden, 1);
        // The check told of the pump before the repair; now its cause is mended, and so is any with that repair.
        if (attempt.verdict == Verdict::better) {
            mend([&](std::size_t c) { return c < pack_.causes.size() && pack_.causes[c].fix.id == cause->fix.id; }, mended, 1,
                 better_by_chance);
        }
    }

private:
    void multiply(std::size_t cause, double there, double not_there) {
        const auto& ways = model_.hypotheses();
        for (std::size_t h = 0; h < ways.size(); ++h) {
            weight_[h] *= ways[h].first == cause || ways[h].second == cause ? there : not_there;
        }
    }

    template <class Mended>
    void mend(Mended is_mended, double keeps, double passes_on, double without) {
        const auto& ways = model_.hypotheses();
        const auto holds = [&](const Hypothesis& way) {
            return is_mended(way.first) || (way.second != no_fault && is_mended(way.second));
        };
        for (std::size_t h = 0; h < ways.size(); ++h) weight_[h] *= holds(ways[h]) ? 1 : without;
        for (std::size_t h = ways.size(); h-- > 0;) { // pairs first: what they pass on is not passed on twice
            const bool first = is_mended(ways[h].first);
            const bool second = ways[h].second != no_fault && is_mended(ways[h].second);
            if (!first && !second) continue;
            if (ways[h].second != no_fault && first != second) {
                weight_[first ? ways[h].second : ways[h].first] += weight_[h] * passes_on;
            }
            weight_[h] *= keeps;
        }
    }

    const Pack& pack_;
    const Model& model_;
    std::vector<double>& weight_;
};

/// How much each fact counts: 1, or less where several of one group were answered (they say nearly the same thing),
/// 0 where it is not `counted`.
std::vector<double> fact_weights(const Model& model, const std::vector<Fact>& facts, const std::vector<bool>& counted) {
    // A group of n answers weighs as much as 1 + repeat * (n - 1) independent ones, shared alike, so that
    // the order in which they came does not matter.
    std::vector<int> members(model.groups(), 0);
    for (std::size_t f = 0; f < facts.size(); ++f) {
        members[model.group(facts[f].observation)] += counted[f] ? 1 : 0;
    }
    std::vector<double> weights;
    for (std::size_t f = 0; f < facts.size(); ++f) {
        const int n = members[model.group(facts[f].observation)];
        weights.push_back(counted[f] ? (1 + model.group_repeat() * (n - 1)) / n : 0);
    }
    return weights;
}

bool judged_by_pump(const Pack& pack, const Fact& fact, const PumpEvidence& evidence, const Visit& visit) {
    const Observation& observation = pack.observations[fact.observation];
    return fact.measured && observation.bands &&
           std::any_of(observation.bands->needs.begin(), observation.bands->needs.end(), [&](const std::string& id) {
               return visit.as_found.count(id) > 0 &&
                      std::find(evidence.kinds.begin(), evidence.kinds.end(), id) != evidence.kinds.end();
           });
}

} // namespace

Grounds grounds_of(const Model& model, std::vector<Fact> facts) {
    Grounds grounds;
    grounds.facts = std::move(facts);
    for (const Fact& fact : grounds.facts) {
        grounds.says.push_back(fact.answer.empty() ? std::vector<double>{} : logs_of(model, fact));
    }
    for (const double chance : model.prior()) {
        grounds.before.push_back(std::log(std::max(chance, 1e-300)));
    }
    return grounds;
}

Grounds grounds_of(const Pack& pack, const Model& model, const Visit& whole, const PumpEvidence* evidence, Units units) {
    const Visit visit = present_of(pack, whole);
    Grounds grounds = grounds_of(model, facts_of(pack, visit, units));
    grounds.before.clear();
    std::vector<double> weight = model.prior_with(prior_times(pack, whole));
    Tried tried(pack, model, weight);
    for (const Attempt& attempt : whole.attempts) {
        tried.take(attempt);
    }
    for (const double w : weight) {
        grounds.before.push_back(std::log(std::max(w, 1e-300)));
    }
    if (evidence != nullptr) {
        for (std::size_t f = 0; f < grounds.facts.size(); ++f) {
            if (judged_by_pump(pack, grounds.facts[f], *evidence, visit)) grounds.by_pump.push_back(f);
        }
        if (!grounds.by_pump.empty()) {
            const Readings measured = readings_of(pack, visit.site, visit.as_found);
            grounds.pump = log_likelihoods(*evidence, measured, healthy_readings(visit.site), model.hypotheses());
            const Belief belief = belief_of(model, grounds);
            grounds.odd = odd_figures(*evidence, measured, healthy_readings(visit.site), belief.cause);
        }
    }
    return grounds;
}

Belief belief_of(const Model& model, const Grounds& grounds, std::optional<std::size_t> without) {
    std::vector<bool> counted;
    for (const Fact& fact : grounds.facts) {
        counted.push_back(!fact.answer.empty());
    }
    const bool pump_speaks = !grounds.pump.empty() && without != grounds.facts.size();
    if (!grounds.pump.empty()) {
        for (const std::size_t f : grounds.by_pump) {
            counted[f] = false;
        }
    }
    if (without && *without < counted.size()) counted[*without] = false;
    const std::vector<double> weights = fact_weights(model, grounds.facts, counted);
    std::vector<double> logs = grounds.before;
    for (std::size_t f = 0; f < weights.size(); ++f) {
        for (std::size_t h = 0; h < logs.size() && weights[f] > 0; ++h) {
            logs[h] += weights[f] * grounds.says[f][h];
        }
    }
    for (std::size_t h = 0; h < logs.size() && pump_speaks; ++h) {
        logs[h] += grounds.pump[h];
    }
    Belief belief;
    belief.hypothesis = normalised(logs);
    belief.cause = by_cause(model, belief.hypothesis);
    for (std::size_t h = model.causes(); h < belief.hypothesis.size(); ++h) {
        belief.two += belief.hypothesis[h];
    }
    belief.ranked.resize(model.causes());
    std::iota(belief.ranked.begin(), belief.ranked.end(), std::size_t{0});
    std::stable_sort(belief.ranked.begin(), belief.ranked.end(),
                     [&](std::size_t a, std::size_t b) { return belief.cause[a] > belief.cause[b]; });
    return belief;
}

std::vector<Belief> beliefs_without(const Model& model, const Grounds& grounds) {
    std::vector<Belief> beliefs;
    for (std::size_t f = 0; f <= grounds.facts.size(); ++f) {
        const bool speaks = f < grounds.facts.size() ? !grounds.facts[f].answer.empty() : !grounds.pump.empty();
        beliefs.push_back(speaks ? belief_of(model, grounds, f) : Belief{});
    }
    return beliefs;
}

std::vector<double> normalised(const std::vector<double>& log_weights) {
    const double top = *std::max_element(log_weights.begin(), log_weights.end());
    std::vector<double> chances;
    double sum = 0;
    for (const double log_weight : log_weights) {
        chances.push_back(std::exp(log_weight - top));
        sum += chances.back();
    }
    for (double& chance : chances) {
        chance /= sum;
    }
    return chances;
}

Belief belief_after(const Pack& pack, const Model& model, const Visit& visit, const PumpEvidence* evidence) {
    return belief_of(model, grounds_of(pack, model, visit, evidence));
}

} // namespace beckhand
