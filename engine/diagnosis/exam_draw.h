// A visit as the model itself imagines it, to measure the diagnosis with: what is wrong by how common it is, each
// answer by its chance under that, wrong answers and "cannot tell" as often as people give them. It says how well
// steps are chosen and how honest the belief is, and nothing of how well the pack describes real pumps.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "engine/diagnosis/model.h"
#include "engine/pump/ensemble.h"

namespace beckhand {

struct DrawnVisit {
    Hypothesis truth;
    std::vector<std::size_t> shows;               // by observation: the answer that is given
    std::array<std::vector<std::size_t>, 2> left; // the same once the first, or the second, of two faults is mended
    std::vector<std::size_t> shows_again;         // what a second look at the same thing gives: a slip of its own
    std::array<std::vector<std::size_t>, 2> left_again;
    std::vector<double> luck_again;               // of a check that is made once more
    std::vector<double> luck;                     // by cause, 0..1: below the chance of it, its check says yes
    [[nodiscard]] bool there(std::size_t cause) const { return truth.first == cause || truth.second == cause; }
};

/// Every visit of an exam is on this day, at a site of which nothing is known: what the program expects there before the
/// first question is what truths are drawn from.
inline constexpr Instant exam_day{1'780'272'000'000}; // 1 June 2026

/// An index by weight; the weights need not sum to one. The last one that weighs anything where rounding runs over.
[[nodiscard]] std::size_t drawn_index(const std::vector<double>& weights, double even);

/// Weights by hypothesis of what a truth is drawn from: one cause alone, or something else that the pack does not know;
/// two at once, all pairs or only those that the pack calls a chain; nothing wrong.
enum class Truths { one_cause, two_causes, two_in_a_chain, healthy };
[[nodiscard]] std::vector<double> weights_of(const Pack&, const Model&, Truths);

/// Uses as many random numbers whatever comes of them, so that visits with other slips are else the same visits.
/// `slips`: how many times oftener than the pack says this person's answers are wrong. After a repair that helped,
/// observations that the mended cause does not mark keep their answer. Of a group that says nearly the same thing, each
/// further answer is an echo of the first as often as the pack counts it as one (1 - group_repeat).
[[nodiscard]] DrawnVisit draw_visit(const Pack&, const Model&, const Hypothesis& truth, Person, double slips, Dice&);

} // namespace beckhand
