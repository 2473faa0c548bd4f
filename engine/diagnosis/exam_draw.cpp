#include "engine/diagnosis/exam_draw.h"

#include <algorithm>
#include <optional>
#include <set>
#include <string>
#include <utility>

#include "engine/diagnosis/prior.h"

namespace beckhand {
namespace {

/// What chance gives one observation, the same numbers whatever is wrong.
struct Throw {
    double cannot, slips, shown, wrong;
};

std::size_t cannot_of(const Model& model, std::size_t observation) {
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        if (model.is_cannot(observation, a)) return a;
    }
    return model.answers(observation) - 1;
}

std::size_t answer_drawn(const Model& model, std::size_t observation, std::size_t hypothesis, double slip, const Throw& dice) {
    if (dice.cannot < model.cannot_share()) return cannot_of(model, observation);
    std::vector<double> weights;
    const bool wrong = dice.slips < slip;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        const double weight = wrong ? model.background(observation, a) : model.shows(observation, hypothesis, a);
        weights.push_back(model.is_cannot(observation, a) ? 0 : weight);
    }
    return drawn_index(weights, wrong ? dice.wrong : dice.shown);
}

std::size_t index_of(const Model& model, const Hypothesis& truth) {
    const auto& ways = model.hypotheses();
    if (truth.second == no_fault) return truth.first;
    const auto found = std::find_if(ways.begin(), ways.end(), [&](const Hypothesis& way) {
        return way.first == truth.first && way.second == truth.second;
    });
    return static_cast<std::size_t>(found - ways.begin());
}

bool marks(const Pack& pack, std::size_t cause, std::size_t observation) {
    const Cause& it = pack.causes[cause];
    return pack.observations[observation].bands ||
           std::any_of(it.seen.begin(), it.seen.end(), [&](const Seen& seen) {
               return seen.observation == pack.observations[observation].id;
           });
}

} // namespace

std::size_t drawn_index(const std::vector<double>& weights, double even) {
    double left = 0;
    for (const double weight : weights) left += weight;
    left *= even;
    std::size_t last = 0;
    for (std::size_t i = 0; i < weights.size(); ++i) {
        if (weights[i] <= 0) continue;
        last = i;
        left -= weights[i];
        if (left < 0) break;
    }
    return last;
}

std::vector<double> weights_of(const Pack& pack, const Model& model, Truths truths) {
    std::set<std::pair<std::string, std::string>> chains;
    for (const Chain& chain : pack.chains) {
        chains.insert({chain.first, chain.then});
        chains.insert({chain.then, chain.first});
    }
    Visit opening;
    opening.opened_at = exam_day;
    const std::vector<double> prior = model.prior_with(prior_times(pack, opening));
    std::vector<double> weights;
    for (std::size_t h = 0; h < model.hypotheses().size(); ++h) {
        const Hypothesis& way = model.hypotheses()[h];
        const bool one = way.second == no_fault;
        bool counts = false;
        switch (truths) {
        case Truths::one_cause: counts = one; break;
        case Truths::healthy: counts = one && way.first < pack.causes.size() && pack.causes[way.first].healthy; break;
        case Truths::two_causes: counts = !one; break;
        case Truths::two_in_a_chain:
            counts = !one && chains.count({pack.causes[way.first].id, pack.causes[way.second].id}) > 0;
            break;
        }
        weights.push_back(counts ? prior[h] : 0);
    }
    return weights;
}

DrawnVisit draw_visit(const Pack& pack, const Model& model, const Hypothesis& truth, Person person, double slips, Dice& dice) {
    DrawnVisit drawn;
    drawn.truth = truth;
    const bool two = truth.second != no_fault;
    const std::size_t hypothesis = index_of(model, truth);
    std::vector<std::optional<double>> first(model.groups());
    const auto echoed = [&](std::size_t o, Throw dice_now, double echo) {
        std::optional<double>& shown = first[model.group(o)];
        if (shown && echo >= model.group_repeat()) dice_now.shown = *shown;
        if (!shown) shown = dice_now.shown;
        return dice_now;
    };
    std::vector<std::pair<Throw, Throw>> thrown; // by observation: as found, and after one of two faults is mended
    const auto look = [&](std::size_t o, const Throw& now, const Throw& later, std::vector<std::size_t>& shows,
                          std::array<std::vector<std::size_t>, 2>& left) {
        const double slip = std::min(model.slip_of(o, person) * slips, 1.0);
        shows.push_back(answer_drawn(model, o, hypothesis, slip, now));
        for (std::size_t mended = 0; two && mended < 2; ++mended) {
            const std::size_t gone = mended == 0 ? truth.first : truth.second;
            const std::size_t stays = mended == 0 ? truth.second : truth.first;
            left[mended].push_back(marks(pack, gone, o) ? answer_drawn(model, o, stays, slip, later) : shows.back());
        }
    };
    for (std::size_t o = 0; o < model.observations(); ++o) {
        const Throw now = echoed(o, {dice.even(), dice.even(), dice.even(), dice.even()}, dice.even());
        const Throw later{dice.even(), dice.even(), dice.even(), dice.even()};
        thrown.emplace_back(now, later);
        look(o, now, later, drawn.shows, drawn.left);
    }
    for (std::size_t c = 0; c < pack.causes.size(); ++c) drawn.luck.push_back(dice.even());
    for (std::size_t o = 0; o < model.observations(); ++o) {
        for (Throw* const one : {&thrown[o].first, &thrown[o].second}) {
            one->slips = dice.even();
            one->wrong = dice.even();
        }
        look(o, thrown[o].first, thrown[o].second, drawn.shows_again, drawn.left_again);
    }
    for (std::size_t c = 0; c < pack.causes.size(); ++c) drawn.luck_again.push_back(dice.even());
    return drawn;
}

} // namespace beckhand
