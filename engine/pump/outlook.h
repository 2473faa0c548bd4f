// What the virtual pump says of one site: what a sound pump gives here, what each published limit is worth
// here, and which setting lifts most on the source's water. Worked out in slices of eight pumps and parts of
// those, so that a screen can show how far it is and leave off.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/hydraulics/expectation.h"
#include "engine/pump/advice.h"
#include "engine/pump/ensemble.h"
#include "engine/pump/limit_effects.h"
#include "engine/pump/pump.h"

namespace beckhand {

/// A sound pump at this site. least and most hold nine of ten pumps that differ in what nobody has measured
/// (usual_doubts()), widened by the model's own error.
struct SoundPump {
    std::size_t drawn = 0, running = 0;   // pumps drawn, and how many of them beat by themselves
    Expected<FlowRate> drive{}, waste{}, delivered{};
    Expected<Frequency> beat{};
    Expected<Pressure> pressure{};        // mean in the vessel, gauge
    Pressure peak{};                      // in the body; the highest but one in twenty. An estimate
    double efficiency = 0;                // d'Aubuisson, the middle one
};

/// How the pump was matched to its healthy record: by one number, the speed at which its waste valve shuts.
enum class Match { no_record, matched, out_of_reach };

struct Outlook {
    PumpDesign design;                    // sound; matched to the record where there is one
    Match match = Match::no_record;
    std::optional<SoundPump> sound;       // absent when none of the drawn pumps beats
    std::vector<LimitEffect> limits;      // in the order of check_site(), those that can be run
    std::optional<Setting> now;           // the sound pump as it is set
    std::optional<Setting> best;          // absent without a source flow, or when nothing runs on it
    std::vector<std::string> doubtful;    // why not to rely on it here, in words; mostly empty
};

/// What is asked: the sound pump alone, as a proof needs it, or all that a site sheet shows.
enum class Depth { sound_pump, site_sheet };

/// The work, in slices. Pure: the same site and seed give the same outlook.
class OutlookJob {
public:
    explicit OutlookJob(Site site, Depth depth = Depth::site_sheet, std::uint64_t seed = 1);
    /// One group of eight pumps, or the sums at the end. False when nothing is left.
    bool step();
    /// A part of that, a few milliseconds.
    bool part();
    [[nodiscard]] std::size_t done() const { return done_; }
    [[nodiscard]] std::size_t steps() const { return steps_; }
    /// Once step() has returned false: the outlook, or what is missing on the site sheet.
    [[nodiscard]] const Result<Outlook>& result() const { return result_; }

private:
    bool match();                         // to the healthy record; false when it is
    void lay_out();                       // the pumps to run, once the design is matched
    void sum_up();
    Site site_;
    Depth depth_;
    std::uint64_t seed_;
    Outlook outlook_;
    Result<Outlook> result_;
    std::vector<PumpDesign> designs_;
    std::optional<ManyRuns> under_way_;   // those tried for the match, then all of designs_
    std::vector<LimitChange> changes_;
    std::size_t settings_from_ = 0;       // where the tried settings begin in designs_
    std::vector<SettingTry> settings_;
    std::size_t done_ = 0, steps_ = 1;
    enum class Phase { match, run, sum, finished } phase_ = Phase::match;
};

/// All of it at once, for programs without a screen.
[[nodiscard]] Result<Outlook> outlook_for(const Site& site, Depth depth = Depth::site_sheet, std::uint64_t seed = 1);

/// The expectation with the virtual pump's figures where there is no healthy record; where the model is
/// doubtful_here, the tables stay.
[[nodiscard]] Expectation with_pump(Expectation by_tables, const Site& site, const Outlook& outlook);

/// Reasons from MODEL.md why the virtual pump is not to be relied on for this design.
[[nodiscard]] std::vector<std::string> doubtful_here(const PumpDesign& design);

} // namespace beckhand
