#include "engine/diagnosis/clash.h"

#include <algorithm>

#include "engine/diagnosis/derived.h"
#include "engine/diagnosis/present.h"

namespace beckhand {
namespace {

/// What the pump was doing, as one event says.
struct Word {
    int number = 0;
    PumpState state = PumpState::either;
};

PumpState state_told(const Pack& pack, const Pointed& what) {
    for (const FirstSight& sight : pack.first_sights) {
        if (sight.pump != PumpState::either && sight.means.observation == what.observation &&
            sight.means.answer == what.answer) {
            return sight.pump;
        }
    }
    return PumpState::either;
}

/// What an answer itself says of the pump, else what has to be so for it to be seen at all.
PumpState state_in(const Pack& pack, const Pointed& what) {
    const Observation* const observation = find_observation(pack, what.observation);
    const Answer* const answer = observation != nullptr ? find_answer(*observation, what.answer) : nullptr;
    if (answer == nullptr || answer->cannot) return PumpState::either;
    return answer->pump != PumpState::either ? answer->pump : observation->pump;
}

std::vector<Word> words_on_the_pump(const Pack& pack, const Visit& visit) {
    std::vector<Word> words;
    for (const Answered& given : visit.answers) {
        const Pointed what{given.observation, given.answer};
        PumpState state = state_in(pack, what);
        if (state == PumpState::either && given.told) state = state_told(pack, what);
        if (state != PumpState::either) words.push_back({number_of(visit.answered_at, given.observation), state});
    }
    for (const char* const id : {"B", "Q"}) {
        const auto figure = visit.as_found.find(id);
        if (figure != visit.as_found.end() && figure->second.value_si > 0) {
            words.push_back({number_of(visit.measured_at, id), PumpState::running});
        }
    }
    std::sort(words.begin(), words.end(), [](const Word& a, const Word& b) { return a.number < b.number; });
    return words;
}

PumpState state_at(const Pack& pack, const std::vector<Word>& words, const Said& said) {
    PumpState state = state_in(pack, said.what);
    if (state != PumpState::either) return state;
    for (const Word& word : words) {
        if (word.number <= said.number) state = word.state;
    }
    return state;
}

/// The answer that this visit's figures give, where every one of them was taken and they leave little doubt.
std::optional<Said> said_by_figures(const Pack& pack, const Visit& visit, const Observation& observation) {
    if (!observation.bands) return std::nullopt;
    Said said{{observation.id, ""}, true, 0};
    for (const std::string& id : observation.bands->needs) {
        if (visit.as_found.count(id) == 0) return std::nullopt;
        said.number = std::max(said.number, number_of(visit.measured_at, id));
    }
    const auto derived = derive(observation.bands->quantity, readings_of(pack, visit.site, visit.as_found),
                                expect(visit.site));
    if (!derived) return std::nullopt;
    const std::vector<double> chances = band_chances(*observation.bands, *derived);
    for (std::size_t i = 0; i < chances.size(); ++i) {
        if (chances[i] >= clear_band) {
            said.what.answer = observation.bands->bands[i];
            return said;
        }
    }
    return std::nullopt;
}

/// All that holds now. A figure stands for what was said roughly before it.
std::vector<Said> all_said(const Pack& pack, const Visit& visit) {
    std::vector<Said> all;
    for (const Observation& observation : pack.observations) {
        if (auto figures = said_by_figures(pack, visit, observation)) {
            all.push_back(std::move(*figures));
            continue;
        }
        const int number = number_of(visit.answered_at, observation.id);
        if (const Answered* const given = visit.answer_to(observation.id)) {
            all.push_back({{observation.id, given->answer}, false, number});
        }
    }
    return all;
}

const Said* find_said(const std::vector<Said>& all, const Pointed& what) {
    for (const Said& said : all) {
        if (said.what.observation == what.observation && said.what.answer == what.answer) return &said;
    }
    return nullptr;
}

/// The last word on either of the two was the same answer once more.
bool was_kept(const Visit& visit, const Said& earlier, const Said& later) {
    const int confirmed = std::max(number_of(visit.confirmed_at, earlier.what.observation),
                                   number_of(visit.confirmed_at, later.what.observation));
    return confirmed > 0 && confirmed >= std::max(earlier.number, later.number);
}

} // namespace

std::vector<Clash> clashes_of(const Pack& pack, const Visit& whole) {
    std::vector<Clash> clashes;
    if (pack.impossible.empty()) return clashes;
    const Visit visit = present_of(pack, whole);
    const std::vector<Said> all = all_said(pack, visit);
    const std::vector<Word> words = words_on_the_pump(pack, visit);
    for (std::size_t row = 0; row < pack.impossible.size(); ++row) {
        const Said* const first = find_said(all, pack.impossible[row].first);
        const Said* const second = find_said(all, pack.impossible[row].second);
        if (first == nullptr || second == nullptr || (first->from_figures && second->from_figures)) continue;
        const PumpState one = state_at(pack, words, *first), other = state_at(pack, words, *second);
        if (one != PumpState::either && other != PumpState::either && one != other) continue;
        const bool in_order = first->number <= second->number;
        Clash clash{row, in_order ? *first : *second, in_order ? *second : *first, false};
        clash.kept = was_kept(visit, clash.earlier, clash.later);
        clashes.push_back(std::move(clash));
    }
    std::stable_sort(clashes.begin(), clashes.end(),
                     [](const Clash& a, const Clash& b) { return a.later.number > b.later.number; });
    return clashes;
}

std::optional<Clash> open_clash(const Pack& pack, const Visit& visit) {
    for (Clash& clash : clashes_of(pack, visit)) {
        if (!clash.kept) return std::move(clash);
    }
    return std::nullopt;
}

Answered keep_both(const Visit& visit, const Clash& clash) {
    const Pointed& what = clash.later.from_figures ? clash.earlier.what : clash.later.what;
    const Answered* const given = visit.answer_to(what.observation);
    return {what.observation, what.answer, given != nullptr && given->told};
}

} // namespace beckhand
