// What a less sure hand is asked when it could not tell.
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "engine/diagnosis/easier.h"
#include "engine/diagnosis/next_step.h"
#include "engine/diagnosis/reasons.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"
#include "tests/support/tiny_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

std::string cannot_of(const Observation& observation) {
    for (const Answer& answer : observation.answers) {
        if (answer.cannot) return answer.id;
    }
    return "";
}

/// A visit of a stopped pump in which this observation was too hard to tell.
Visit unsure_of(const std::string& observation, Person person) {
    Visit visit;
    visit.began = true;
    visit.person = person;
    visit.answers.push_back({"beat_now", "stopped_open", true});
    visit.answered_at["beat_now"] = 2;
    visit.answers.push_back({observation, cannot_of(*find_observation(shipped_pack(), observation)), false});
    visit.answered_at[observation] = 3;
    return visit;
}

} // namespace

TEST_CASE("shared information agrees with what Shannon's formula gives by hand, and with its limits") {
    // Two causes, even odds; both observations show their own answer with 0.9 and 0.1: the joint table of the answers is
    // 0.41, 0.09, 0.09, 0.41, its margins 1/2, and the mutual information is
    // 2 (0.41 ln(0.41 / 0.25) + 0.09 ln(0.09 / 0.25)) nats (Shannon 1948, section 12).
    const double by_hand = 2 * (0.41 * std::log(0.41 / 0.25) + 0.09 * std::log(0.09 / 0.25));
    CHECK(by_hand == doctest::Approx(0.2217).epsilon(0.001));
    const Model& model = shipped_model();
    Visit visit;
    const Grounds grounds = grounds_of(shipped_pack(), model, visit);
    const Belief belief = belief_of(model, grounds);
    for (std::size_t o = 0; o < 12; ++o) {
        // Against the definition by entropies: I(A;B) = H(A) + H(B) - H(A,B), worked out the other way round.
        const std::size_t other = o + 12;
        std::vector<double> a_sum(model.answers(o)), b_sum(model.answers(other)), joint;
        double all = 0;
        for (std::size_t a = 0; a < model.answers(o); ++a) {
            for (std::size_t b = 0; b < model.answers(other); ++b) {
                double chance = 0;
                for (std::size_t h = 0; h < belief.hypothesis.size(); ++h) {
                    chance += belief.hypothesis[h] * model.likelihood(o, h, a) * model.likelihood(other, h, b);
                }
                if (model.is_cannot(o, a) || model.is_cannot(other, b)) chance = 0;
                joint.push_back(chance);
                a_sum[a] += chance;
                b_sum[b] += chance;
                all += chance;
            }
        }
        const auto entropy = [all](const std::vector<double>& weights) {
            double sum = 0;
            for (const double w : weights) sum -= w > 0 ? w / all * std::log(w / all) : 0;
            return sum;
        };
        CHECK(shared_information(model, belief, o, other) ==
              doctest::Approx(entropy(a_sum) + entropy(b_sum) - entropy(joint)).epsilon(1e-4));
        CHECK(shared_information(model, belief, o, other) == doctest::Approx(shared_information(model, belief, other, o)));
        CHECK(shared_information(model, belief, o, other) >= -1e-12);
        CHECK(shared_information(model, belief, o, other) <= told_of_causes(model, belief, o) + 1e-9); // data processing
    }
}

TEST_CASE("whoever is not sure is asked something easier that speaks of the same; the keeper is not") {
    const Pack& pack = shipped_pack();
    int offered = 0, hard = 0;
    for (const Observation& observation : pack.observations) {
        if (cannot_of(observation).empty() || observation.id == "beat_now") continue;
        const Visit helper = unsure_of(observation.id, Person::helper);
        const Offer offer = next_step(pack, shipped_model(), helper);
        ++hard;
        CAPTURE(observation.id);
        if (offer.easier_than) {
            ++offered;
            CHECK(pack.observations[*offer.easier_than].id == observation.id);
            REQUIRE(std::holds_alternative<Ask>(offer.step));
            const Observation& look = pack.observations[std::get<Ask>(offer.step).observation];
            CHECK(look.id != observation.id);
            CHECK(look.minutes <= 4);
            CHECK_FALSE(look.skilled);
            CHECK(helper.answer_to(look.id) == nullptr);
            const std::string why = why_asked(pack, shipped_model(), helper, offer);
            CHECK(why.find("easier to see") != std::string::npos);
        }
        CHECK_FALSE(next_step(pack, shipped_model(), unsure_of(observation.id, Person::keeper)).easier_than.has_value());
    }
    MESSAGE("an easier look for ", offered, " of ", hard, " observations");
    CHECK(offered >= 12); // where nothing else speaks of the same, the visit goes on as ever
}

TEST_CASE("an easier look is offered right behind the unsure answer only") {
    const Pack& pack = shipped_pack();
    Visit visit = unsure_of("valve_face", Person::newcomer);
    CHECK(could_not_tell(pack, visit).has_value());
    visit.measured_at["Q"] = 4; // something was measured since
    CHECK_FALSE(could_not_tell(pack, visit).has_value());
    visit.measured_at.clear();
    visit.answers.back().answer = pack.observations[index_of(pack.observations, find_observation(pack, "valve_face"))].answers.front().id;
    CHECK_FALSE(could_not_tell(pack, visit).has_value());
    CHECK_FALSE(could_not_tell(pack, Visit{}).has_value());
}
