// What to do next against the exact optimum of reduced models. The optimum, the cost of a policy and the
// plain policies beside it are computed apart from the engine (tests/support/reduced_model.h). Environment:
// BECKHAND_MODELS, how many models (200; half as many of the second kind).
#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

#include "tests/support/reduced_policies.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

struct Excess {
    double mean = 0, median = 0, most_of = 0, worst = 0, least = 0; // per cent; most_of: 95 of 100 models
};

Excess excess_of(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t n = values.size();
    return {std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(n), values[n / 2],
            values[n * 95 / 100], values.back(), values.front()};
}

std::size_t models() {
    const char* const given = std::getenv("BECKHAND_MODELS");
    return given == nullptr ? 200 : std::max(20UL, std::strtoul(given, nullptr, 10));
}

struct Contender {
    std::string name;
    Policy policy;
    std::vector<double> excess;
    double questions = 0;
};

std::vector<Contender> contend(bool find_first, std::size_t count) {
    std::vector<Contender> all;
    all.push_back({"as shipped", engine_policy({}), {}, 0});
    all.push_back({"without looking ahead", engine_policy({3, true, 0}), {}, 0});
    all.push_back({"step rule alone", engine_policy({0, true, 0}), {}, 0});
    all.push_back({"ask now or never", engine_policy({0, false, 0}), {}, 0});
    all.push_back({"no questions", by_ratio, {}, 0});
    all.push_back({"most information to .80", by_information(.8), {}, 0});
    for (std::size_t seed = 0; seed < count; ++seed) {
        const Reduced model = reduced_model(1000 + seed, find_first);
        const double optimum = Exact(model).minutes();
        for (Contender& one : all) {
            one.excess.push_back(100 *
                                 (cost_of(one.policy, model, {}, model.prior, &one.questions) / optimum - 1));
        }
    }
    for (const Contender& one : all) {
        const Excess e = excess_of(one.excess);
        MESSAGE(one.name, ": ", e.mean, " / ", e.median, " / ", e.most_of, " / ", e.worst,
                " % above the optimum, ", one.questions / static_cast<double>(count), " questions");
        CHECK(e.least >= -1e-9); // nobody beats the optimum, or it is none
    }
    return all;
}

} // namespace

TEST_CASE("the policy is within 0.8 % of the exact optimum in the mean, and plain policies are not") {
    const std::vector<Contender> all = contend(false, models());
    const Excess shipped = excess_of(all[0].excess);
    CHECK(shipped.mean <= 0.8);
    CHECK(shipped.most_of <= 2.2);
    CHECK(shipped.worst <= 5);
    // The rules that serve where too many hypotheses are left to look ahead keep the bound of the mean too.
    CHECK(excess_of(all[1].excess).mean <= 0.8);
    // Controls: the same yardstick tells plain policies apart.
    CHECK(excess_of(all[3].excess).mean >= 0.9);
    CHECK(excess_of(all[4].excess).mean >= 10);
    CHECK(excess_of(all[5].excess).mean >= 5);
}

TEST_CASE("the same where a short check comes before each fix") {
    const std::vector<Contender> all = contend(true, models() / 2);
    const Excess shipped = excess_of(all[0].excess);
    CHECK(shipped.mean <= 0.8);
    CHECK(shipped.most_of <= 2.2);
    CHECK(shipped.worst <= 5);
    CHECK(excess_of(all[1].excess).mean <= 0.8);
    CHECK(excess_of(all[4].excess).mean >= 1.5);
    CHECK(excess_of(all[5].excess).mean >= 5);
}

TEST_CASE("what a step is said to cost is never less than the optimum, nor more than repairing at once") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const Reduced model = reduced_model(5000 + seed, seed % 2 == 0);
        const double optimum = Exact(model).minutes();
        for (const int steps : {0, 1, 3}) {
            const Choice choice = engine_policy({0, true, steps})(model, {}, model.prior);
            CHECK(choice.minutes >= optimum - 1e-9);
            const Choice blind = engine_policy({0, true, 0})(model, {}, model.prior);
            CHECK(choice.minutes <= blind.minutes + blind.saves + 1e-9);
            CHECK(choice.saves >= 0);
        }
    }
}
