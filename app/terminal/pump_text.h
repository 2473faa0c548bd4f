// The virtual pump of a site for a terminal: one run, its spread over what nobody has measured, the setting
// it would like, as words, as JSON and as a table of the run in time. The picture is in pump_plot.h.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/pack.h"
#include "engine/hydraulics/expectation.h"
#include "engine/pump/advice.h"
#include "engine/pump/pump.h"
#include "engine/quantity/text.h"

namespace beckhand {

/// A fault put into the pump: a cause of the pack, and 0 (sound) to 1 (as bad as it gets).
struct PumpFault {
    Cause cause;
    double severity = 1;
};

/// Reads "waste_propped" or "waste_propped=0.4". Problem for an id that is no cause of the pack, with the
/// nearest one that is, and for a severity that is no number from 0 to 1.
[[nodiscard]] Result<PumpFault> read_fault(const Pack& pack, const std::string& text);

struct PumpQuestion {
    std::optional<PumpFault> fault;
    double seconds = 60;             // of the pump's time, more than 0; the first quarter, 15 s at most, is
                                     // left out of the means
    std::size_t drawn = 64;          // pumps of the spread, each for a minute at most; 0: no spread
    bool advise = true;              // look for the best setting
    double sample_every_seconds = 0; // 0: no series
};

/// A tenth of the drawn pumps lie below `low`, a tenth above `high`.
struct PumpSpread {
    double low = 0, middle = 0, high = 0;
};

struct PumpAnswer {
    std::string site;
    PumpQuestion question;
    RunOptions options;
    PumpDesign design; // with the fault in it
    PumpRun run;
    std::optional<Expected<FlowRate>> expected; // delivered by a sound pump here
    std::size_t stopped = 0;                    // of the drawn
    PumpSpread beat, drive, waste, delivered;   // SI; a pump that stopped counts with what it gave
    bool source_known = false;
    std::optional<Setting> setting; // of the sound pump, for the source
};

/// Problem where design_for() or apply_effects() has one.
[[nodiscard]] Result<PumpAnswer> ask_pump(const Site& site, const PumpQuestion& question);

[[nodiscard]] std::string pump_text(const PumpAnswer& answer, Units units);

/// SI throughout, the unit at the end of each key, all parameters of the design with it.
[[nodiscard]] std::string pump_json(const PumpAnswer& answer);

/// One line for each sample under a line of names, SI. Only the names where no series was asked for.
[[nodiscard]] std::string pump_csv(const PumpAnswer& answer);

} // namespace beckhand
