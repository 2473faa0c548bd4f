// What to do next at full size, where no optimum can be computed: simulated visits to fifty causes with dear
// repairs. The same visits for every policy. Environment: BECKHAND_VISITS, how many (300 or more).
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <numeric>
#include <random>
#include <string>

#include "engine/diagnosis/policy.h"

using namespace beckhand;

namespace {

constexpr std::size_t causes = 50, yes_no = 60, readings = 10, repairs = 58;

struct Numbers {
    explicit Numbers(std::uint64_t seed) : random(seed) {}
    double operator()(double least = 0, double most = 1) {
        return least + (most - least) * (static_cast<double>(random() >> 11) * 0x1p-53);
    }
    double around(double middle, double spread) {
        const double normal =
            std::sqrt(-2 * std::log((*this)(1e-12, 1))) * std::cos(6.283185307179586 * (*this)());
        return middle * std::exp(spread * normal);
    }
    std::size_t below(std::size_t n) { return static_cast<std::size_t>((*this)(0, static_cast<double>(n))); }
    std::mt19937_64 random;
};

struct Model {
    Situation situation;
    std::vector<std::vector<double>> tables;
    std::vector<double> prior;
};

Model model_of(std::uint64_t seed) {
    Numbers number(seed);
    Model model;
    model.situation.faults = causes;
    model.situation.help_minutes = 400;
    for (std::size_t c = 0; c < causes; ++c) {
        model.situation.hypotheses.push_back({c, no_fault});
        model.prior.push_back(number.around(1, 1));
    }
    const double sum = std::accumulate(model.prior.begin(), model.prior.end(), 0.0);
    for (double& p : model.prior)
        p /= sum;
    const auto phi = [](double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); };
    for (std::size_t q = 0; q < yes_no + readings; ++q) {
        const bool reading = q >= yes_no;
        const std::size_t answers = reading ? 6 : 3; // five bands or two, and cannot tell
        std::vector<double> table(answers * causes, 0.1);
        std::vector<double> yes(causes);
        for (double& p : yes)
            p = number(0.03, 0.12);
        for (std::size_t marked = 3 + number.below(7); marked > 0; --marked)
            yes[number.below(causes)] = number(0.5, 0.95);
        for (std::size_t c = 0; c < causes; ++c) {
            const double middle = number() < 0.6 ? 0 : number(-2, 2);
            double under = 0;
            for (std::size_t a = 0; a + 1 < answers; ++a) {
                const double up_to = a + 2 == answers ? 1 : phi(static_cast<double>(a) - 1.5 - middle);
                const double chance = reading ? up_to - under : a == 0 ? yes[c] : 1 - yes[c];
                under = up_to;
                table[a * causes + c] =
                    0.9 * (0.95 * chance + 0.05 / static_cast<double>(answers - 1)); // answers slip
            }
        }
        model.tables.push_back(std::move(table));
        model.situation.questions.push_back({number.around(reading ? 6 : 3, 0.4), answers, nullptr, 1});
    }
    for (std::size_t q = 0; q < model.tables.size(); ++q)
        model.situation.questions[q].chance = model.tables[q].data();
    for (std::size_t r = 0; r < repairs; ++r) {
        Repair repair{number.around(35, 0.5), 0, std::vector<double>(causes, 0.0)};
        repair.cures[r % causes] = number(0.85, 0.99);
        if (r >= causes)
            repair.cures[number.below(causes)] = 0.9;
        model.situation.repairs.push_back(std::move(repair));
    }
    return model;
}

using Policy = std::function<Choice(const Situation&, const std::vector<double>&)>;

/// Asks what tells most about the cause for its minutes until one holds `sure`, then repairs by belief over
/// cost.
Choice by_information(const Situation& situation, const std::vector<double>& belief, double sure) {
    Choice best;
    double top = 0;
    if (*std::max_element(belief.begin(), belief.end()) < sure) {
        for (std::size_t q = 0; q < situation.questions.size(); ++q) {
            const Question& question = situation.questions[q];
            double gain = 0;
            for (std::size_t a = 0; a < question.answers; ++a) {
                double comes = 0;
                for (std::size_t c = 0; c < causes; ++c)
                    comes += belief[c] * question.chance[a * causes + c];
                for (std::size_t c = 0; c < causes; ++c) {
                    const double chance = question.chance[a * causes + c];
                    if (belief[c] > 0)
                        gain += belief[c] * chance * std::log(chance / comes);
                }
            }
            if (gain / question.minutes > top) {
                top = gain / question.minutes;
                best = {Move::ask, q, 0, 0};
            }
        }
        if (top > 0)
            return best;
    }
    top = 1 / situation.help_minutes;
    for (std::size_t r = 0; r < situation.repairs.size(); ++r) {
        double cured = 0;
        for (std::size_t c = 0; c < causes; ++c)
            cured += belief[c] * situation.repairs[r].cures[c];
        if (cured / situation.repairs[r].check_minutes > top) {
            top = cured / situation.repairs[r].check_minutes;
            best = {Move::repair, r, 0, 0};
        }
    }
    return best;
}

