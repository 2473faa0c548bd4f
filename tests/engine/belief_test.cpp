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

/// How two causes at once show an answer: METHOD.md's rule, once more.
double share_of_both(const Pack& pack, const Observation& o, const Cause& a, const Cause& b, const Answer& answer) {
    double normal_a = 0, normal_b = 0, normal_none = 0, mass_normal = 0, mass_other = 0;
    for (const Answer& other : o.answers) {
        if (other.cannot) continue;
        const double pa = share(pack, o, a, other), pb = share(pack, o, b, other);
        if (other.normal) {
            normal_a += pa;
            normal_b += pb;
            normal_none += share(pack, o, Cause{}, other);
            mass_normal += pa * pb;
        } else {
            mass_other += pa + pb - pa * pb;
        }
    }
    const double pa = share(pack, o, a, answer), pb = share(pack, o, b, answer);
    if (normal_none == 0) return (pa + pb) / 2;
    const double normal = std::min(normal_a * normal_b / normal_none, std::min(normal_a, normal_b));
    return answer.normal ? normal * pa * pb / mass_normal : (1 - normal) * (pa + pb - pa * pb) / mass_other;
}

/// Belief by names: "a", "a+b", "else".
std::map<std::string, double> by_hand(const Pack& pack, const Visit& visit) {
    const Scale& s = pack.scale;
    double all = 0;
    for (const Cause& cause : pack.causes) {
        all += cause.per_1000;
    }
    std::map<std::string, int> in_group;
    for (const Answered& given : visit.answers) {
        const Observation& observation = *find_observation(pack, given.observation);
        if (!find_answer(observation, given.answer)->cannot && !observation.group.empty()) ++in_group[observation.group];
    }
    std::map<std::string, double> prior;
    std::map<std::string, std::vector<const Cause*>> ways;
    double pairs = 0;
    for (const Cause& a : pack.causes) {
        prior[a.id] = a.per_1000 / (all + s.something_else);
        ways[a.id] = {&a};
        for (const Cause& b : pack.causes) {
            if (s.pairs == 0 || &a >= &b || a.healthy || b.healthy || a.fix.id == b.fix.id) continue;
            const std::string id = a.id + "+" + b.id;
            bool chained = false;
            for (const Chain& chain : pack.chains) {
                chained = chained || (chain.first == a.id && chain.then == b.id) || (chain.first == b.id && chain.then == a.id);
            }
            prior[id] = a.per_1000 * b.per_1000 * (chained ? s.chain : 1);
            ways[id] = {&a, &b};
            pairs += prior[id];
        }
    }
    prior["else"] = s.something_else / (all + s.something_else);
    ways["else"] = {};
    for (auto& [id, chance] : prior) {
        if (pairs > 0) chance *= ways[id].size() == 2 ? s.pairs / pairs : 1 - s.pairs;
    }
    std::map<std::string, double> belief;
    double sum = 0;
    for (const auto& [id, chance] : prior) {
        double own = chance;
        for (const Answered& given : visit.answers) {
            const Observation& observation = *find_observation(pack, given.observation);
            const Answer& answer = *find_answer(observation, given.answer);
            if (answer.cannot) continue;
            double background = 0, flat_sum = 0, flat_own = 0;
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
            const std::vector<const Cause*>& way = ways.at(id);
            const double shown = way.empty()       ? flat_own / flat_sum
                                 : way.size() == 1 ? share(pack, observation, *way[0], answer)
                                                   : share_of_both(pack, observation, *way[0], *way[1], answer);
            const auto by = visit.answered_by.find(observation.id);
            const double usual = by == visit.answered_by.end() ? s.slip : by->second == Person::helper ? s.slip_helper : s.slip_newcomer;
            const double slip = std::min(0.5, usual * observation.slip_times);
            const int k = observation.group.empty() ? 1 : in_group[observation.group];
            own *= std::pow((1 - slip) * shown + slip * background, (1 + s.group_repeat * (k - 1)) / k);
        }
        belief[id] = own;
        sum += own;
    }
    for (auto& [id, chance] : belief) {
        chance /= sum;
    }
    return belief;
}

std::string name_of(const Pack& pack, const Hypothesis& way) {
    if (way.first == pack.causes.size()) return "else";
    return pack.causes[way.first].id + (way.second == no_fault ? "" : "+" + pack.causes[way.second].id);
}

