#include "engine/diagnosis/policy.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/diagnosis/policy_ahead.h"
#include "engine/diagnosis/policy_ask.h"
#include "engine/diagnosis/policy_plan.h"

namespace beckhand {
namespace {

// Belief below this share of the whole cannot move a choice.
constexpr double negligible = 1e-5;
// Questions weighed in full at a step, of those that tell most for their minutes.
constexpr std::size_t most_questions = 12;
constexpr double shortest = 1e-6;   // minutes; keeps what a question tells per minute finite
constexpr double least_gain = 1e-9; // nats: rounding

/// Hypotheses worth looking at, and what is left alone when one fault of a kept pair goes.
std::vector<std::size_t> worth_keeping(const Situation& situation, const std::vector<double>& belief) {
    const double sum = std::accumulate(belief.begin(), belief.end(), 0.0);
    std::vector<unsigned char> keep;
    for (const double share : belief)
        keep.push_back(share >= negligible * sum ? 1 : 0);
    return with_what_is_left(situation, keep);
}

std::vector<std::size_t> everything(const Situation& situation) {
    std::vector<std::size_t> kept(situation.hypotheses.size());
    std::iota(kept.begin(), kept.end(), std::size_t{0});
    return kept;
}

std::vector<double> scaled(std::vector<double> weights) {
    const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
    for (double& weight : weights)
        weight /= sum > 0 ? sum : 1;
    return weights;
}

struct Weighing {
    const Situation& situation;
    const PolicyRules& rules;
    std::vector<std::size_t> kept;
    Planner planner;
    std::vector<double> belief, failed, next;
    std::vector<std::size_t> classes;
    std::size_t class_count = 0;
    std::vector<double> by_class;

    Weighing(const Situation& p, const std::vector<double>& given, const PolicyRules& r)
        : situation(p), rules(r), kept(worth_keeping(p, given)), planner(p, kept) {
        for (const std::size_t h : kept)
            belief.push_back(given[h]);
        belief = scaled(belief);
        failed.resize(kept.size());
        next.resize(kept.size());
        classes = planner.classes();
        for (const std::size_t c : classes)
            class_count = std::max(class_count, c + 1);
        by_class.resize(class_count);
    }

    /// Uncertainty of weights about what to do, in nats, times their sum.
    double entropy(const std::vector<double>& weights) {
        std::fill(by_class.begin(), by_class.end(), 0.0);
        for (std::size_t i = 0; i < weights.size(); ++i)
            by_class[classes[i]] += weights[i];
        return uncertainty(by_class);
    }

    /// How much an answer to a question is expected to lower the uncertainty about what to do, in nats.
    double gain(const Asking& question, double now) {
        for (std::size_t a = 0; a < question.answers(); ++a) {
            question.after(a, belief.data(), next.data());
            now -= entropy(next);
        }
        return now;
    }

    /// The same cheaply: by how much the sum of squares of the belief in what to do is expected to rise.
    double spread(const Question& question) {
        const std::size_t all = situation.hypotheses.size();
        double sum = 0;
        for (std::size_t a = 0; a < question.answers; ++a) {
            const double* const chance = question.chance + a * all;
            std::fill(by_class.begin(), by_class.end(), 0.0);
            double total = 0;
            for (std::size_t i = 0; i < kept.size(); ++i) {
                const double weight = belief[i] * chance[kept[i]];
                by_class[classes[i]] += weight;
                total += weight;
            }
            double squares = 0;
            for (const double w : by_class)
                squares += w * w;
            if (total > 0)
                sum += squares / total;
        }
        return sum;
    }

