// Looking things up in a pack by their id, and the words for its enumerations.
#include "engine/diagnosis/pack.h"

#include <array>

namespace beckhand {

namespace {

template <class Thing>
const Thing* find_by_id(const std::vector<Thing>& things, std::string_view id) {
    for (const Thing& thing : things) {
        if (thing.id == id) {
            return &thing;
        }
    }
    return nullptr;
}

// The words stand in the order of the enumerators.
constexpr std::array<std::string_view, 6> places = {"anywhere",   "pump",          "intake",
                                                    "drive_line", "delivery_line", "tank"};
constexpr std::array<std::string_view, 3> pump_states = {"either", "running", "stopped"};
constexpr std::array<std::string_view, 4> marks = {"typical", "likelier", "unlikelier", "nearly_excluded"};

template <class Word, std::size_t count>
std::optional<Word> word_of(const std::array<std::string_view, count>& words, std::string_view text) {
    for (std::size_t i = 0; i < count; ++i) {
        if (words[i] == text) {
            return static_cast<Word>(i);
        }
    }
    return std::nullopt;
}

} // namespace

const Observation* find_observation(const Pack& pack, std::string_view id) {
    return find_by_id(pack.observations, id);
}

const Measurement* find_measurement(const Pack& pack, std::string_view id) {
    return find_by_id(pack.measurements, id);
}

const Cause* find_cause(const Pack& pack, std::string_view id) {
    return find_by_id(pack.causes, id);
}

const Caution* find_caution(const Pack& pack, std::string_view id) {
    return find_by_id(pack.cautions, id);
}

const Service* find_service(const Pack& pack, std::string_view id) {
    return find_by_id(pack.services, id);
}

const Answer* find_answer(const Observation& observation, std::string_view id) {
    return find_by_id(observation.answers, id);
}

std::string_view id_of(Place place) {
    return places[static_cast<std::size_t>(place)];
}
std::string_view id_of(PumpState state) {
    return pump_states[static_cast<std::size_t>(state)];
}
std::string_view id_of(Mark mark) {
    return marks[static_cast<std::size_t>(mark)];
}

std::optional<Place> place_of(std::string_view text) {
    return word_of<Place>(places, text);
}
std::optional<PumpState> pump_state_of(std::string_view text) {
    return word_of<PumpState>(pump_states, text);
}
std::optional<Mark> mark_of(std::string_view text) {
    return word_of<Mark>(marks, text);
}

} // namespace beckhand
