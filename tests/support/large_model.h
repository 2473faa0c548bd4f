// A repair problem of the size the program meets: sixty faults and their pairs, sixty questions of three to
// eight answers, a repair for each fault and some for two. Seeded.
#pragma once

#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand::tests {

struct Large {
    Situation problem;
    std::vector<std::vector<double>> tables; // what the questions point to
    std::vector<double> prior;
};

struct LargeShape {
    std::size_t faults = 60, questions = 60;
    bool pairs = true;
    double pair_share = 0.10;
    double marked = 0.12; // of the faults, how many show something other than the normal answer
    double fix_minutes = 25;
};

inline Large large_model(std::uint64_t seed, const LargeShape& shape = {}) {
    std::mt19937_64 random(seed);
    const auto uniform = [&](double least, double most) {
        return least + (most - least) * (static_cast<double>(random() >> 11) * 0x1p-53);
    };
    const auto around = [&](double middle, double spread) {
        const double normal =
            std::sqrt(-2 * std::log(uniform(1e-12, 1))) * std::cos(6.283185307179586 * uniform(0, 1));
        return middle * std::exp(spread * normal);
    };
    Large large;
    Situation& problem = large.problem;
    problem.faults = shape.faults;
    for (std::size_t f = 0; f < shape.faults; ++f) {
        problem.hypotheses.push_back({f, no_fault});
        large.prior.push_back(around(1, 1));
    }
    double singles = 0;
    for (const double p : large.prior)
        singles += p;
    for (double& p : large.prior)
        p *= (shape.pairs ? 1 - shape.pair_share : 1) / singles;
    if (shape.pairs) {
        double together = 0;
        for (std::size_t f = 0; f < shape.faults; ++f) {
            for (std::size_t g = f + 1; g < shape.faults; ++g) {
                problem.hypotheses.push_back({f, g});
                large.prior.push_back(large.prior[f] * large.prior[g]);
                together += large.prior.back();
            }
        }
        for (std::size_t h = shape.faults; h < large.prior.size(); ++h)
            large.prior[h] *= shape.pair_share / together;
    }
    const std::size_t all = problem.hypotheses.size();
    for (std::size_t q = 0; q < shape.questions; ++q) {
        const auto answers = 3 + static_cast<std::size_t>(
                                     uniform(0, 6)); // the first is the normal one, the last "cannot tell"
        std::vector<double> single(answers * shape.faults, 0.0);
        for (std::size_t f = 0; f < shape.faults; ++f) {
            double sum = 0;
            const bool marks = uniform(0, 1) < shape.marked;
            const auto shown = 1 + static_cast<std::size_t>(uniform(0, static_cast<double>(answers - 2)));
            for (std::size_t a = 0; a + 1 < answers; ++a) {
                const double weight = (a == 0) != marks ? 8 : (a == shown && marks) ? 8 : 1;
                single[a * shape.faults + f] = marks && a == 0 ? 1 : marks && a != shown ? 1 : weight;
                sum += single[a * shape.faults + f];
            }
            for (std::size_t a = 0; a + 1 < answers; ++a)
                single[a * shape.faults + f] *= 0.9 / sum;
            single[(answers - 1) * shape.faults + f] = 0.1;
        }
        std::vector<double> table(answers * all);
        for (std::size_t h = 0; h < all; ++h) {
            const Hypothesis& it = problem.hypotheses[h];
            double sum = 0;
            for (std::size_t a = 0; a < answers; ++a) {
                const double first = single[a * shape.faults + it.first];
                const double second = it.second == no_fault ? first : single[a * shape.faults + it.second];
                double chance = first;
                if (it.second != no_fault && a + 1 < answers) { // normal only where both leave it normal
                    chance = a == 0 ? first * second : 1 - (1 - first) * (1 - second);
                }
                table[a * all + h] = chance;
                sum += a + 1 < answers ? chance : 0;
            }
            for (std::size_t a = 0; a + 1 < answers; ++a)
                table[a * all + h] *= 0.9 / sum;
        }
        large.tables.push_back(std::move(table));
        problem.questions.push_back({around(4, 0.6), answers, nullptr, 1});
    }
    for (std::size_t q = 0; q < shape.questions; ++q)
        problem.questions[q].chance = large.tables[q].data();
    for (std::size_t f = 0; f < shape.faults; ++f) {
        Repair repair{around(shape.fix_minutes > 0 ? 8 : 35, 0.5), around(shape.fix_minutes, 0.5), {}};
        repair.cures.assign(shape.faults, 0.0);
        repair.cures[f] = 0.92;
        if (f % 6 == 0)
            repair.cures[(f + 1) % shape.faults] = 0.92;
        problem.repairs.push_back(std::move(repair));
    }
    return large;
}

} // namespace beckhand::tests