/// Minutes of one visit; what each question would be answered and whether each repair works is settled
/// beforehand.
double visit(const Model& model, const Policy& policy, std::uint64_t seed, double* questions) {
    Numbers number(seed);
    std::size_t truth = 0;
    for (double left = number(); truth + 1 < causes && (left -= model.prior[truth]) >= 0;)
        ++truth;
    std::vector<double> answered(model.tables.size()), works(repairs);
    for (double& x : answered)
        x = number();
    for (double& x : works)
        x = number();
    Situation now = model.situation;
    std::vector<std::size_t> open(model.tables.size()), untried(repairs);
    std::iota(open.begin(), open.end(), std::size_t{0});
    std::iota(untried.begin(), untried.end(), std::size_t{0});
    std::vector<double> belief = model.prior;
    double minutes = 0;
    while (true) {
        const Choice choice = policy(now, belief);
        const auto at = static_cast<std::ptrdiff_t>(choice.index);
        if (choice.move == Move::help)
            return minutes + now.help_minutes;
        if (choice.move == Move::ask) {
            const Question& question = now.questions[choice.index];
            *questions += 1;
            minutes += question.minutes;
            double left = answered[open[choice.index]];
            std::size_t a = 0;
            while (a + 1 < question.answers && (left -= question.chance[a * causes + truth]) >= 0)
                ++a;
            belief = after_answer(now, belief, choice.index, a);
            now.questions.erase(now.questions.begin() + at);
            open.erase(open.begin() + at);
        } else {
            minutes += now.repairs[choice.index].check_minutes;
            if (works[untried[choice.index]] < now.repairs[choice.index].cures[truth])
                return minutes;
            belief = after_repair(now, belief, choice.index);
            now.repairs.erase(now.repairs.begin() + at);
            untried.erase(untried.begin() + at);
        }
    }
}

} // namespace

TEST_CASE("at full size with dear repairs the rule for bundles and the step rule beat information and mere "
          "repairing") {
    const char* const given = std::getenv("BECKHAND_VISITS");
    const std::size_t visits =
        std::max<std::size_t>(300, given == nullptr ? 0 : std::strtoul(given, nullptr, 10));
    const auto engine = [](const PolicyRules& rules) -> Policy {
        return [rules](const Situation& s, const std::vector<double>& b) { return best_step(s, b, rules); };
    };
    const auto information = [](double sure) -> Policy {
        return
            [sure](const Situation& s, const std::vector<double>& b) { return by_information(s, b, sure); };
    };
    const std::vector<std::pair<std::string, Policy>> policies{{"as shipped", engine({})},
                                                               {"step rule alone", engine({0, true, 0})},
                                                               {"information to .6", information(.6)},
                                                               {"information to .8", information(.8)},
                                                               {"information to .9", information(.9)},
                                                               {"no questions", information(0)}};
    std::vector<std::vector<double>> minutes(policies.size());
    for (std::size_t p = 0; p < policies.size(); ++p) {
        double questions = 0;
        for (std::size_t v = 0; v < visits; ++v) {
            const Model model = model_of(v / 100);
            minutes[p].push_back(visit(model, policies[p].second, 9000 + v, &questions));
        }
        const double n = static_cast<double>(visits);
        MESSAGE(policies[p].first, ": ", std::accumulate(minutes[p].begin(), minutes[p].end(), 0.0) / n,
                " minutes, ", questions / n, " questions");
    }
    const auto mean = [&](std::size_t p) {
        return std::accumulate(minutes[p].begin(), minutes[p].end(), 0.0) / static_cast<double>(visits);
    };
    CHECK(mean(0) <= 1.01 * mean(1));
    CHECK(mean(0) <= std::min({mean(2), mean(3), mean(4)}));
    CHECK(mean(0) <= 0.6 * mean(5));
}
