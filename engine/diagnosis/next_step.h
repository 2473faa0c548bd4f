// What to do next: ask one observation, take one measurement, turn to a cause's check and fix, or finish.
// Chosen by expected minutes to a proved fix. Pure and deterministic: ties go to the lower index.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/diagnosis/belief.h"

namespace beckhand {

struct Ask { std::size_t observation = 0; };
struct Measure { std::size_t measurement = 0; std::size_t observation = 0; };  // which answer it will settle
struct TryFix { std::size_t cause = 0; };
struct StopFirst { std::size_t caution = 0; };      // a stop rule: told before any further question
/// help_is_nearer: what is left to try costs more than it is likely to bring.
enum class EndReason { proved, nothing_fits, nothing_left, help_is_nearer };
struct Finish { EndReason reason = EndReason::nothing_left; };
using NextStep = std::variant<Ask, Measure, TryFix, StopFirst, Finish>;

struct Offer {
    NextStep step;
    double minutes = 0;                       // what this step costs, walk and stopping included
    std::vector<std::size_t> separates;       // causes this would tell apart, likeliest first (for "why")
    double saves_minutes = 0;                 // expected saving against trying the likeliest fix at once
    double held = 0;                          // TryFix: belief in its repair, all causes with it together
    bool sure = false;                        // TryFix: that is as much as the policy asks for
    std::optional<std::size_t> easier_than{}; // Ask: the observation that nobody could tell, of which this one speaks too
    bool again = false;                       // Ask, TryFix: was answered, or checked, before: once more before help is called
};

/// Minutes of a check or a repair beyond these are the same whoever does it: they are not counted in a choice.
inline constexpr double long_work = 60;

struct StepRules {
    double sure_from = 0.80;                  // belief in one repair from which a finding is called most likely
    double turn_from = 0.30;                  // no check of a repair that holds less, while a question tells something
    int most_questions = 18;                  // nobody is asked more than this
    double worth_saying = 0.40;               // belief from which a finding is offered though help may be quicker
    bool only_ask = false;                    // to measure questions: no repair ends asking, the most telling one is next
    bool most_telling = false;                // to measure them: the one that tells most for its minutes, not the policy's
    double help_minutes = 300;                // what calling for help costs
    int doubt_earns = 3;                      // answers until a finding that was doubted may be offered again
    bool second_looks = true;                 // before help is called: the likeliest slips again (second_look.h)
    PolicyRules policy{};                     // left as it is, except to measure what its parts are worth
};

/// The next step of this visit. Never asks what was answered, skipped or cannot matter.
[[nodiscard]] Offer next_step(const Pack&, const Model&, const Visit&, const StepRules& = {});
/// The same where the grounds and the belief of this visit are at hand.
[[nodiscard]] Offer next_step(const Pack&, const Model&, const Visit&, const Grounds&, const Belief&,
                              const StepRules& = {});

/// What any step costs beside its own minutes: reading, wiping hands, and walking where the person does not stand.
[[nodiscard]] double overhead_minutes(Place there, Place here);
/// Where the person stands: at what was looked at or measured last, else at the pump.
[[nodiscard]] Place place_now(const Pack&, const Visit&);
/// Belief in the repair of this cause, all causes with the same one together.
[[nodiscard]] double mass_of_fix(const Pack&, const Belief&, std::size_t cause);

/// The likeliest cause that is worth a check and was neither tried in vain nor put aside.
[[nodiscard]] std::optional<std::size_t> cause_to_try(const Pack&, const Visit&, const Belief&, const StepRules& = {});

/// Checked and not it, or repaired without being all of it: not offered again in this visit.
[[nodiscard]] bool tried_in_vain(const Visit&, const std::string& cause);

/// Put aside by the person. What was doubted may come back when enough has been answered since.
[[nodiscard]] bool put_aside(const Visit&, const std::string& cause, const StepRules& = {});

/// Minutes spent so far by the pack's own prices: questions, measurements, checks and fixes of this visit.
[[nodiscard]] double minutes_spent(const Pack&, const Visit&);

} // namespace beckhand
