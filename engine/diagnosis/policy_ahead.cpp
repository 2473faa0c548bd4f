#include "engine/diagnosis/policy_ahead.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/diagnosis/policy_ask.h"
#include "engine/diagnosis/policy_plan.h"

namespace beckhand {
namespace {

constexpr std::size_t most_hypotheses = 8;
constexpr double nearly_all = 0.99;
// Answers and repairs weighed at a step. Three steps of 30 are 27,000 plans, most of which are never made;
// fewer where the single faults of pairs make each plan longer.
constexpr std::size_t most_branches = 30;
constexpr std::size_t most_branches_with_pairs = 22;
constexpr std::size_t most_repairs = 8;

/// The likeliest hypotheses that hold nearly all, with the single faults of their pairs; none when they are
/// many.
std::vector<std::size_t> the_few(const Situation& situation, const std::vector<double>& belief) {
    std::vector<std::size_t> order(belief.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const std::size_t few = std::min(most_hypotheses, order.size());
    std::partial_sort(
        order.begin(), order.begin() + static_cast<std::ptrdiff_t>(few), order.end(),
        [&](std::size_t a, std::size_t b) { return belief[a] != belief[b] ? belief[a] > belief[b] : a < b; });
    const double whole = std::accumulate(belief.begin(), belief.end(), 0.0);
    double held = 0;
    std::vector<unsigned char> keep(belief.size(), 0);
    for (std::size_t i = 0; i < few && belief[order[i]] > 0; ++i) {
        held += belief[order[i]];
        keep[order[i]] = 1;
    }
    if (held < nearly_all * whole)
        return {};
    return with_what_is_left(situation, keep);
}

class Ahead {
public:
    Ahead(const Situation& situation, const std::vector<double>& belief, const std::vector<std::size_t>& kept,
          int steps)
        : planner_(situation, kept), size_(kept.size()), known_(planner_.known()) {
        double sum = 0;
        for (const std::size_t h : kept)
            sum += belief[h];
        for (const std::size_t h : kept)
            belief_.push_back(belief[h] / sum);
        room_.resize(static_cast<std::size_t>(steps + 1) * size_);
        choose_repairs();
        choose_questions(situation, kept);
    }

    [[nodiscard]] Choice step(int steps) {
        const Plan never = planner_.plan(belief_.data());
        Choice choice{Move::help, 0, never.minutes, 0};
        if (never.first != call_help)
            choice = {Move::repair, planner_.original(never.first), never.minutes, 0};
        Found found;
        const double best = least(belief_.data(), steps, &found);
        if (best >= never.minutes)
            return choice;
        if (found.repair != call_help)
            return {Move::repair, planner_.original(found.repair), best, 0};
        return {Move::ask, original_[found.question], best, never.minutes - best};
    }

private:
    struct Found {
        std::size_t repair = call_help, question = 0;
    };

    double entropy(const double* w) const {
        double sum = 0;
        double total = 0;
        for (std::size_t i = 0; i < size_; ++i) {
            if (w[i] > 0)
                sum -= w[i] * std::log(w[i]);
            total += w[i];
        }
        return total > 0 ? sum + total * std::log(total) : 0;
    }

    /// By belief per minute, as long as there is room.
    void choose_repairs() {
        std::vector<std::pair<double, std::size_t>> order;
        for (std::size_t r = 0; r < planner_.repairs(); ++r) {
            planner_.after(r, belief_.data(), room_.data());
            double cured = 0;
            for (std::size_t i = 0; i < size_; ++i)
                cured += std::max(belief_[i] - room_[i], 0.0);
            order.emplace_back(-cured / planner_.minutes_of(r, belief_.data()), r);
        }
        std::sort(order.begin(), order.end());
        for (std::size_t i = 0; i < order.size() && i < most_repairs; ++i)
            repairs_.push_back(order[i].second);
    }

    /// By what they tell per minute, as long as there is room for their answers.
    void choose_questions(const Situation& situation, const std::vector<std::size_t>& kept) {
        std::vector<Asking> all;
        all.reserve(situation.questions.size());
        std::vector<std::pair<double, std::size_t>> order;
        const double now = entropy(belief_.data());
        for (std::size_t q = 0; q < situation.questions.size(); ++q) {
            all.emplace_back(situation, q, kept);
            double gain = now;
            for (std::size_t a = 0; a < all[q].answers(); ++a) {
                all[q].after(a, belief_.data(), room_.data());
                gain -= entropy(room_.data());
            }
            if (gain > 1e-9)
                order.emplace_back(-gain / std::max(all[q].minutes(), 1e-6), q);
        }
        std::sort(order.begin(), order.end());
        std::size_t branches = repairs_.size();
        for (const auto& entry : order) {
            const std::size_t q = entry.second;
            branches += all[q].answers();
            if (branches > (size_ > most_hypotheses ? most_branches_with_pairs : most_branches))
                break;
            original_.push_back(q);
            questions_.push_back(std::move(all[q]));
        }
        asked_.assign(questions_.size(), 0);
    }

    double if_known(const double* w) const {
        double sum = 0;
        for (std::size_t i = 0; i < size_; ++i)
            sum += known_[i] * w[i];
        return sum;
    }

    double least(const double* w, int steps, Found* found) {
        const Plan never = planner_.plan(w);
        double best = never.minutes;
        if (found != nullptr)
            found->repair = never.first;
        const double bound = if_known(w); // nothing can be cheaper than knowing what it is
        if (steps == 0 || bound >= best)
            return best;
        double* const next = room_.data() + static_cast<std::size_t>(steps - 1) * size_;
        const double weight = std::accumulate(w, w + size_, 0.0);
        for (std::size_t q = 0; q < questions_.size(); ++q) {
            const double cost = questions_[q].minutes() * weight;
            if (asked_[q] != 0 || cost + bound >= best)
                continue;
            asked_[q] = 1;
            double sum = cost;
            double rest = bound;
            for (std::size_t a = 0; a < questions_[q].answers() && sum + rest < best; ++a) {
                questions_[q].after(a, w, next);
                rest -= if_known(next);
                sum += least(next, steps - 1, nullptr);
            }
            asked_[q] = 0;
            if (sum + std::max(rest, 0.0) < best) {
                best = sum;
                if (found != nullptr)
                    *found = {call_help, q};
            }
        }
        for (const std::size_t r : repairs_) {
            if (planner_.done[r] != 0)
                continue;
            const double cost = planner_.minutes_of(r, w);
            if (cost >= best)
                continue;
            planner_.after(r, w, next);
            if (cost + if_known(next) >= best)
                continue;
            planner_.done[r] = 1;
            const double sum = cost + least(next, steps - 1, nullptr);
            planner_.done[r] = 0;
            if (sum < best) {
                best = sum;
                if (found != nullptr)
                    found->repair = r;
            }
        }
        return best;
    }

    Planner planner_;
    std::size_t size_;
    std::vector<double> known_, belief_, room_;
    std::vector<std::size_t> repairs_, original_;
    std::vector<Asking> questions_;
    std::vector<unsigned char> asked_;
};

} // namespace

std::optional<Choice> look_ahead(const Situation& situation, const std::vector<double>& belief, int steps) {
    const std::vector<std::size_t> kept = the_few(situation, belief);
    if (kept.empty() || steps < 1)
        return std::nullopt;
    Ahead ahead(situation, belief, kept, steps);
    return ahead.step(steps);
}

} // namespace beckhand
