#include "engine/diagnosis/facts.h"

#include <algorithm>
#include <map>
#include <optional>
#include <string_view>

#include "engine/diagnosis/present.h"
#include "engine/diagnosis/site_facts.h"

namespace beckhand {
namespace {

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
    return Fact{observation, weight, true, words_of(asked, words), Person::keeper, false};
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
        return Fact{observation, {}, false, words_of(asked, "cannot tell"), Person::keeper, false};
    }
    const auto by = visit.answered_by.find(asked.id);
    Fact fact{observation, std::vector<double>(asked.answers.size(), 0.0), false, words_of(asked, asked.answers[at].say),
              by == visit.answered_by.end() ? Person::keeper : by->second, false};
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

} // namespace

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
                fact->measured = measured_now(observation, visit);
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

} // namespace beckhand
