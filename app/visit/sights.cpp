#include "app/visit/sights.h"

namespace beckhand {
namespace {

PumpState pump_at(const Pack& pack, const FirstSight& sight) {
    if (sight.pump != PumpState::either) return sight.pump;
    const Observation* const observation = find_observation(pack, sight.means.observation);
    const Answer* const answer = observation ? find_answer(*observation, sight.means.answer) : nullptr;
    return answer ? answer->pump : PumpState::either;
}

} // namespace

bool exclude_each_other(const Pack& pack, const FirstSight& one, const FirstSight& other) {
    if (one.means.observation == other.means.observation) {
        const Observation* const observation = find_observation(pack, one.means.observation);
        if (one.means.answer != other.means.answer && observation && !observation->several) return true;
    }
    const PumpState first = pump_at(pack, one), second = pump_at(pack, other);
    return first != PumpState::either && second != PumpState::either && first != second;
}

} // namespace beckhand
