#include "engine/diagnosis/belief.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

#include "engine/diagnosis/present.h"
#include "engine/diagnosis/site_facts.h"

namespace beckhand {
namespace {

// A check that blames its cause when it is not there, and a whole fix that changed nothing, which speaks
// against its cause nearly as strongly as a check (common practice).
constexpr double check_blames_wrongly = 0.05;
constexpr double fix_cures = 0.90;
// What a cause keeps whose repair made the pump better: the repair may be half done (common practice).
constexpr double mended = 0.05;

double weight_of(Mark mark, bool normal, const Scale& scale) {
    switch (mark) {
    case Mark::typical: return normal ? scale.normal_typical : scale.typical;
    case Mark::likelier: return normal ? scale.normal_likelier : scale.likelier;
    case Mark::unlikelier: return scale.unlikelier;
    case Mark::nearly_excluded: return normal ? scale.normal_nearly_excluded : scale.nearly_excluded;
    }
    return 1;
}

/// Chances of an observation's answers under one cause: what a cause does not mention stays normal.
std::vector<double> answer_chances(const Observation& observation, const Cause& cause, const Scale& scale) {
    std::map<std::string_view, Mark> marks;
    bool other_typical = false;
    bool other_likelier = false;
    for (const Seen& seen : cause.seen) {
        const Answer* answer = seen.observation == observation.id ? find_answer(observation, seen.answer) : nullptr;
        if (answer == nullptr || answer->cannot) {
            continue;
        }
        marks[answer->id] = seen.mark;
        other_typical = other_typical || (!answer->normal && seen.mark == Mark::typical);
        other_likelier = other_likelier || (!answer->normal && seen.mark == Mark::likelier);
    }
    std::vector<double> chances;
    for (const Answer& answer : observation.answers) {
        double weight = scale.other_base;
        if (answer.normal) {
            weight = other_typical    ? scale.normal_if_other_typical
                     : other_likelier ? scale.normal_if_other_likelier
                                      : scale.normal_base;
        }
        const auto mark = marks.find(answer.id);
        if (mark != marks.end()) {
            weight = weight_of(mark->second, answer.normal, scale);
        }
        chances.push_back(answer.cannot ? 0 : weight);
    }
    const double sum = std::accumulate(chances.begin(), chances.end(), 0.0);
    for (double& chance : chances) {
        chance /= sum;
    }
    return chances;
}

std::size_t answer_index(const std::vector<Answer>& answers, std::string_view id) {
    const auto found = std::find_if(answers.begin(), answers.end(), [&](const Answer& a) { return a.id == id; });
    return static_cast<std::size_t>(found - answers.begin());
}

std::string words_of(const Observation& observation, const std::string& said) {
    return observation.ask + " " + said;
}

/// A fact from chances by answer id, or nothing where none of the ids is known.
std::optional<Fact> spread_fact(const Pack& pack, std::size_t observation,
                                const std::map<std::string, double>& chances, const std::string& words) {
    const Observation& asked = pack.observations[observation];
    std::vector<double> weight(asked.answers.size(), 0.0);
    double sum = 0;
    for (const auto& entry : chances) {
        const std::size_t at = answer_index(asked.answers, entry.first);
        if (at < weight.size()) {
            weight[at] += entry.second;
            sum += entry.second;
        }
    }
    if (!(sum > 0)) {
        return std::nullopt;
    }
    for (double& w : weight) {
        w /= sum;
    }
    return Fact{observation, weight, true, words_of(asked, words)};
}

std::optional<Fact> figure_fact(const Pack& pack, std::size_t observation, const Readings& readings,
                                const Expectation& expected, Units units) {
    const Observation& asked = pack.observations[observation];
    if (!asked.bands) {
        return std::nullopt;
    }
    const auto figure = derive(asked.bands->quantity, readings, expected, units);
    if (!figure) {
        return std::nullopt;
    }
    const std::vector<double> chances = band_chances(*asked.bands, *figure);
    std::map<std::string, double> by_answer;
    for (std::size_t i = 0; i < chances.size() && i < asked.bands->bands.size(); ++i) {
        by_answer[asked.bands->bands[i]] += chances[i];
    }
    return spread_fact(pack, observation, by_answer, figure->words);
}

bool measured_now(const Observation& observation, const Visit& visit) {
    return observation.bands &&
           std::any_of(observation.bands->needs.begin(), observation.bands->needs.end(),
                       [&](const std::string& id) { return visit.as_found.count(id) > 0; });
}

std::optional<Fact> answer_fact(const Pack& pack, std::size_t observation, const Visit& visit) {
    const Observation& asked = pack.observations[observation];
    const Answered* given = visit.answer_to(asked.id);
    if (given == nullptr) {
        return std::nullopt;
    }
    const std::size_t at = answer_index(asked.answers, given->answer);
    if (at >= asked.answers.size() || asked.answers[at].cannot) {
        return Fact{observation, {}, false, words_of(asked, "cannot tell")};
    }
    Fact fact{observation, std::vector<double>(asked.answers.size(), 0.0), false,
              words_of(asked, asked.answers[at].say)};
    fact.answer[at] = 1;
    // Of several that were told and may all be true, each speaks for its share.
    std::vector<std::size_t> told;
    for (const Answered& one : visit.told) {
        const std::size_t index = one.observation == asked.id ? answer_index(asked.answers, one.answer) : asked.answers.size();
        if (index < asked.answers.size() && !asked.answers[index].cannot) told.push_back(index);
    }
    if (asked.several && told.size() > 1) {
        fact.words = asked.ask;
        fact.answer[at] = 0;
        for (const std::size_t index : told) {
            fact.answer[index] += 1.0 / static_cast<double>(told.size());
            fact.words += (index == told.front() ? " " : "; ") + asked.answers[index].say;
        }
    }
    return fact;
}

double chance_of(const Model& model, const Fact& fact, std::size_t cause) {
    double chance = 0;
    for (std::size_t a = 0; a < fact.answer.size(); ++a) {
        chance += fact.answer[a] * model.likelihood(fact.observation, cause, a);
    }
    return std::max(chance, 1e-12);
}

double attempt_factor(const Attempt& attempt, bool this_cause, bool this_fix) {
    double factor = 1;
    // The check told of the pump before the repair; now its cause is mended, and so is any with that repair.
    if (attempt.verdict == Verdict::better) return this_fix ? mended : 1;
    if (attempt.again) return attempt.verdict == Verdict::not_it && this_cause ? 1 - fix_cures : 1;
    if (attempt.check == CheckResult::yes) {
        factor *= this_cause ? check_finds : check_blames_wrongly;
    } else if (attempt.check == CheckResult::no) {
        factor *= this_cause ? 1 - check_finds : 1 - check_blames_wrongly;
    }
    if (attempt.verdict == Verdict::not_it) {
        factor *= this_cause ? 1 - fix_cures : 1;
    }
    return factor;
}

} // namespace

Model::Model(const Pack& pack) : group_repeat_(pack.scale.group_repeat) {
    const std::size_t known = pack.causes.size();
    double sum = pack.scale.something_else;
    for (const Cause& cause : pack.causes) {
        sum += cause.per_1000;
    }
    for (const Cause& cause : pack.causes) {
        log_prior_.push_back(std::log(cause.per_1000 / sum));
    }
    log_prior_.push_back(std::log(pack.scale.something_else / sum));

    std::map<std::string, std::size_t> group_index;
    for (const Observation& observation : pack.observations) {
        const std::size_t answers = observation.answers.size();
        std::vector<double> table((known + 1) * answers, 0.0);
        std::vector<double> background(answers, 0.0);
        std::vector<double> flattened(answers, 0.0);
        for (std::size_t c = 0; c < known; ++c) {
            const std::vector<double> chances = answer_chances(observation, pack.causes[c], pack.scale);
            for (std::size_t a = 0; a < answers; ++a) {
                table[c * answers + a] = chances[a];
                background[a] += chances[a] * std::exp(log_prior_[c]) / (1 - std::exp(log_prior_[known]));
            }
        }
        // "Something else" expects the average answer, less sharply: it wins only where nothing named fits.
        double flat_sum = 0;
        for (std::size_t a = 0; a < answers; ++a) {
            flattened[a] = std::sqrt(background[a]);
            flat_sum += flattened[a];
        }
        for (std::size_t a = 0; a < answers; ++a) {
            table[known * answers + a] = flattened[a] / flat_sum;
            for (std::size_t c = 0; c <= known; ++c) {
                double& chance = table[c * answers + a];
                chance = (1 - pack.scale.slip) * chance + pack.scale.slip * background[a];
                chance = pack.scale.temper == 1.0 ? chance : std::pow(chance, pack.scale.temper);
            }
        }
        likelihood_.push_back(std::move(table));
        answers_.push_back(answers);
        std::vector<bool> cannot;
        for (const Answer& answer : observation.answers) {
            cannot.push_back(answer.cannot);
        }
        cannot_.push_back(std::move(cannot));
        const std::string group = observation.group.empty() ? "alone " + observation.id : observation.group;
        group_.push_back(group_index.try_emplace(group, group_index.size()).first->second);
    }
    groups_ = group_index.size();
}

std::vector<Fact> facts_of(const Pack& pack, const Visit& whole, Units units) {
    const Visit visit = present_of(pack, whole);
    const Expectation expected = expect(visit.site);
    const Readings readings = readings_of(pack, visit.site, visit.as_found);
    const auto sheet = site_facts(visit.site);
    std::map<std::size_t, Fact> by_observation;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const Observation& observation = pack.observations[o];
        std::optional<Fact> fact = answer_fact(pack, o, visit);
        const bool told_here = fact && !fact->answer.empty();
        if (measured_now(observation, visit) || !told_here) {
            // Figures of this visit beat an answer; the site sheet only stands in where nobody answered.
            if (auto figures = figure_fact(pack, o, readings, expected, units)) {
                fact = figures;
            } else if (const auto said = sheet.find(observation.id); said != sheet.end() && !fact) {
                fact = spread_fact(pack, o, said->second, "from the site sheet");
            }
        }
        if (fact) {
            by_observation.emplace(o, std::move(*fact));
        }
    }
    std::vector<Fact> facts;
    for (const Answered& given : visit.answers) {
        for (auto& entry : by_observation) {
            if (pack.observations[entry.first].id == given.observation && !entry.second.from_figures) {
                facts.push_back(entry.second);
            }
        }
    }
    for (auto& entry : by_observation) {
        if (entry.second.from_figures) {
            facts.push_back(entry.second);
        }
    }
    return facts;
}