Belief belief_after(const Pack& pack, const Model& model, Visit visit, const std::vector<Attempt>& attempts) {
    visit.attempts = attempts;
    return beckhand::belief_after(pack, model, visit);
}

} // namespace

TEST_CASE("belief agrees with brute force on 500 random small packs, with pairs, groups, slips and 'cannot tell'") {
    std::mt19937_64 random(20261125);
    double worst = 0;
    int two = 0;
    for (int i = 0; i < 500; ++i) {
        const Pack pack = random_pack(random, 2 + i % 7, 2 + i % 6);
        const Visit visit = random_visit(pack, random, i % 7);
        const Model model(pack);
        const Belief belief = belief_after(pack, model, visit, {});
        const std::map<std::string, double> expected = by_hand(pack, visit);
        REQUIRE(expected.size() == model.hypotheses().size());
        std::vector<double> cause(model.causes(), 0.0);
        for (std::size_t h = 0; h < belief.hypothesis.size(); ++h) {
            const Hypothesis& way = model.hypotheses()[h];
            const double wanted = expected.at(name_of(pack, way));
            worst = std::max(worst, std::abs(belief.hypothesis[h] - wanted));
            cause[way.first] += wanted;
            if (way.second != no_fault) cause[way.second] += wanted;
            two += way.second != no_fault;
        }
        for (std::size_t c = 0; c < cause.size(); ++c) worst = std::max(worst, std::abs(belief.of(c) - cause[c]));
    }
    CHECK(worst < 1e-9);
    CHECK(two > 1000); // pairs were among them
}

TEST_CASE("the order of answers does not matter") {
    std::mt19937_64 random(7);
    for (int i = 0; i < 100; ++i) {
        const Pack pack = random_pack(random, 6, 6);
        Visit visit = random_visit(pack, random, 6);
        const Model model(pack);
        const Belief before = belief_after(pack, model, visit, {});
        std::shuffle(visit.answers.begin(), visit.answers.end(), random);
        const Belief after = belief_after(pack, model, visit, {});
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
    const Belief nothing = belief_after(pack, Model(pack), Visit{}, {});
    const Belief asked = belief_after(pack, Model(pack), silent, {});
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
        const Belief belief = belief_after(pack, Model(pack), visit, attempts);
        CHECK(std::accumulate(belief.hypothesis.begin(), belief.hypothesis.end(), 0.0) == doctest::Approx(1).epsilon(1e-12));
        for (const double b : belief.cause) {
            CHECK(std::isfinite(b));
        }
    }
}

TEST_CASE("a check that says no takes belief from its cause, a check that says yes gives it") {
    std::mt19937_64 random(5);
    const Pack pack = random_pack(random, 5, 4);
    const Model model(pack);
    const Belief before = belief_after(pack, model, Visit{}, {});
    Attempt attempt;
    attempt.cause = pack.causes[2].id;
    attempt.check = CheckResult::no;
    CHECK(belief_after(pack, model, Visit{}, {attempt}).of(2) < before.of(2));
    attempt.check = CheckResult::yes;
    CHECK(belief_after(pack, model, Visit{}, {attempt}).of(2) > before.of(2));
    attempt.check = CheckResult::could_not;
    CHECK(belief_after(pack, model, Visit{}, {attempt}).of(2) == doctest::Approx(before.of(2)));
}

TEST_CASE("a repair that nothing was measured after takes no belief from its cause, one that did not help does") {
    std::mt19937_64 random(5);
    const Pack pack = random_pack(random, 5, 4);
    const Model model(pack);
    const Belief before = belief_after(pack, model, Visit{}, {});
    Attempt attempt;
    attempt.cause = pack.causes[2].id;
    attempt.finished = true;
    attempt.verdict = Verdict::not_proved;
    CHECK(belief_after(pack, model, Visit{}, {attempt}).of(2) == doctest::Approx(before.of(2)));
    attempt.verdict = Verdict::not_it;
    CHECK(belief_after(pack, model, Visit{}, {attempt}).of(2) < before.of(2));
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
    CHECK(belief_after(pack, model, Visit{}, {attempt}).of(2) < belief_after(pack, model, Visit{}, {}).of(2));
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
    CHECK(belief_after(pack, model, usual, {}).first() != 2);
    CHECK(belief_after(pack, model, odd, {}).first() == 2);
}
