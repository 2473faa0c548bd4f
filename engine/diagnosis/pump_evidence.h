// How likely the figures that were measured are under each cause, by the virtual pump of this site: many
// drawn pumps for each cause, kept as what a person with watch, bucket and gauge would have found there.
// METHOD.md says how it is weighed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/derived.h"
#include "engine/diagnosis/pack.h"
#include "engine/diagnosis/policy.h"
#include "engine/pump/ensemble.h"

namespace beckhand {

/// One drawn pump: how bad the cause was in it, how its waste valve came to rest, and its figures in the
/// order of PumpEvidence::kinds, SI. A pump that stopped has beat and delivered flow 0.
struct DrawnPump {
    double severity = 0;
    ValveRest rest = ValveRest::runs;
    std::vector<double> figures;
};
using DrawnPumps = std::vector<DrawnPump>;

struct PumpEvidence {
    std::vector<std::string> kinds; // measurement ids of the pack that the virtual pump can answer
    DrawnPumps sound;
    std::vector<DrawnPumps> causes; // in the pack's order; empty where not computed (yet)
};

/// What a person with watch, bucket and gauge would find at this pump, in the order of `kinds`, SI; every kind must be
/// one that PumpEvidence lists.
[[nodiscard]] std::vector<double> figures_of(const std::vector<std::string>& kinds, const PumpDesign&, const PumpRun&);

/// Share of the pumps that beat by themselves, hang open, rest shut; sums to one, all 0 for none.
struct RestShares {
    double runs = 0, open = 0, shut = 0;
};
[[nodiscard]] RestShares rest_shares(const DrawnPumps& pumps);

struct EvidenceOptions {
    std::size_t members = 16; // drawn pumps for each cause; eight at a time go side by side
    std::uint64_t seed = 1;
    double seconds = 40; // of each pump's time
};

/// For a visit, fine enough for figures as people take them; the whole pack in about two seconds.
inline constexpr EvidenceOptions drawn_for_a_visit{.members = 32, .seed = 1, .seconds = 40};

/// A long computation cut into steps of one cause, so that a screen can show progress and stop it at any
/// step. `evidence` is usable at any moment; what has not been computed speaks neither for nor against.
struct EvidenceJob {
    /// `sound` is design_for() of the site.
    EvidenceJob(const Pack& pack, const PumpDesign& sound, const EvidenceOptions& options = {});

    PumpEvidence evidence;

    struct Task {
        std::size_t cause; // index in the pack
        std::vector<FaultEffect> effects;
        double severity_least, severity_most;
    };
    EvidenceOptions options;
    std::vector<PumpDesign> drawn;    // the same doubts for every cause, so that only the cause differs
    std::vector<double> severity_at;  // 0..1 between a cause's least and most
    std::vector<std::size_t> outside; // causes that leave the pump as it is
    std::vector<Task> tasks;
    std::size_t done = 0; // steps; the first is the sound pump
    std::optional<ManyRuns> under_way{}; // those of this step
    std::vector<double> severities{};    // theirs
};

/// Does one cause; true while there is more to do.
bool step(EvidenceJob& job);
/// A part of that, a few milliseconds.
bool part(EvidenceJob& job);

/// 0 at the start, 1 when all is done.
[[nodiscard]] double progress(const EvidenceJob& job);

/// Natural logarithm of how likely these figures are under each cause, in the pack's order, up to a constant
/// that all share. Zero for all when no figure tells anything. Readings of other kinds are passed over.
/// `healthy` holds what this very pump gave when it was sound: where there is such a figure, the drawn ones
/// are scaled by it, so that the virtual pump's own error at this site falls out.
[[nodiscard]] std::vector<double> log_likelihoods(const PumpEvidence& evidence, const Readings& measured,
                                                  const Readings& healthy = {});

/// The same for every hypothesis. Two causes at once are taken to move each figure by as much as both do, one after
/// the other (in logarithms), drawn pump by drawn pump.
[[nodiscard]] std::vector<double> log_likelihoods(const PumpEvidence& evidence, const Readings& measured,
                                                  const Readings& healthy, const std::vector<Hypothesis>& hypotheses);

/// Measurements that hardly any of the drawn pumps would give under what is believed (chance by cause): it is more
/// likely than not that such a figure is odd.
[[nodiscard]] std::vector<std::string> odd_figures(const PumpEvidence& evidence, const Readings& measured,
                                                   const Readings& healthy, const std::vector<double>& belief);

/// What this very pump gave when it was sound, by measurement, as far as the site sheet says.
[[nodiscard]] Readings healthy_readings(const Site& site);

} // namespace beckhand
