// Questions on flat arrays: how likely each answer is under each hypothesis that is kept.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/diagnosis/policy.h"

namespace beckhand {

/// A question cut down to the kept hypotheses. With a weight below one belief moves by the power of the
/// chance, while how often an answer comes is still the chance itself.
class Asking {
public:
    Asking(const Situation& situation, std::size_t question, const std::vector<std::size_t>& kept);
    [[nodiscard]] std::size_t answers() const { return answers_; }
    [[nodiscard]] double minutes() const { return minutes_; }
    /// Weights after an answer; they sum to the weight with which that answer comes. Returns that sum.
    double after(std::size_t answer, const double* weights, double* out) const;

private:
    std::size_t size_ = 0, answers_ = 0;
    double minutes_ = 0;
    std::vector<double> copied_, power_;
    const double* chance_ = nullptr;
};

/// Uncertainty of the shares, in nats, times their sum.
[[nodiscard]] double uncertainty(const std::vector<double>& shares);

} // namespace beckhand
