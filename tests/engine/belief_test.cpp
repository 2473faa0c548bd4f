// Belief against a second way of computing it, and its limits.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <numeric>

#include "engine/diagnosis/belief.h"
#include "engine/diagnosis/next_step.h"
#include "tests/support/random_pack.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

/// The reading rule of METHOD.md written out again, answer by answer, as a table of plain products.
double weight(const Pack& pack, const Observation& observation, const Cause& cause, const Answer& answer) {
    std::optional<Mark> own;
    bool typical = false;
    bool likelier = false;
    for (const Seen& seen : cause.seen) {
        if (seen.observation != observation.id) continue;
        const bool other_is_normal = find_answer(observation, seen.answer)->normal;
        typical = typical || (seen.mark == Mark::typical && !other_is_normal);
        likelier = likelier || (seen.mark == Mark::likelier && !other_is_normal);
        if (seen.answer == answer.id) own = seen.mark;
    }
    const Scale& s = pack.scale;
    if (own == Mark::typical) return answer.normal ? s.normal_typical : s.typical;
    if (own == Mark::likelier) return answer.normal ? s.normal_likelier : s.likelier;
    if (own == Mark::unlikelier) return s.unlikelier;
    if (own == Mark::nearly_excluded) return answer.normal ? s.normal_nearly_excluded : s.nearly_excluded;
    if (!answer.normal) return s.other_base;
    return typical ? s.normal_if_other_typical : likelier ? s.normal_if_other_likelier : s.normal_base;
}

double share(const Pack& pack, const Observation& observation, const Cause& cause, const Answer& answer) {
    double sum = 0;
    for (const Answer& other : observation.answers) {
        sum += other.cannot ? 0 : weight(pack, observation, cause, other);
    }
    return weight(pack, observation, cause, answer) / sum;
}

std::vector<double> by_hand(const Pack& pack, const Visit& visit) {
    const std::size_t n = pack.causes.size();
    double all = 0;
    for (const Cause& cause : pack.causes) {
        all += cause.per_1000;
    }
    std::map<std::string, int> in_group;
    for (const Answered& given : visit.answers) {
        const Observation& observation = *find_observation(pack, given.observation);
        if (!find_answer(observation, given.answer)->cannot && !observation.group.empty()) ++in_group[observation.group];
    }
    std::vector<double> belief(n + 1);
    for (std::size_t c = 0; c <= n; ++c) {
        belief[c] = (c < n ? pack.causes[c].per_1000 : pack.scale.something_else) / (all + pack.scale.something_else);
        for (const Answered& given : visit.answers) {
            const Observation& observation = *find_observation(pack, given.observation);
            const Answer& answer = *find_answer(observation, given.answer);
            if (answer.cannot) continue;
            double background = 0;
            double flat_sum = 0;
            double flat_own = 0;
            for (const Answer& other : observation.answers) {
                if (other.cannot) continue;
                double mean = 0;
                for (const Cause& cause : pack.causes) {
                    mean += cause.per_1000 / all * share(pack, observation, cause, other);
                }
                flat_sum += std::sqrt(mean);
                if (other.id == answer.id) {
                    background = mean;
                    flat_own = std::sqrt(mean);
                }
            }
            const double own = c < n ? share(pack, observation, pack.causes[c], answer) : flat_own / flat_sum;
            const double mixed = (1 - pack.scale.slip) * own + pack.scale.slip * background;
            const int k = observation.group.empty() ? 1 : in_group[observation.group];
            belief[c] *= std::pow(mixed, (1 + pack.scale.group_repeat * (k - 1)) / k);
        }
    }
    const double sum = std::accumulate(belief.begin(), belief.end(), 0.0);
    for (double& b : belief) {
        b /= sum;
    }
    return belief;
}

} // namespace

TEST_CASE("belief agrees with brute force on 500 random small packs") {
    std::mt19937_64 random(20261125);
    double worst = 0;
    for (int i = 0; i < 500; ++i) {
        const Pack pack = random_pack(random, 2 + i % 7, 2 + i % 6);
        const Visit visit = random_visit(pack, random, i % 7);
        const Belief belief = belief_after(pack, Model(pack), facts_of(pack, visit), {});
        const std::vector<double> expected = by_hand(pack, visit);
        for (std::size_t c = 0; c < expected.size(); ++c) {
            worst = std::max(worst, std::abs(belief.of(c) - expected[c]));
        }
    }
    CHECK(worst < 1e-9);
}

TEST_CASE("the order of answers does not matter") {
    std::mt19937_64 random(7);
    for (int i = 0; i < 100; ++i) {
        const Pack pack = random_pack(random, 6, 6);
        Visit visit = random_visit(pack, random, 6);
        const Model model(pack);
        const Belief before = belief_after(pack, model, facts_of(pack, visit), {});
        std::shuffle(visit.answers.begin(), visit.answers.end(), random);
        const Belief after = belief_after(pack, model, facts_of(pack, visit), {});
        for (std::size_t c = 0; c < before.cause.size(); ++c) {
            CHECK(before.of(c) == doctest::Approx(after.of(c)).epsilon(1e-12));
        }
    }
}

TEST_CASE("'cannot tell' carries no weight") {
    std::mt19937_64 random(3);
    const Pack pack = random_pack(random, 5, 4);
    Visit silent;
    for (const Observation& observation : pack.observations) {
        silent.answers.push_back({observation.id, "cannot_tell", false});
    }
    const Belief nothing = belief_after(pack, Model(pack), {}, {});
    const Belief asked = belief_after(pack, Model(pack), facts_of(pack, silent), {});
    CHECK(nothing.cause == asked.cause);
}

