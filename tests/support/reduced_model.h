// Reduced repair problems that can be solved exactly: six causes, four yes/no questions, two measurements in
// three bands, "cannot tell" everywhere, six repairs of one cause and one of two, help. Seeded. The exact
// optimum and the exact cost of a policy share no code with the engine.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <numeric>
#include <random>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand::tests {

struct Reduced {
    static constexpr std::size_t causes = 6, questions = 6, repairs = 7;
    struct Look {
        double minutes = 0;
        std::vector<std::array<double, causes>> chance; // [answer][cause], "cannot tell" last
    };
    std::array<double, causes> prior{};
    std::array<Look, questions> looks{};
    std::array<std::array<double, causes>, repairs> cures{};
    std::array<double, repairs> check{}, fix{};
    double help = 0;
};

/// `find_first`: a short check, and a fix that is paid where the check finds something; else all is paid each
/// time.
inline Reduced reduced_model(std::uint64_t seed, bool find_first) {
    std::mt19937_64 random(seed);
    const auto uniform = [&](double least, double most) {
        return least + (most - least) * (static_cast<double>(random() >> 11) * 0x1p-53);
    };
    const auto normal = [&] { // Box and Muller; the library's own differs between systems
        return std::sqrt(-2 * std::log(uniform(1e-12, 1))) * std::cos(6.283185307179586 * uniform(0, 1));
    };
    const auto gamma = [&](double shape) { // Marsaglia and Tsang, lifted for a shape below one
        const double d = shape + 1 - 1.0 / 3;
        while (true) {
            const double x = normal();
            const double v = std::pow(1 + x / std::sqrt(9 * d), 3);
            if (v > 0 && std::log(uniform(1e-12, 1)) < 0.5 * x * x + d - d * v + d * std::log(v)) {
                return d * v * std::pow(uniform(1e-12, 1), 1 / shape);
            }
        }
    };
    const auto phi = [](double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); };
    Reduced model;
    for (double& p : model.prior)
        p = gamma(0.8) + 1e-3;
    const double sum = std::accumulate(model.prior.begin(), model.prior.end(), 0.0);
    for (double& p : model.prior)
        p /= sum;
    for (std::size_t q = 0; q < Reduced::questions; ++q) {
        Reduced::Look& look = model.looks[q];
        const bool measured = q >= 4;
        look.minutes = (measured ? 8 : 4) * std::exp(0.4 * normal());
        look.chance.resize(measured ? 4 : 3);
        const double cannot = uniform(0.05, 0.25);
        for (std::size_t c = 0; c < Reduced::causes; ++c) {
            if (measured) {
                const double middle = 1.2 * std::floor(uniform(-1, 2));
                const double low = phi((-0.6 - middle) / 0.8);
                const double high = 1 - phi((0.6 - middle) / 0.8);
                look.chance[0][c] = low * (1 - cannot);
                look.chance[1][c] = (1 - low - high) * (1 - cannot);
                look.chance[2][c] = high * (1 - cannot);
            } else {
                const double kind = uniform(0, 1);
                const double yes = kind < 0.30   ? uniform(0.80, 0.97)
                                   : kind < 0.42 ? 0.5
                                                 : uniform(0.03, 0.15);
                look.chance[0][c] = yes * (1 - cannot);
                look.chance[1][c] = (1 - yes) * (1 - cannot);
            }
            look.chance.back()[c] = cannot;
        }
    }
    for (std::size_t r = 0; r < Reduced::repairs; ++r) {
        model.check[r] = (find_first ? 10 : 35) * std::exp(0.5 * normal());
        model.fix[r] = find_first ? 25 * std::exp(0.5 * normal()) : 0;
        if (r < Reduced::causes)
            model.cures[r][r] = uniform(0.85, 0.99);
    }
    const auto one = static_cast<std::size_t>(uniform(0, 6));
    const auto two = (one + 1 + static_cast<std::size_t>(uniform(0, 5))) % Reduced::causes;
    model.cures[6][one] = uniform(0.85, 0.99);
    model.cures[6][two] = uniform(0.85, 0.99);
    model.help = 300 * std::exp(0.1 * normal());
    return model;
}

/// What has happened so far: 0 for an open question, else 1 + its answer; repairs tried, as bits.
struct So_far {
    std::array<std::uint8_t, Reduced::questions> said{};
    unsigned tried = 0;
};

/// Weight of each cause: prior times the chance of all that was seen.
using Weights = std::array<double, Reduced::causes>;