    /// The questions that tell most for their minutes, as indexes, lowest first.
    std::vector<std::size_t> telling() {
        std::vector<std::pair<double, std::size_t>> order;
        double squares = 0;
        std::fill(by_class.begin(), by_class.end(), 0.0);
        for (std::size_t i = 0; i < belief.size(); ++i)
            by_class[classes[i]] += belief[i];
        for (const double w : by_class)
            squares += w * w;
        for (std::size_t q = 0; q < situation.questions.size(); ++q) {
            const Question& question = situation.questions[q];
            const double rise = (spread(question) - squares) * question.weight * question.weight;
            order.emplace_back(-rise / std::max(question.minutes, shortest), q);
        }
        std::sort(order.begin(), order.end());
        std::vector<std::size_t> few;
        for (std::size_t i = 0; i < order.size() && i < most_questions; ++i)
            few.push_back(order[i].second);
        std::sort(few.begin(), few.end());
        return few;
    }
};

} // namespace

Choice best_step(const Situation& situation, const std::vector<double>& given, const PolicyRules& rules) {
    if (const auto few = look_ahead(situation, given, rules.look_ahead))
        return *few;
    Weighing w(situation, given, rules);
    const Plan never = w.planner.plan_from_any(w.belief.data());
    Choice choice;
    choice.minutes = never.minutes;
    if (never.first != call_help) {
        choice.move = Move::repair;
        choice.index = w.planner.original(never.first);
    }
    std::vector<Asking> questions;
    const std::vector<std::size_t> original = w.telling();
    questions.reserve(original.size());
    for (const std::size_t q : original)
        questions.emplace_back(situation, q, w.kept);

    const double unsure = w.entropy(w.belief);
    std::vector<double> gains(questions.size());
    std::size_t quickest = 0;
    double rate = 0;
    for (std::size_t q = 0; q < questions.size(); ++q) {
        gains[q] = w.gain(questions[q], unsure);
        const double per_minute = gains[q] / std::max(questions[q].minutes(), shortest);
        if (gains[q] > least_gain && per_minute > rate) {
            rate = per_minute;
            quickest = q;
        }
    }
    if (rules.slack > 0 && rate > 0) {
        const std::vector<double> known = w.planner.known();
        double know = 0;
        for (std::size_t i = 0; i < known.size(); ++i)
            know += known[i] * w.belief[i];
        const double settled = know + rules.slack * unsure / rate;
        if (settled < never.minutes)
            return {Move::ask, original[quickest], settled, never.minutes - settled};
    }
    if (never.first != call_help)
        w.planner.after(never.first, w.belief.data(), w.failed.data());
    const double repair = never.first == call_help ? 0 : w.planner.minutes_of(never.first, w.belief.data());
    const double fails = std::accumulate(w.failed.begin(), w.failed.end(), 0.0);
    double best = never.minutes;
    for (std::size_t q = 0; q < questions.size(); ++q) {
        if (gains[q] <= least_gain)
            continue;
        double now = questions[q].minutes();
        bool moves = false;
        for (std::size_t a = 0; a < questions[q].answers(); ++a) {
            if (questions[q].after(a, w.belief.data(), w.next.data()) <= 0)
                continue;
            const Plan plan = w.planner.plan(w.next.data());
            now += plan.minutes;
            moves = moves || plan.first != never.first;
        }
        if (!moves || now >= best)
            continue;
        if (rules.repair_first && never.first != call_help) {
            w.planner.done[never.first] = 1;
            double late = repair + fails * questions[q].minutes();
            for (std::size_t a = 0; a < questions[q].answers(); ++a) {
                if (questions[q].after(a, w.failed.data(), w.next.data()) <= 0)
                    continue;
                late += w.planner.plan(w.next.data()).minutes;
            }
            w.planner.done[never.first] = 0;
            if (late <= now)
                continue;
        }
        best = now;
        choice = {Move::ask, original[q], now, never.minutes - now};
    }
    return choice;
}

double minutes_without_asking(const Situation& situation, const std::vector<double>& belief) {
    Planner planner(situation, everything(situation));
    return planner.plan_from_any(belief.data()).minutes;
}

std::vector<double> after_answer(const Situation& situation, const std::vector<double>& belief,
                                 std::size_t question, std::size_t answer) {
    const Asking asking(situation, question, everything(situation));
    std::vector<double> next(belief.size());
    asking.after(answer, belief.data(), next.data());
    return scaled(next);
}

std::vector<double> after_repair(const Situation& situation, const std::vector<double>& belief,
                                 std::size_t repair) {
    const Planner planner(situation, everything(situation));
    for (std::size_t r = 0; r < planner.repairs(); ++r) {
        if (planner.original(r) != repair)
            continue;
        std::vector<double> next(belief.size());
        planner.after(r, belief.data(), next.data());
        return scaled(next);
    }
    return belief;
}

} // namespace beckhand
