// What to do next where two faults may be there at once, against the exact optimum: every row of questions
// and repairs of small models, followed through every outcome. Belief is over sets of faults and shares no
// code with the engine.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <random>

#include "engine/diagnosis/policy.h"

using namespace beckhand;

namespace {

constexpr std::size_t faults = 3, sets = 8, questions = 3, repairs = 4;
using Sets =
    std::array<double, sets>; // weight by set of faults still there, as bits; the empty set is mended

struct PairModel {
    Sets prior{};
    std::array<std::array<Sets, 2>, questions> chance{}; // [question][answer][set]
    std::array<std::array<double, faults>, repairs> cures{};
    std::array<double, questions> minutes{};
    std::array<double, repairs> check{}, fix{};
    double help = 300;
};

PairModel pair_model(std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto uniform = [&](double least, double most) {
        return least + (most - least) * (static_cast<double>(random() >> 11) * 0x1p-53);
    };
    PairModel model;
    double sum = 0;
    for (unsigned s = 1; s + 1 < sets; ++s) {
        const bool pair = (s & (s - 1)) != 0;
        model.prior[s] = uniform(0.02, 1) * (pair ? 0.4 : 1);
        sum += model.prior[s];
    }
    for (double& p : model.prior)
        p /= sum;
    for (std::size_t q = 0; q < questions; ++q) {
        model.minutes[q] = uniform(1, 6);
        std::array<double, faults> yes{};
        for (double& p : yes)
            p = uniform(0, 1) < 0.4 ? uniform(0.7, 0.97) : uniform(0.03, 0.2);
        for (unsigned s = 0; s < sets; ++s) {
            double no = 1;
            for (std::size_t f = 0; f < faults; ++f)
                no *= (s >> f & 1U) != 0 ? 1 - yes[f] : 1;
            model.chance[q][0][s] = 1 - no;
            model.chance[q][1][s] = no;
        }
    }
    for (std::size_t r = 0; r < repairs; ++r) {
        model.check[r] = uniform(5, 40);
        model.fix[r] = uniform(0, 40);
        if (r < faults)
            model.cures[r][r] = uniform(0.8, 0.98);
    }
    model.cures[3][seed % 3] = model.cures[3][(seed + 1) % 3] = 0.9;
    return model;
}

double whole(const Sets& w) {
    double sum = 0;
    for (unsigned s = 1; s < sets; ++s)
        sum += w[s];
    return sum;
}

/// Weights after a repair; what was mended leaves. Adds the minutes it took.
Sets repaired(const PairModel& model, std::size_t r, const Sets& w, double& minutes) {
    Sets left{};
    minutes += model.check[r] * whole(w);
    for (unsigned s = 1; s < sets; ++s) {
        for (unsigned found = 0; found <= s; ++found) {
            if ((found & ~s) != 0)
                continue;
            double chance = w[s];
            for (std::size_t f = 0; f < faults; ++f) {
                if ((s >> f & 1U) != 0)
                    chance *= (found >> f & 1U) != 0 ? model.cures[r][f] : 1 - model.cures[r][f];
            }
            if (found != 0)
                minutes += chance * model.fix[r];
            left[s & ~found] += chance;
        }
    }
    left[0] = 0;
    return left;
}

Sets answered(const PairModel& model, std::size_t q, std::size_t a, const Sets& w) {
    Sets left{};
    for (unsigned s = 1; s < sets; ++s)
        left[s] = w[s] * model.chance[q][a][s];
    return left;
}

double optimum(const PairModel& model, const Sets& w, unsigned asked, unsigned tried) {
    double best = whole(w) * model.help;
    for (std::size_t q = 0; q < questions; ++q) {
        if ((asked >> q & 1U) != 0)
            continue;
        double minutes = model.minutes[q] * whole(w);
        for (std::size_t a = 0; a < 2 && minutes < best; ++a) {
            minutes += optimum(model, answered(model, q, a, w), asked | 1U << q, tried);
        }
        best = std::min(best, minutes);
    }
    for (std::size_t r = 0; r < repairs; ++r) {
        if ((tried >> r & 1U) != 0)
            continue;
        double minutes = 0;
        const Sets left = repaired(model, r, w, minutes);
        if (minutes < best)
            best = std::min(best, minutes + optimum(model, left, asked, tried | 1U << r));
    }
    return best;
}

/// Exact minutes of the engine's choices.
double engine_cost(const PairModel& model, const Sets& w, unsigned asked, unsigned tried,
                   const PolicyRules& rules) {
    Situation situation;
    situation.faults = faults;
    situation.help_minutes = model.help;
    const std::array<unsigned, 6> order{1, 2, 4, 3, 5, 6};
    situation.hypotheses = {{0, no_fault}, {1, no_fault}, {2, no_fault}, {0, 1}, {0, 2}, {1, 2}};
    std::vector<double> belief;
    for (const unsigned s : order)
        belief.push_back(w[s] / whole(w));
    std::array<std::vector<double>, questions> tables;
    std::vector<std::size_t> open, untried;
    for (std::size_t q = 0; q < questions; ++q) {
        if ((asked >> q & 1U) != 0)
            continue;
        open.push_back(q);
        for (const auto& row : model.chance[q]) {
            for (const unsigned s : order)
                tables[q].push_back(row[s]);
        }
        situation.questions.push_back({model.minutes[q], 2, tables[q].data(), 1});
    }
    for (std::size_t r = 0; r < repairs; ++r) {
        if ((tried >> r & 1U) != 0)
            continue;
        untried.push_back(r);
        situation.repairs.push_back(
            {model.check[r], model.fix[r], {model.cures[r].begin(), model.cures[r].end()}});
    }
    const Choice choice = best_step(situation, belief, rules);
    if (choice.move == Move::help)
        return whole(w) * model.help;
    if (choice.move == Move::repair) {
        const std::size_t r = untried[choice.index];
        double minutes = 0;
        const Sets left = repaired(model, r, w, minutes);
        return minutes + engine_cost(model, left, asked, tried | 1U << r, rules);
    }
    const std::size_t q = open[choice.index];
    double minutes = model.minutes[q] * whole(w);
    for (std::size_t a = 0; a < 2; ++a) {
        minutes += engine_cost(model, answered(model, q, a, w), asked | 1U << q, tried, rules);
    }
    return minutes;
}

struct Excess {
    double mean = 0, worst = 0;
};

Excess excess(const PolicyRules& rules) {
    Excess excess;
    const std::uint64_t models = 100;
    for (std::uint64_t seed = 0; seed < models; ++seed) {
        const PairModel model = pair_model(seed);
        const double share =
            100 * (engine_cost(model, model.prior, 0, 0, rules) / optimum(model, model.prior, 0, 0) - 1);
        CHECK(share >= -1e-9);
        excess.mean += share / static_cast<double>(models);
        excess.worst = std::max(excess.worst, share);
    }
    return excess;
}

} // namespace

TEST_CASE("with two faults at once the policy is near the exact optimum too") {
    const Excess shipped = excess({});
    const Excess rules = excess({3, true, 0});
    const Excess never_later = excess({0, false, 0});
    MESSAGE("as shipped ", shipped.mean, " (", shipped.worst, " at worst), without looking ahead ",
            rules.mean, " (", rules.worst, "), ask now or never ", never_later.mean, " (", never_later.worst,
            ") % above the optimum");
    CHECK(shipped.mean <= 0.8);
    CHECK(shipped.worst <= 5);
    CHECK(rules.mean <= 0.8);
    CHECK(never_later.mean > shipped.mean);
}
