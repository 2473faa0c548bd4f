#include "engine/diagnosis/policy_ask.h"

#include <cmath>

namespace beckhand {

Asking::Asking(const Situation& situation, std::size_t question, const std::vector<std::size_t>& kept)
    : size_(kept.size()) {
    const Question& asked = situation.questions[question];
    answers_ = asked.answers;
    minutes_ = asked.minutes;
    chance_ = asked.chance;
    const std::size_t all = situation.hypotheses.size();
    if (size_ != all) {
        copied_.resize(answers_ * size_);
        for (std::size_t a = 0; a < answers_; ++a) {
            for (std::size_t i = 0; i < size_; ++i)
                copied_[a * size_ + i] = asked.chance[a * all + kept[i]];
        }
        chance_ = copied_.data();
    }
    if (asked.weight != 1) {
        power_.resize(answers_ * size_);
        // A half is what a repeated fact usually counts, and its root is quickly drawn.
        const bool half = asked.weight == 0.5;
        for (std::size_t i = 0; i < power_.size(); ++i) {
            power_[i] = half ? std::sqrt(chance_[i]) : std::pow(chance_[i], asked.weight);
        }
    }
}

double Asking::after(std::size_t answer, const double* weights, double* out) const {
    const double* const chance = chance_ + answer * size_;
    double comes = 0;
    if (power_.empty()) {
        for (std::size_t i = 0; i < size_; ++i) {
            out[i] = weights[i] * chance[i];
            comes += out[i];
        }
        return comes;
    }
    double sum = 0;
    const double* const power = power_.data() + answer * size_;
    for (std::size_t i = 0; i < size_; ++i) {
        comes += weights[i] * chance[i];
        out[i] = weights[i] * power[i];
        sum += out[i];
    }
    for (std::size_t i = 0; i < size_ && sum > 0; ++i)
        out[i] *= comes / sum;
    return comes;
}

double uncertainty(const std::vector<double>& shares) {
    double sum = 0;
    double total = 0;
    for (const double share : shares) {
        if (share <= 0)
            continue;
        sum -= share * std::log(share);
        total += share;
    }
    return total > 0 ? sum + total * std::log(total) : 0;
}

} // namespace beckhand
