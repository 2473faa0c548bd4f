// What to do next, on plain numbers: which question, measurement or repair is expected to reach a proved fix
// in the fewest minutes. Knows no pack and no visit; next_step.cpp lays those out as a Situation. METHOD.md
// explains the rule and its grounds.
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

namespace beckhand {

inline constexpr std::size_t no_fault = std::numeric_limits<std::size_t>::max();

/// One way things can be: one fault, or two at once. A fault that no repair cures is help's.
struct Hypothesis {
    std::size_t first = 0, second = no_fault;
};

/// A question or a measurement. `chance[answer * hypotheses + h]`: how likely the answer is under hypothesis
/// h; over the answers each column sums to one, "cannot tell" included (the same under every hypothesis).
struct Question {
    double minutes = 1;
    std::size_t answers = 0;
    const double* chance = nullptr;
    double weight = 1; // power with which an answer moves belief: below 1 where it repeats a known fact
};

/// Check first, mend where the check finds it. `cures[f]`: chance that fault f, when it is there, is found
/// and gone after it. Check minutes are always paid, fix minutes where the check finds something.
struct Repair {
    double check_minutes = 5, fix_minutes = 20;
    std::vector<double> cures; // by fault
};

/// `chance` of a Question must outlive the Situation.
struct Situation {
    std::size_t faults = 0;
    std::vector<Hypothesis> hypotheses;
    std::vector<Question> questions;
    std::vector<Repair> repairs;
    double help_minutes = 300; // calling for help always ends it
};

enum class Move { ask, repair, help };

struct Choice {
    Move move = Move::help;
    std::size_t index = 0; // of the question or the repair
    double minutes = 0;    // expected until a proved fix, taking this step
    double saves = 0;      // of those, against repairing right away without asking; 0 for a repair
};

/// What the rule is made of; left as it is, except to measure what each part is worth.
struct PolicyRules {
    double slack = 3; // how much dearer settling it may be than at the present best rate; 0: no bundle rule
    bool repair_first = true; // also weigh repairing first and asking when it did not help
    int look_ahead = 3;       // steps followed exactly when few hypotheses are left; 0: none
};

/// The step rule: ask now, repair now, or repair and ask when it did not help, whichever is expected to be
/// cheapest; before that the rule for bundles of cheap questions. Where eight hypotheses hold nearly all of
/// the belief, the next steps are followed through every answer instead. Ties go to the lowest index.
/// `belief` by hypothesis, sums to one. Deterministic. Repairs that were tried and questions that were asked
/// are left out by the caller.
[[nodiscard]] Choice best_step(const Situation&, const std::vector<double>& belief, const PolicyRules& = {});

/// Expected minutes of the best order found of repairs without asking, help included.
[[nodiscard]] double minutes_without_asking(const Situation&, const std::vector<double>& belief);

/// Belief after an answer: chance to the power of the question's weight, scaled to sum to one.
[[nodiscard]] std::vector<double> after_answer(const Situation&, const std::vector<double>& belief,
                                               std::size_t question, std::size_t answer);

/// Belief after a repair that did not put it right: its faults are the less likely; a second fault may be
/// left, as a hypothesis of its own or, where there is none, with the pair standing for it.
[[nodiscard]] std::vector<double> after_repair(const Situation&, const std::vector<double>& belief,
                                               std::size_t repair);

} // namespace beckhand
