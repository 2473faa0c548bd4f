// How good the diagnosis is, measured: visits drawn from the model, played by the program's own rule and by others,
// and what came of them. Seeded: the same wishes give the same visits on every machine. A long computation cut into
// steps of one visit, so that a screen can show progress and stop it at any step.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/exam_figures.h"
#include "engine/diagnosis/exam_play.h"
#include "engine/diagnosis/exam_score.h"

namespace beckhand {

struct ExamWish {
    std::size_t visits = 400;
    std::uint64_t seed = 1;
    std::optional<double> two;         // share of visits with two faults; none: the pack's own
    double slips = 1;                  // how many times oftener than the pack says answers are wrong
    Person person = Person::keeper;
    bool figures = false;              // also judge measured figures, by the bands and by the virtual pump
};

/// Answers after which the belief is looked at, "cannot tell" included.
inline const std::vector<int> exam_counts{8, 10, 15};
/// In the second round answers are wrong this many times oftener, and the belief does not know it.
inline constexpr double exam_more_slips = 3;

inline constexpr ExamPolicy exam_policies[] = {ExamPolicy::ours, ExamPolicy::one_step, ExamPolicy::telling_plan,
                                               ExamPolicy::telling_belief, ExamPolicy::walk, ExamPolicy::telling_on,
                                               ExamPolicy::no_second_look};

/// One visit, played by all.
struct ExamVisit {
    DrawnVisit drawn;
    std::vector<ExamPlay> plays;                    // by exam_policies
    double knowing = 0;                             // minutes of somebody who knows what is wrong
    std::vector<Standing> ours, telling;            // by exam_counts: asked by our order, and the most telling first
    Standing everything;                            // all observations answered
    std::optional<FiguresJudged> figures;
    std::vector<Standing> more_slips;               // by exam_counts, our order
    std::optional<Standing> more_slips_finding;     // the first finding
};

struct ExamJob {
    /// `pack` and `model` must outlive the job.
    ExamJob(const Pack& pack, const Model& model, const ExamWish& wish);

    const Pack& pack;
    const Model& model;
    ExamWish wish;
    std::optional<PumpDesign> sound;                // where figures are wished for
    std::optional<EvidenceJob> evidence;
    std::size_t steps = 0, done = 0;
    std::vector<ExamVisit> visits;
    std::vector<ExamPlay> two_faults, healthy;      // visits of their own, ours alone
    std::vector<ExamPlay> healthy_measured;         // the healthy ones again, where figures are wished for
    std::size_t two_known = 0, healthy_known = 0;   // of those, right where all is answered: the ceilings
};

/// Plays one visit; true while there is more to do. What is done can be reported at any moment.
bool step(ExamJob& job);
/// 0 at the start, 1 when all is done.
[[nodiscard]] double progress(const ExamJob& job);

struct PolicyRow {
    ExamPolicy policy = ExamPolicy::ours;
    Spread minutes, asked, asking_minutes;
    double looking = 0, walking = 0; // of asking_minutes, in the mean; the rest is reading and wiping hands
    Spread dearer;                 // than ours, visit by visit, minutes
    double over_knowing = 0;       // mean minutes as a multiple of those of somebody who knows
    double proved = 0;             // share put right without help
    double in_vain = 0;            // repairs that changed nothing, for each visit
};

/// Shares of visits.
struct Accuracy {
    std::size_t visits = 0;
    double right = 0, in_three = 0, mends = 0, mends_in_three = 0;
};

struct QuestionsRow {
    int asked = 0;
    Accuracy ours, telling;
    Calibration honest, more_slips;    // of our order's leader
};

/// A figure beside what it should reach.
struct Target {
    std::string name, wanted;
    double found = 0;
    bool met = false;
    std::size_t visits = 0;            // that it rests on; 0: not measured
};

/// Visits to a pump with nothing wrong.
struct HealthyRow {
    std::size_t visits = 0;
    double named = 0, spared = 0;      // shares: called healthy at the end; no repair done in vain
    Spread minutes;
};

struct ExamReport {
    ExamWish wish;
    std::size_t visits = 0, two = 0;   // played; of them with two faults
    std::vector<PolicyRow> policies;
    Spread knowing;
    std::vector<QuestionsRow> questions;
    Accuracy everything;
    Accuracy figures_table, figures_bands, figures_pump;   // the same visits; table: the answers that figures would give, drawn
    Calibration finding, finding_more_slips;
    Accuracy finding_accuracy;
    std::size_t two_visits = 0;
    double both_named = 0, both_mended = 0;
    Spread two_minutes;
    HealthyRow healthy, healthy_measured;                  // measured: at a site with its sheet, read off the virtual pump
    double two_ceiling = 0, healthy_ceiling = 0;           // with everything answered: both first, healthy first
    std::vector<Target> targets;
};

[[nodiscard]] ExamReport report_of(const ExamJob& job);

} // namespace beckhand
