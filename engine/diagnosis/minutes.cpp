// What a visit costs in minutes by the pack's own prices: where the person stands, the way to the next place, and all
// that was done so far.
#include "engine/diagnosis/next_step.h"

namespace beckhand {
namespace {

// What any step costs beside its own minutes: reading, wiping hands; and walking to another place and back
// (common practice).
constexpr double at_hand = 1.0;
constexpr double walk = 6.0;
} // namespace

Place place_now(const Pack& pack, const Visit& visit) {
    int latest = 0;
    Place place = Place::pump;
    const auto take = [&](int number, Place there) {
        if (number > latest && there != Place::anywhere) {
            latest = number;
            place = there;
        }
    };
    for (const Answered& given : visit.answers) {
        const Observation* const observation = find_observation(pack, given.observation);
        if (observation != nullptr && !given.told) take(number_of(visit.answered_at, given.observation), observation->place);
    }
    for (const auto& [id, taken] : visit.as_found) {
        const Measurement* const how = find_measurement(pack, id);
        if (how != nullptr) take(number_of(visit.measured_at, id), how->place);
    }
    return place;
}

double overhead_minutes(Place there, Place here) {
    return there == Place::anywhere || there == here ? at_hand : at_hand + walk;
}

double minutes_spent(const Pack& pack, const Visit& visit) {
    double spent = 0;
    for (const Answered& given : visit.answers) {
        const Observation* observation = find_observation(pack, given.observation);
        spent += observation != nullptr && !given.told ? observation->minutes : 0;
    }
    for (const auto& [id, taken] : visit.as_found) {
        const Measurement* how = find_measurement(pack, id);
        spent += how != nullptr ? how->minutes : 0;
    }
    for (const Attempt& attempt : visit.attempts) {
        const Cause* cause = find_cause(pack, attempt.cause);
        if (cause == nullptr) {
            continue;
        }
        spent += attempt.check && !attempt.again ? cause->check.minutes : 0;
        spent += attempt.finished && !attempt.again ? cause->fix.minutes : 0;
        for (const auto& [id, taken] : attempt.proof) {
            const Measurement* how = find_measurement(pack, id);
            spent += how != nullptr ? how->minutes : 0;
        }
    }
    return spent;
}

} // namespace beckhand
