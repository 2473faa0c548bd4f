// What a visit looks like from outside, computed once after each event: what to do now and all that a view
// (window or terminal) needs to show it. Pure: the same visit under the same pack gives the same scene.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/clash.h"
#include "engine/diagnosis/doubts.h"
#include "engine/diagnosis/next_step.h"
#include "engine/diagnosis/proof.h"
#include "engine/diagnosis/reasons.h"
#include "engine/pump/outlook.h"

namespace beckhand {

enum class Stage {
    first_sight,   // nothing told yet: what do you see first?
    stop_first,    // a stop rule fired: read it before going on
    clash,         // two answers that cannot both be true: which one is looked at again?
    ask,           // one observation
    measure,       // one figure
    finding,       // a cause is worth acting on: reasons, then its check
    check,         // the check of the chosen cause
    unchecked,     // that check could not be made: repair it all the same, or go on without it?
    fix,           // cautions, tools, steps
    proof_measure, // a figure after the fix
    proof_look,    // the yes-or-no look after the fix
    verdict,       // proved, better, not it, not proved yet
    ended          // nothing left, or the visit is closed
};

struct Scene {
    Visit visit;
    Stage stage = Stage::first_sight;
    Belief belief;
    Offer offer;
    Expectation expected;
    std::optional<std::size_t> observation;   // stage ask; also what a measurement would settle
    std::optional<std::size_t> measurement;   // stages measure, proof_measure
    std::optional<std::size_t> cause;         // stages finding .. verdict
    std::optional<std::size_t> caution;       // stage stop_first
    std::optional<Clash> clash;               // stage clash
    std::optional<Reasons> reasons;           // of `cause`, or of the leader while asking
    Doubts doubts;
    std::optional<ProofState> proof;
    std::string why;                          // why this is asked
    std::string before;                       // stage ask: what was answered to it before a repair
    std::vector<std::string> done;            // stage ended: what was tried and what came of it
    std::vector<std::string> open;            // stage ended: causes put aside, and repairs not proved yet
    int asked = 0;                            // questions answered so far, told ones not counted
    double minutes = 0;
};

/// What the virtual pump says of a visit's site, once it is known.
struct PumpSays {
    const Outlook* outlook = nullptr;         // what a sound pump gives: the proof is held against it
    const PumpEvidence* evidence = nullptr;   // what it gives under each cause: figures are judged by it
};

/// `units` are those of the figures in reasons and verdict.
[[nodiscard]] Scene scene_of(const Pack& pack, const Model& model, const Visit& visit, const PumpSays& pump = {},
                             Units units = Units::metric);

/// The same scene with the question, or the figure, of what was said on the screen once more.
[[nodiscard]] Scene looking_again(const Pack& pack, Scene scene, const Said& at);

/// What was asked and what was said to it, in words.
struct SaidWords { std::string question, answer; };
[[nodiscard]] SaidWords words_of(const Pack& pack, const Said& said);

/// True once a fix of this visit is proved and nothing more is asked.
[[nodiscard]] bool ended_proved(const Scene& scene);

/// How a visit that is not proved stands when asking has ended, and what to do with it.
struct EndWords { std::string heading, words; };
[[nodiscard]] EndWords end_words(const Scene& scene);

/// What was done about each cause and what came of it, in the order of the visit: "Repaired, and it got
/// better: Strainer matted over."
[[nodiscard]] std::vector<std::string> done_lines(const Pack& pack, const Visit& visit);

/// The line a list of visits shows: the finding, else the complaint, else what was seen first; empty where a closed visit
/// says nothing of the pump. Never a name or a note: the log keeps it where no erasing reaches.
[[nodiscard]] std::string headline_of(const Pack& pack, const Scene& scene);

} // namespace beckhand
