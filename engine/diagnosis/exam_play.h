// A drawn visit played through the program's own events: a policy asks, the drawn person answers, causes are checked
// and mended until it is proved or help is called.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/diagnosis/exam_draw.h"
#include "engine/diagnosis/next_step.h"
#include "engine/diagnosis/pump_evidence.h"

namespace beckhand {

/// Who decides what to do next.
enum class ExamPolicy {
    ours,              // next_step as the program uses it
    no_second_look,    // the same, calling for help without looking at anything once more
    one_step,          // ours without the rule for bundles, without repairing first and without looking ahead
    telling_plan,      // the most telling question until one repair holds 0.8, then the cheapest order of repairs
    telling_belief,    // the same, then repairs in the order of belief
    telling_on,        // as telling_plan, asking on until then however many questions it takes
    walk               // no questions: every cause's check, from the intake to the tank
};
/// From so much belief in one repair on, a policy of the most telling question repairs.
inline constexpr double telling_until = 0.80;

/// How the belief stood at some moment of a visit.
struct Standing {
    double chance = 0;                        // belief in the leader
    bool right = false, in_three = false;     // the leader, or one of the first three, is (one of) what is wrong
    bool mends = false, mends_in_three = false; // the same, or its repair is the one that is needed
};
[[nodiscard]] Standing standing_of(const Pack&, const Belief&, const Hypothesis& truth);

struct ExamPlay {
    double minutes = 0;                       // all of it, help included
    int asked = 0;                            // questions and figures; told ones not counted
    double asking_minutes = 0;                // theirs, with reading and walking
    double walking_minutes = 0;               // of those, walking to another place
    bool proved = false;                      // put right here, without help
    int repairs_in_vain = 0;
    std::vector<std::size_t> mended;          // what was wrong and is mended, in that order
    std::vector<std::size_t> named;           // mended, or leading when help was called
    std::optional<Standing> first_finding;    // when a cause was offered first
};

/// A visit at a site whose sheet is filled in, where whoever measures reads the figure of a real pump.
struct SiteWithFigures {
    Site site;                                // with its healthy record
    std::map<std::string, double> found;      // by measurement, as this person would read it
    const PumpEvidence* evidence = nullptr;   // of that site
};

/// `measured`: without it nothing is known of the site, and figures are drawn from the table like answers.
[[nodiscard]] ExamPlay play_drawn(const Pack&, const Model&, const DrawnVisit&, Person, ExamPolicy,
                                  const SiteWithFigures* measured = nullptr);

/// The visit before each step of it, as played by our rule: to measure what a step costs.
[[nodiscard]] std::vector<Visit> moments_of(const Pack&, const Model&, const DrawnVisit&, Person);

/// Minutes of somebody who knows what is wrong: its check and its repair, help where the check does not find it.
[[nodiscard]] double minutes_of_knowing(const Pack&, const DrawnVisit&);

/// Only asks, `counts` (rising) answers, and says how the belief stands after each of these; where nothing is left
/// to ask, as it stood at the end. By the policy's order, or by the most telling question for its minutes.
[[nodiscard]] std::vector<Standing> play_questions(const Pack&, const Model&, const DrawnVisit&, Person, bool most_telling,
                                                   const std::vector<int>& counts);

/// The visit in which all observations were answered.
[[nodiscard]] Visit all_answered(const Pack&, const DrawnVisit&, Person);

} // namespace beckhand