inline double sum_of(const Weights& w) {
    return w[0] + w[1] + w[2] + w[3] + w[4] + w[5];
}

/// Least expected minutes to a cure, by dynamic programming backwards over everything that can have happened.
class Exact {
public:
    explicit Exact(const Reduced& model) {
        std::size_t states = 1;
        for (std::size_t q = 0; q < Reduced::questions; ++q) {
            step_[q] = states;
            states *= model.looks[q].chance.size() + 1;
        }
        value_.resize(states << Reduced::repairs);
        std::vector<Weights> survive(std::size_t{1} << Reduced::repairs);
        for (std::size_t tried = 0; tried < survive.size(); ++tried) {
            for (std::size_t c = 0; c < Reduced::causes; ++c) {
                survive[tried][c] = 1;
                for (std::size_t r = 0; r < Reduced::repairs; ++r) {
                    if ((tried >> r & 1U) != 0)
                        survive[tried][c] *= 1 - model.cures[r][c];
                }
            }
        }
        for (std::size_t state = states; state-- > 0;) {
            Weights seen = model.prior;
            std::array<std::size_t, Reduced::questions> said{};
            for (std::size_t q = 0; q < Reduced::questions; ++q) {
                const std::size_t answers = model.looks[q].chance.size();
                said[q] = state / step_[q] % (answers + 1);
                if (said[q] == 0)
                    continue;
                for (std::size_t c = 0; c < Reduced::causes; ++c)
                    seen[c] *= model.looks[q].chance[said[q] - 1][c];
            }
            for (std::size_t tried = survive.size(); tried-- > 0;) {
                Weights w{};
                for (std::size_t c = 0; c < Reduced::causes; ++c)
                    w[c] = seen[c] * survive[tried][c];
                const double whole = sum_of(w);
                double best = whole * model.help;
                for (std::size_t r = 0; r < Reduced::repairs; ++r) {
                    if ((tried >> r & 1U) != 0)
                        continue;
                    double found = 0;
                    for (std::size_t c = 0; c < Reduced::causes; ++c)
                        found += w[c] * model.cures[r][c];
                    best = std::min(best, model.check[r] * whole + model.fix[r] * found +
                                              at(state, tried | std::size_t{1} << r));
                }
                for (std::size_t q = 0; q < Reduced::questions; ++q) {
                    if (said[q] != 0)
                        continue;
                    double cost = model.looks[q].minutes * whole;
                    for (std::size_t a = 0; a < model.looks[q].chance.size(); ++a) {
                        cost += at(state + (a + 1) * step_[q], tried);
                    }
                    best = std::min(best, cost);
                }
                at(state, tried) = best;
            }
        }
    }
    [[nodiscard]] double minutes() const { return value_[0]; }

private:
    [[nodiscard]] double& at(std::size_t state, std::size_t tried) {
        return value_[(state << Reduced::repairs) + tried];
    }
    std::array<std::size_t, Reduced::questions> step_{};
    std::vector<double> value_;
};

using Policy = std::function<Choice(const Reduced&, const So_far&, const Weights&)>;

/// Exact expected minutes of a policy, times the weight, followed through every answer and every failure.
inline double cost_of(const Policy& policy, const Reduced& model, const So_far& so_far, const Weights& w,
                      double* questions = nullptr) {
    const double whole = sum_of(w);
    const Choice choice = policy(model, so_far, w);
    if (choice.move == Move::help)
        return whole * model.help;
    if (choice.move == Move::repair) {
        So_far next = so_far;
        next.tried |= 1U << choice.index;
        Weights left{};
        double found = 0;
        for (std::size_t c = 0; c < Reduced::causes; ++c) {
            found += w[c] * model.cures[choice.index][c];
            left[c] = w[c] * (1 - model.cures[choice.index][c]);
        }
        return model.check[choice.index] * whole + model.fix[choice.index] * found +
               cost_of(policy, model, next, left, questions);
    }
    const Reduced::Look& look = model.looks[choice.index];
    if (questions != nullptr)
        *questions += whole;
    double cost = look.minutes * whole;
    for (std::size_t a = 0; a < look.chance.size(); ++a) {
        So_far next = so_far;
        next.said[choice.index] = static_cast<std::uint8_t>(a + 1);
        Weights left{};
        for (std::size_t c = 0; c < Reduced::causes; ++c)
            left[c] = w[c] * look.chance[a][c];
        cost += cost_of(policy, model, next, left, questions);
    }
    return cost;
}

} // namespace beckhand::tests
