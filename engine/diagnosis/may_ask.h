// What can be asked of this visit at all: what the pump is doing, which tools and records are missing, and
// where a person is not sent again.
#pragma once

#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/visit.h"

namespace beckhand {

/// Running, stopped, or either when nobody has said. The latest word holds: an answer that tells, or a figure
/// of the beat or of the delivered flow, as found or after a fix.
[[nodiscard]] PumpState pump_state(const Pack&, const Visit&);

/// A running pump can be stopped; a stopped one cannot be looked at running.
[[nodiscard]] bool can_be_done(PumpState wanted, PumpState now);

[[nodiscard]] bool any_refused(const Visit&, const std::vector<std::string>& measurements);

/// Somebody who has no gauge for one reading has none for the next.
[[nodiscard]] bool without_gauge(const Pack&, const Visit&);

/// An observation that cannot be made with bare eyes: it lists the gauge, or its figures are read from one.
[[nodiscard]] bool wants_gauge(const Pack&, const Observation&);

/// Who followed a stop rule and has not said that it is safe there now is not sent there again: not to the
/// part that gave the warning, nor to the place where it stands.
[[nodiscard]] bool kept_from(const Pack&, const Visit&, const std::string& part, Place);

/// This person can be sent to it now: what the pump does allows it, its place is safe, and it is not beyond them.
[[nodiscard]] bool can_be_looked_at(const Pack&, const Visit&, const Observation&, PumpState now);

/// Set beside the record of the beat, which this site does not have.
[[nodiscard]] bool lacks_record(const Observation&, const Visit&);

/// It was told on arrival that too little water comes.
[[nodiscard]] bool told_weak(const Visit&);

} // namespace beckhand