TEST_CASE("belief sums to one and stays finite whatever is answered and tried") {
    std::mt19937_64 random(11);
    for (int i = 0; i < 200; ++i) {
        const Pack pack = random_pack(random, 8, 8);
        const Visit visit = random_visit(pack, random, 8);
        std::vector<Attempt> attempts;
        for (const Cause& cause : pack.causes) {
            Attempt attempt;
            attempt.cause = cause.id;
            attempt.check = i % 2 == 0 ? CheckResult::no : CheckResult::yes;
            attempt.verdict = Verdict::not_it;
            attempts.push_back(attempt);
        }
        const Belief belief = belief_after(pack, Model(pack), facts_of(pack, visit), attempts);
        CHECK(std::accumulate(belief.cause.begin(), belief.cause.end(), 0.0) == doctest::Approx(1).epsilon(1e-12));
        for (const double b : belief.cause) {
            CHECK(std::isfinite(b));
        }
    }
}

TEST_CASE("a check that says no takes belief from its cause, a check that says yes gives it") {
    std::mt19937_64 random(5);
    const Pack pack = random_pack(random, 5, 4);
    const Model model(pack);
    const Belief before = belief_after(pack, model, {}, {});
    Attempt attempt;
    attempt.cause = pack.causes[2].id;
    attempt.check = CheckResult::no;
    CHECK(belief_after(pack, model, {}, {attempt}).of(2) < before.of(2));
    attempt.check = CheckResult::yes;
    CHECK(belief_after(pack, model, {}, {attempt}).of(2) > before.of(2));
    attempt.check = CheckResult::could_not;
    CHECK(belief_after(pack, model, {}, {attempt}).of(2) == doctest::Approx(before.of(2)));
}

TEST_CASE("a repair that nothing was measured after takes no belief from its cause, one that did not help does") {
    std::mt19937_64 random(5);
    const Pack pack = random_pack(random, 5, 4);
    const Model model(pack);
    const Belief before = belief_after(pack, model, {}, {});
    Attempt attempt;
    attempt.cause = pack.causes[2].id;
    attempt.finished = true;
    attempt.verdict = Verdict::not_proved;
    CHECK(belief_after(pack, model, {}, {attempt}).of(2) == doctest::Approx(before.of(2)));
    attempt.verdict = Verdict::not_it;
    CHECK(belief_after(pack, model, {}, {attempt}).of(2) < before.of(2));
    Visit visit;
    visit.attempts = {attempt};
    CHECK(tried_in_vain(visit, attempt.cause));
    visit.attempts[0].verdict = Verdict::not_proved;
    CHECK_FALSE(tried_in_vain(visit, attempt.cause));
}

TEST_CASE("a check that said yes no longer counts for a cause whose repair made it better") {
    std::mt19937_64 random(5);
    const Pack pack = random_pack(random, 5, 4);
    const Model model(pack);
    Attempt attempt;
    attempt.cause = pack.causes[2].id;
    attempt.check = CheckResult::yes;
    attempt.verdict = Verdict::better;
    CHECK(belief_after(pack, model, {}, {attempt}).of(2) < belief_after(pack, model, {}, {}).of(2));
}

TEST_CASE("of several sights that may all be true each speaks for its share") {
    const Pack& pack = shipped_pack();
    const Observation& complaint = *find_observation(pack, "complaint");
    REQUIRE(complaint.several);
    Visit visit;
    visit.answers = {{"complaint", "visible_leak", true}};
    visit.told = {{"complaint", "noise_or_shaking", true}, {"complaint", "visible_leak", true}};
    const std::vector<Fact> facts = facts_of(pack, visit);
    REQUIRE(facts.size() == 1);
    double sum = 0;
    for (std::size_t a = 0; a < facts[0].answer.size(); ++a) {
        const std::string& id = complaint.answers[a].id;
        CHECK(facts[0].answer[a] == (id == "visible_leak" || id == "noise_or_shaking" ? 0.5 : 0.0));
        sum += facts[0].answer[a];
    }
    CHECK(sum == doctest::Approx(1));
}

TEST_CASE("something else wins only where nothing named fits") {
    // One cause that never shows what is seen: the answer nobody expects goes to "something else".
    Pack pack;
    Answer seen, unseen, cannot;
    seen.id = "usual";
    seen.normal = true;
    unseen.id = "odd";
    cannot.id = "cannot_tell";
    cannot.cannot = true;
    for (int o = 0; o < 6; ++o) {
        Observation observation;
        observation.id = "o" + std::to_string(o);
        observation.answers = {seen, unseen, cannot};
        pack.observations.push_back(observation);
    }
    for (const char* id : {"a", "b"}) {
        Cause cause;
        cause.id = id;
        cause.per_1000 = 500;
        for (const Observation& observation : pack.observations) {
            cause.seen.push_back({observation.id, "odd", Mark::nearly_excluded});
        }
        pack.causes.push_back(cause);
    }
    Visit usual, odd;
    for (const Observation& observation : pack.observations) {
        usual.answers.push_back({observation.id, "usual", false});
        odd.answers.push_back({observation.id, "odd", false});
    }
    const Model model(pack);
    CHECK(belief_after(pack, model, facts_of(pack, usual), {}).first() != 2);
    CHECK(belief_after(pack, model, facts_of(pack, odd), {}).first() == 2);
}
