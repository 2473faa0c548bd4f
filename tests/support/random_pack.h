// Small random packs and visits for the diagnosis: seeded, so that a failing one can be looked at again.
#pragma once

#include <algorithm>
#include <random>
#include <string>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand::tests {

inline Pack random_pack(std::mt19937_64& random, int causes, int observations) {
    const auto pick = [&](int least, int most) { return std::uniform_int_distribution<int>(least, most)(random); };
    const Mark marks[] = {Mark::typical, Mark::likelier, Mark::unlikelier, Mark::nearly_excluded};
    Pack pack;
    pack.version = "0.0.1";
    pack.issued = "2026-01-01";
    for (int o = 0; o < observations; ++o) {
        Observation observation;
        observation.id = "o" + std::to_string(o);
        observation.ask = "What?";
        observation.minutes = pick(1, 15);
        observation.slip_times = pick(1, 3);
        observation.group = pick(0, 2) == 0 ? "g" + std::to_string(pick(0, 1)) : "";
        const int answers = pick(2, 4);
        for (int a = 0; a < answers; ++a) {
            Answer answer;
            answer.id = "a" + std::to_string(a);
            answer.say = answer.id;
            answer.normal = a == 0 && pick(0, 3) > 0;
            observation.answers.push_back(answer);
        }
        Answer cannot;
        cannot.id = "cannot_tell";
        cannot.say = "Cannot tell";
        cannot.cannot = true;
        observation.answers.push_back(cannot);
        pack.observations.push_back(observation);
    }
    for (int c = 0; c < causes; ++c) {
        Cause cause;
        cause.id = "c" + std::to_string(c);
        cause.name = cause.id;
        cause.per_1000 = pick(1, 80);
        cause.check.minutes = pick(1, 20);
        cause.fix.id = "f" + std::to_string(pick(0, causes));
        cause.fix.minutes = pick(5, 60);
        cause.not_in_the_pump = "The pump is sound.";
        for (const Observation& observation : pack.observations) {
            for (const Answer& answer : observation.answers) {
                if (!answer.cannot && pick(0, 2) == 0) {
                    cause.seen.push_back({observation.id, answer.id, marks[pick(0, 3)]});
                }
            }
        }
        pack.causes.push_back(cause);
    }
    pack.scale.pairs = pick(0, 4) == 0 ? 0 : pick(5, 30) / 100.0;
    pack.causes.back().healthy = pick(0, 1) == 0;
    for (int c = 0; c + 1 < causes; ++c) {
        if (pick(0, 3) == 0) pack.chains.push_back({"c" + std::to_string(c), "c" + std::to_string(c + 1)});
    }
    return pack;
}

inline Visit random_visit(const Pack& pack, std::mt19937_64& random, int answers) {
    Visit visit;
    visit.began = true;
    std::vector<std::size_t> order(pack.observations.size());
    for (std::size_t i = 0; i < order.size(); ++i) {
        order[i] = i;
    }
    std::shuffle(order.begin(), order.end(), random);
    for (std::size_t i = 0; i < order.size() && i < static_cast<std::size_t>(answers); ++i) {
        const Observation& observation = pack.observations[order[i]];
        const auto at = std::uniform_int_distribution<std::size_t>(0, observation.answers.size() - 1)(random);
        visit.answers.push_back({observation.id, observation.answers[at].id, false});
        const int who = std::uniform_int_distribution<int>(0, 3)(random);
        if (who > 1) visit.answered_by[observation.id] = who == 2 ? Person::helper : Person::newcomer;
    }
    return visit;
}

} // namespace beckhand::tests
