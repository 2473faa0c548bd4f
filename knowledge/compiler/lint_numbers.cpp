// Lints counted with the engine's own numbers: causes that no answers lead to, causes that nothing tells apart, causes
// that win unasked, and questions that say the same thing twice.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <random>

#include "engine/diagnosis/belief.h"
#include "knowledge/compiler/lint.h"

namespace beckhand {

namespace {

// Nats, summed over all observations, both ways. Under the first nothing to speak of is left of the difference.
constexpr double nothing_apart = 0.3, hardly_apart = 2.0;
constexpr int drawn_cases = 2000;       // of one cause, before it counts as out of reach
constexpr std::size_t near_the_top = 3;
constexpr double half = 0.5;
constexpr double same_row = 0.9;        // correlation over the causes
constexpr std::size_t many_causes = 10; // over fewer, everything goes together and one always holds half

std::string two_digits(double number) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f", number);
    return text;
}

/// An answer without any doubt.
Fact fact_of(const Model& model, std::size_t observation, std::size_t answer) {
    Fact fact;
    fact.observation = observation;
    fact.answer.assign(model.answers(observation), 0.0);
    fact.answer[answer] = 1;
    return fact;
}

std::size_t likeliest_answer(const Model& model, std::size_t observation, std::size_t cause) {
    std::size_t best = 0;
    for (std::size_t a = 1; a < model.answers(observation); ++a) {
        if (!model.is_cannot(observation, a) &&
            model.likelihood(observation, cause, a) > model.likelihood(observation, cause, best)) {
            best = a;
        }
    }
    return best;
}

/// By hand, for the library's own distributions differ between compilers.
std::size_t drawn_answer(const Model& model, std::size_t observation, std::size_t cause, std::mt19937_64& random) {
    double left = static_cast<double>(random() >> 11U) * 0x1p-53;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        if (model.is_cannot(observation, a)) {
            continue;
        }
        left -= model.likelihood(observation, cause, a);
        if (left < 0) {
            return a;
        }
    }
    return likeliest_answer(model, observation, cause);
}

template <class Choose>
std::vector<Fact> all_answered(const Pack& pack, const Model& model, Choose choose) {
    std::vector<Fact> facts;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        facts.push_back(fact_of(model, o, choose(o)));
    }
    return facts;
}

bool near_top(const Model& model, const std::vector<Fact>& facts, std::size_t cause) {
    const Belief belief = belief_of(model, grounds_of(model, facts));
    const auto end = belief.ranked.begin() +
                     static_cast<std::ptrdiff_t>(std::min(near_the_top, belief.ranked.size()));
    return std::find(belief.ranked.begin(), end, cause) != end;
}

/// Every question answered as this cause has it: as is likeliest, then as drawn.
void lint_reached(const Pack& pack, const Model& model, Findings& findings) {
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        bool reached = near_top(model,
                                all_answered(pack, model, [&](std::size_t o) { return likeliest_answer(model, o, c); }), c);
        std::mt19937_64 random(c);
        for (int i = 0; i < drawn_cases && !reached; ++i) {
            reached = near_top(model,
                all_answered(pack, model, [&](std::size_t o) { return drawn_answer(model, o, c, random); }), c);
        }
        if (!reached) {
            findings.error("cause." + pack.causes[c].id,
                           "No answers lead to it: it is never among the first three, even with every question answered "
                           "as it has it.",
                           "Mark more of what it shows, or give it more weight.");
        }
    }
}

void lint_apart(const Pack& pack, const Model& model, Findings& findings) {
    for (std::size_t i = 0; i < pack.causes.size(); ++i) {
        for (std::size_t j = i + 1; j < pack.causes.size(); ++j) {
            double nats = 0;
            for (std::size_t o = 0; o < pack.observations.size(); ++o) {
                nats += apart_on(model, o, i, j);
            }
            const Cause& first = pack.causes[i];
            const Cause& second = pack.causes[j];
            const std::string path = "cause." + second.id;
            if (nats < hardly_apart && first.fix.id == second.fix.id) {
                findings.note(path, "It is hardly told from \"" + first.id + "\" (" + two_digits(nats) +
                                        " nats), which has the same repair. They may be one cause.");
            } else if (nats < nothing_apart) {
                findings.error(path,
                               "Nothing that is seen tells it from \"" + first.id + "\" (" + two_digits(nats) + " nats).",
                               "Add an observation that differs, or make one cause of the two.");
            } else if (nats < hardly_apart) {
                findings.warning("hardly_apart", path + "+" + first.id, path,
                                 "Little that is seen tells it from \"" + first.id + "\" (" + two_digits(nats) +
                                     " nats).",
                                 "Mark what differs, or add an observation that does.");
            }
        }
    }
}