std::vector<double> fact_weights(const Model& model, const std::vector<Fact>& facts) {
    // A group of n answers weighs as much as 1 + repeat * (n - 1) independent ones, shared alike, so that
    // the order in which they came does not matter.
    std::vector<int> members(model.groups(), 0);
    for (const Fact& fact : facts) {
        members[model.group(fact.observation)] += fact.answer.empty() ? 0 : 1;
    }
    std::vector<double> weights;
    for (const Fact& fact : facts) {
        const int n = members[model.group(fact.observation)];
        weights.push_back(n == 0 ? 0 : (1 + model.group_repeat() * (n - 1)) / n);
    }
    return weights;
}

Belief belief_after(const Pack& pack, const Model& model, const std::vector<Fact>& facts,
                    const std::vector<Attempt>& attempts) {
    const std::vector<double> weights = fact_weights(model, facts);
    std::vector<double> log_belief(model.causes());
    for (std::size_t c = 0; c < model.causes(); ++c) {
        double sum = model.log_prior(c);
        for (std::size_t f = 0; f < facts.size(); ++f) {
            if (!facts[f].answer.empty()) {
                sum += weights[f] * std::log(chance_of(model, facts[f], c));
            }
        }
        for (const Attempt& attempt : attempts) {
            const bool known = c < pack.causes.size();
            const Cause* const repaired = find_cause(pack, attempt.cause);
            const bool this_fix = known && repaired != nullptr && repaired->fix.id == pack.causes[c].fix.id;
            const bool this_cause = known && pack.causes[c].id == attempt.cause;
            sum += std::log(attempt_factor(attempt, this_cause, this_cause || this_fix));
        }
        log_belief[c] = sum;
    }
    Belief belief;
    belief.cause = normalised(log_belief);
    belief.ranked.resize(model.causes());
    std::iota(belief.ranked.begin(), belief.ranked.end(), std::size_t{0});
    std::stable_sort(belief.ranked.begin(), belief.ranked.end(),
                     [&](std::size_t a, std::size_t b) { return belief.cause[a] > belief.cause[b]; });
    return belief;
}

std::vector<double> normalised(const std::vector<double>& log_weights) {
    const double top = *std::max_element(log_weights.begin(), log_weights.end());
    std::vector<double> chances;
    double sum = 0;
    for (const double log_weight : log_weights) {
        chances.push_back(std::exp(log_weight - top));
        sum += chances.back();
    }
    for (double& chance : chances) {
        chance /= sum;
    }
    return chances;
}

} // namespace beckhand
