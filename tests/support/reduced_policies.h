// Policies for reduced models: the engine's, and the plain ones it is held against.
#pragma once

#include "tests/support/reduced_model.h"

namespace beckhand::tests {

/// The engine asked about what is still open.
inline Policy engine_policy(const PolicyRules& rules) {
    return [rules](const Reduced& model, const So_far& so_far, const Weights& w) {
        std::array<std::vector<double>, Reduced::questions> tables;
        Situation problem;
        problem.faults = Reduced::causes;
        problem.help_minutes = model.help;
        std::vector<double> belief;
        for (std::size_t c = 0; c < Reduced::causes; ++c) {
            problem.hypotheses.push_back({c, no_fault});
            belief.push_back(w[c] / sum_of(w));
        }
        std::vector<std::size_t> open;
        std::vector<std::size_t> untried;
        for (std::size_t q = 0; q < Reduced::questions; ++q) {
            if (so_far.said[q] != 0)
                continue;
            open.push_back(q);
            for (const auto& row : model.looks[q].chance)
                tables[q].insert(tables[q].end(), row.begin(), row.end());
            problem.questions.push_back(
                {model.looks[q].minutes, model.looks[q].chance.size(), tables[q].data(), 1});
        }
        for (std::size_t r = 0; r < Reduced::repairs; ++r) {
            if ((so_far.tried >> r & 1U) != 0)
                continue;
            untried.push_back(r);
            problem.repairs.push_back(
                {model.check[r], model.fix[r], {model.cures[r].begin(), model.cures[r].end()}});
        }
        Choice choice = best_step(problem, belief, rules);
        if (choice.move == Move::ask)
            choice.index = open[choice.index];
        if (choice.move == Move::repair)
            choice.index = untried[choice.index];
        return choice;
    };
}

/// Repairs by belief over cost, brought up to date after each, until calling for help looks better; no
/// questions.
inline Choice by_ratio(const Reduced& model, const So_far& so_far, const Weights& w) {
    Choice choice;
    double top = sum_of(w) / model.help;
    for (std::size_t r = 0; r < Reduced::repairs; ++r) {
        if ((so_far.tried >> r & 1U) != 0)
            continue;
        double solved = 0;
        for (std::size_t c = 0; c < Reduced::causes; ++c)
            solved += w[c] * model.cures[r][c];
        const double ratio = solved / (model.check[r] + model.fix[r] * solved / sum_of(w));
        if (ratio > top) {
            top = ratio;
            choice.move = Move::repair;
            choice.index = r;
        }
    }
    return choice;
}

/// Asks what tells most about the cause for its minutes until one cause holds `sure`, then repairs by ratio.
inline Policy by_information(double sure) {
    return [sure](const Reduced& model, const So_far& so_far, const Weights& w) {
        const auto entropy = [](const Weights& of) {
            double sum = 0;
            for (const double p : of)
                sum -= p > 0 ? p * std::log(p / sum_of(of)) : 0;
            return sum;
        };
        double top = 0;
        Choice choice;
        for (std::size_t q = 0; q < Reduced::questions; ++q) {
            if (so_far.said[q] != 0)
                continue;
            double left = 0;
            for (const auto& row : model.looks[q].chance) {
                Weights after{};
                for (std::size_t c = 0; c < Reduced::causes; ++c)
                    after[c] = w[c] * row[c];
                left += entropy(after);
            }
            if ((entropy(w) - left) / model.looks[q].minutes > top) {
                top = (entropy(w) - left) / model.looks[q].minutes;
                choice = {Move::ask, q, 0, 0};
            }
        }
        const bool certain = *std::max_element(w.begin(), w.end()) >= sure * sum_of(w);
        return so_far.tried != 0 || certain || choice.move != Move::ask ? by_ratio(model, so_far, w) : choice;
    };
}

} // namespace beckhand::tests