/// Nobody may be sent to a repair by the weights alone, nor by a pump that is as it should be.
void lint_unasked(const Pack& pack, const Model& model, Findings& findings) {
    const Belief nothing_said = belief_of(model, grounds_of(model, std::vector<Fact>{}));
    std::map<std::string, double> repairs;
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        repairs[pack.causes[c].fix.id] += nothing_said.of(c);
        if (repairs[pack.causes[c].fix.id] >= half) {
            findings.warning("wins_unasked", "cause." + pack.causes[c].id, "cause." + pack.causes[c].id,
                             "Before anything is asked its repair holds half of the belief or more.",
                             "Compare its weight per 1000 with the others.");
        }
    }
    std::vector<Fact> sound;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const std::vector<Answer>& answers = pack.observations[o].answers;
        for (std::size_t a = 0; a < answers.size(); ++a) {
            if (answers[a].normal) {
                sound.push_back(fact_of(model, o, a));
                break;
            }
        }
    }
    const Belief belief = belief_of(model, grounds_of(model, sound));
    const std::size_t first = belief.first();
    // With as many facts as a visit has, a pump that shows nothing but normal answers has nothing wrong with it.
    const bool any_outside = std::any_of(pack.causes.begin(), pack.causes.end(),
                                         [](const Cause& cause) { return cause.in_the_pump.empty(); });
    if (any_outside && first < pack.causes.size() && !pack.causes[first].in_the_pump.empty()) {
        findings.warning("wins_when_sound", "cause." + pack.causes[first].id, "cause." + pack.causes[first].id,
                         "With every answer normal it is still the likeliest, and it is a fault of the pump.",
                         "Mark what it shows otherwise than a sound pump.");
    }
}

using Row = std::vector<double>;

std::optional<double> correlation(const Row& x, const Row& y) {
    const auto count = static_cast<double>(x.size());
    double mean_x = 0, mean_y = 0, xx = 0, yy = 0, xy = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        mean_x += x[i] / count;
        mean_y += y[i] / count;
    }
    for (std::size_t i = 0; i < x.size(); ++i) {
        xx += (x[i] - mean_x) * (x[i] - mean_x);
        yy += (y[i] - mean_y) * (y[i] - mean_y);
        xy += (x[i] - mean_x) * (y[i] - mean_y);
    }
    constexpr double no_spread = 1e-12;
    return xx < no_spread || yy < no_spread ? std::nullopt : std::optional(xy / std::sqrt(xx * yy));
}

/// The chances of each answer that carries weight, over the causes.
std::vector<Row> rows_of(const Model& model, std::size_t observation, std::size_t causes) {
    std::vector<Row> rows;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        if (model.is_cannot(observation, a)) {
            continue;
        }
        Row row;
        for (std::size_t c = 0; c < causes; ++c) {
            row.push_back(model.likelihood(observation, c, a));
        }
        rows.push_back(std::move(row));
    }
    return rows;
}

/// Each answer of the one that varies at all has its like among the other's.
bool says_no_more(const std::vector<Row>& one, const std::vector<Row>& other) {
    bool any = false;
    for (const Row& row : one) {
        double best = -1;
        for (const Row& like : other) {
            best = std::max(best, correlation(row, like).value_or(-1));
        }
        const bool varies = correlation(row, row).has_value();
        if (varies && best <= same_row) {
            return false;
        }
        any = any || varies;
    }
    return any;
}

void lint_near_duplicates(const Pack& pack, const Model& model, Findings& findings) {
    std::vector<std::vector<Row>> rows;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        rows.push_back(rows_of(model, o, pack.causes.size()));
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
        for (std::size_t j = i + 1; j < rows.size(); ++j) {
            const Observation& first = pack.observations[i];
            const Observation& second = pack.observations[j];
            const bool grouped = !first.group.empty() && first.group == second.group;
            if (!grouped && says_no_more(rows[i], rows[j]) && says_no_more(rows[j], rows[i])) {
                findings.warning("says_the_same", "observation." + second.id + "+" + first.id, "observation." + second.id,
                                 "It says the same as \"" + first.id + "\" of every cause, and counts in full beside it.",
                                 "Put the two into one group, or leave one out.");
            }
        }
    }
}

} // namespace

void lint_numbers(const Written& written, Findings& findings) {
    const Pack& pack = written.pack;
    const Model model(pack);
    lint_reached(pack, model, findings);
    lint_apart(pack, model, findings);
    if (pack.causes.size() >= many_causes) {
        lint_unasked(pack, model, findings);
        lint_near_duplicates(pack, model, findings);
    }
}

} // namespace beckhand
