#include "engine/diagnosis/policy_plan.h"

#include <algorithm>

namespace beckhand {
namespace {

constexpr std::size_t none = no_fault;
constexpr double shortest_check = 1e-6; // minutes; keeps belief per minute finite

} // namespace

Planner::Planner(const Situation& situation, const std::vector<std::size_t>& kept)
    : help_(situation.help_minutes) {
    // Only faults that are kept, numbered anew; the last place of each row stands for "no fault" and is never
    // cured.
    std::vector<std::size_t> number(situation.faults, none);
    const auto numbered = [&](std::size_t fault) {
        if (fault >= situation.faults)
            return none;
        if (number[fault] == none)
            number[fault] = faults_++;
        return number[fault];
    };
    for (const std::size_t h : kept) {
        const Hypothesis& hypothesis = situation.hypotheses[h];
        Place place{numbered(hypothesis.first), numbered(hypothesis.second), none, none};
        if (place.first == none || place.first == place.second) {
            place.first = place.first == none ? place.second : place.first;
            place.second = none;
        }
        places_.push_back(place);
    }
    width_ = faults_ + 1;
    std::vector<std::size_t> single(faults_, none);
    for (std::size_t i = 0; i < places_.size(); ++i) {
        if (places_[i].second == none && places_[i].first != none && single[places_[i].first] == none) {
            single[places_[i].first] = i;
        }
    }
    for (std::size_t i = 0; i < places_.size(); ++i) {
        Place& place = places_[i];
        if (place.second != none) {
            pairs_.push_back(i);
            place.single_of_first = single[place.first];
            place.single_of_second = single[place.second];
        }
        place.first = std::min(place.first, faults_);
        place.second = std::min(place.second, faults_);
    }
    begin_.push_back(0);
    least_check_ = help_;
    for (std::size_t r = 0; r < situation.repairs.size(); ++r) {
        const Repair& repair = situation.repairs[r];
        for (std::size_t f = 0; f < situation.faults && f < repair.cures.size(); ++f) {
            if (number[f] != none && repair.cures[f] > 0)
                cures_.push_back({number[f], repair.cures[f], 0});
        }
        if (cures_.size() == begin_.back())
            continue;
        begin_.push_back(cures_.size());
        original_.push_back(r);
        check_.push_back(std::max(repair.check_minutes, shortest_check));
        fix_.push_back(repair.fix_minutes);
        least_check_ = std::min(least_check_, check_.back());
        table_.resize(check_.size() * width_, 0.0);
        for (std::size_t c = begin_[check_.size() - 1]; c < cures_.size(); ++c) {
            table_[(check_.size() - 1) * width_ + cures_[c].fault] = cures_[c].chance;
        }
    }
    std::vector<double> shortest(faults_, std::numeric_limits<double>::infinity());
    for (std::size_t r = 0; r < check_.size(); ++r) {
        for (std::size_t c = begin_[r]; c < begin_[r + 1]; ++c) {
            shortest[cures_[c].fault] = std::min(shortest[cures_[c].fault], fix_[r]);
        }
    }
    for (std::size_t r = 0; r < check_.size(); ++r) {
        for (std::size_t c = begin_[r]; c < begin_[r + 1]; ++c)
            cures_[c].longer = fix_[r] - shortest[cures_[c].fault];
    }
    done.assign(check_.size(), 0);
    open_.resize(check_.size());
    both_.assign(pairs_.empty() ? 0 : width_ * width_, 0.0);
    left_.resize(width_);
    credit_.resize(width_);
    all_.resize(width_);
    next_.resize(places_.size());
}

Plan Planner::plan(const double* weights) {
    // left: chance that a fault is still there. credit: weight that curing a fault is worth; of two faults
    // the first that goes counts half, the second, which ends it, whole. all: weight of the hypotheses with a
    // fault.
    std::fill(left_.begin(), left_.end(), 1.0);
    std::fill(all_.begin(), all_.end(), 0.0);
    double open_weight = 0;
    if (pairs_.empty()) {
        for (std::size_t i = 0; i < places_.size(); ++i) {
            all_[places_[i].first] += weights[i];
            open_weight += weights[i];
        }
        credit_ = all_;
    } else {
        std::fill(credit_.begin(), credit_.end(), 0.0);
        for (const std::size_t i : pairs_) {
            both_[places_[i].first * width_ + places_[i].second] = 0;
            both_[places_[i].second * width_ + places_[i].first] = 0;
        }
        for (std::size_t i = 0; i < places_.size(); ++i) {
            const Place& place = places_[i];
            open_weight += weights[i];
            all_[place.first] += weights[i];
            if (place.second == faults_)
                continue;
            all_[place.second] += weights[i];
            credit_[place.first] -= 0.5 * weights[i];
            credit_[place.second] -= 0.5 * weights[i];
            both_[place.first * width_ + place.second] += weights[i];
            both_[place.second * width_ + place.first] += weights[i];
        }
        for (std::size_t f = 0; f < width_; ++f)
            credit_[f] += all_[f];
    }
    std::size_t count = 0;
    for (std::size_t r = 0; r < check_.size(); ++r) {
        if (!done[r])
            open_[count++] = r;
    }
    Plan best{open_weight * help_, call_help};
    std::size_t first = call_help;
    double spent = 0;
    while (count > 0) {
        double hope = 0;
        double top = 0;
        std::size_t at = count;
        for (std::size_t i = 0; i < count; ++i) {
            const std::size_t r = open_[i];
            double gain = 0;
            double needless = 0; // minutes of this fix beyond the shortest one that would do
            for (std::size_t c = begin_[r]; c < begin_[r + 1]; ++c) {
                const double gone = cures_[c].chance * left_[cures_[c].fault];
                gain += gone * credit_[cures_[c].fault];
                needless += gone * all_[cures_[c].fault] * cures_[c].longer;
            }
            hope += gain;
            if (gain > top * (check_[r] * open_weight + needless)) {
                top = gain / (check_[r] * open_weight + needless);
                at = i;
            }
        }
        // All that is left together cannot pay for one more check (credit is at least half of what it ends).
        if (at == count || help_ * 2 * hope < least_check_ * open_weight)
            break;
        const std::size_t r = open_[at];
        first = first == call_help ? r : first;
        double found = 0;
        double solved = 0;
        for (std::size_t c = begin_[r]; c < begin_[r + 1]; ++c) {
            const std::size_t f = cures_[c].fault;
            const double gone = cures_[c].chance * left_[f];
            found += gone * all_[f];
            for (std::size_t other = begin_[r]; !pairs_.empty() && other < c;
                 ++other) { // both found in one look
                found -= gone * cures_[other].chance * left_[cures_[other].fault] *
                         both_[f * width_ + cures_[other].fault];
            }
        }
        for (std::size_t c = begin_[r]; c < begin_[r + 1]; ++c) {
            const std::size_t f = cures_[c].fault;
            const double gone = cures_[c].chance * left_[f];
            solved += gone * (2 * credit_[f] - all_[f]);
            left_[f] -= gone;
            if (pairs_.empty())
                continue;
            const double* const row = &both_[f * width_];
            for (std::size_t g = 0; g < width_; ++g)
                credit_[g] += 0.5 * gone * row[g];
        }
        spent += check_[r] * open_weight + fix_[r] * found;
        open_weight = std::max(open_weight - solved, 0.0);
        if (spent + open_weight * help_ < best.minutes)
            best = {spent + open_weight * help_, first};
        --count;
        std::move(open_.begin() + static_cast<std::ptrdiff_t>(at) + 1,
                  open_.begin() + static_cast<std::ptrdiff_t>(count) + 1,
                  open_.begin() + static_cast<std::ptrdiff_t>(at));
    }
    return best;
}

Plan Planner::plan_from_any(const double* weights) {
    const Plan row = plan(weights);
    Plan best = row;
    for (std::size_t r = 0; r < check_.size(); ++r) {
        const double minutes = done[r] != 0 || r == row.first ? best.minutes : minutes_of(r, weights);
        if (minutes >= best.minutes)
            continue;
        after(r, weights, next_.data());
        done[r] = 1;
        const double sum = minutes + plan(next_.data()).minutes;
        done[r] = 0;
        if (sum < best.minutes * (1 - 1e-12))
            best = {sum, r}; // a tie stays with the row
    }
    return best;
}

double Planner::minutes_of(std::size_t repair, const double* weights) const {
    double sum = 0;
    double found = 0;
    for (std::size_t i = 0; i < places_.size(); ++i) {
        const double missed =
            (1 - chance(repair, places_[i].first)) * (1 - chance(repair, places_[i].second));
        sum += weights[i];
        found += weights[i] * (1 - missed);
    }
    return check_[repair] * sum + fix_[repair] * found;
}

void Planner::after(std::size_t repair, const double* weights, double* out) const {
    for (std::size_t i = 0; i < places_.size(); ++i) {
        out[i] = weights[i] * (1 - chance(repair, places_[i].first));
    }
    for (const std::size_t i : pairs_) {
        const Place& place = places_[i];
        const double first = chance(repair, place.first);
        const double second = chance(repair, place.second);
        double stays = (1 - first) * (1 - second);
        const double only_second = first * (1 - second); // the first is gone, the second is left
        const double only_first = (1 - first) * second;
        // Where one fault alone is no hypothesis, the pair goes on standing for it.
        if (place.single_of_second == none)
            stays += only_second;
        else
            out[place.single_of_second] += weights[i] * only_second;
        if (place.single_of_first == none)
            stays += only_first;
        else
            out[place.single_of_first] += weights[i] * only_first;
        out[i] = weights[i] * stays;
    }
}

std::vector<double> Planner::known() {
    // Small plans of their own: only the repairs that help a hypothesis matter to it.
    std::vector<std::vector<std::size_t>> helps(width_);
    for (std::size_t r = 0; r < check_.size(); ++r) {
        for (std::size_t c = begin_[r]; c < begin_[r + 1]; ++c) {
            if (!done[r])
                helps[cures_[c].fault].push_back(r);
        }
    }
    std::vector<double> minutes;
    std::vector<std::size_t> repairs, order;
    for (const Place& place : places_) {
        repairs = helps[place.first];
        for (const std::size_t r : helps[place.second]) {
            if (chance(r, place.first) <= 0)
                repairs.push_back(r);
        }
        // Whatever comes first, the rest follows by chance per minute.
        double best = help_;
        for (const std::size_t first : repairs)
            best = std::min(best, known_from(place, first, repairs, order));
        minutes.push_back(best);
    }
    return minutes;
}

double Planner::known_from(const Place& place, std::size_t start, const std::vector<std::size_t>& repairs,
                           std::vector<std::size_t>& open) const {
    open = repairs;
    double first = place.first == faults_ ? 0 : 1; // chance that it is still there
    double second = place.second == faults_ ? 0 : 1;
    double spent = 0;
    double left = 1;
    double best = help_;
    std::size_t at = static_cast<std::size_t>(std::find(open.begin(), open.end(), start) - open.begin());
    while (true) {
        const std::size_t r = open[at];
        open.erase(open.begin() + static_cast<std::ptrdiff_t>(at));
        const double gone = first * chance(r, place.first);
        const double gone_too = second * chance(r, place.second);
        spent += check_[r] * left + fix_[r] * (1 - (1 - gone) * (1 - gone_too));
        first -= gone;
        second -= gone_too;
        left = first + second - first * second;
        best = std::min(best, spent + left * help_);
        if (open.empty())
            return best;
        double top = -1;
        for (std::size_t i = 0; i < open.size(); ++i) {
            const double gain = chance(open[i], place.first) * first * (1 - second / 2) +
                                chance(open[i], place.second) * second * (1 - first / 2);
            if (gain > top * check_[open[i]]) {
                top = gain / check_[open[i]];
                at = i;
            }
        }
    }
}

std::vector<std::size_t> Planner::classes() const {
    std::vector<std::size_t> of_fault(width_);
    const auto same = [&](std::size_t f, std::size_t g) {
        for (std::size_t r = 0; r < check_.size(); ++r) {
            if ((chance(r, f) > 0) != (chance(r, g) > 0))
                return false;
        }
        return true;
    };
    for (std::size_t f = 0; f < width_; ++f) {
        of_fault[f] = f;
        for (std::size_t g = 0; g < f; ++g) {
            if (same(f, g)) {
                of_fault[f] = of_fault[g];
                break;
            }
        }
    }
    std::vector<std::size_t> seen(width_ * width_, none);
    std::vector<std::size_t> numbers;
    std::size_t count = 0;
    for (const Place& place : places_) {
        std::size_t first = of_fault[place.first];
        std::size_t second = place.second == faults_ ? first : of_fault[place.second];
        if (first > second)
            std::swap(first, second);
        std::size_t& number = seen[first * width_ + second];
        if (number == none)
            number = count++;
        numbers.push_back(number);
    }
    return numbers;
}

std::vector<std::size_t> with_what_is_left(const Situation& situation, const std::vector<unsigned char>& keep) {
    const auto pair = [](const Hypothesis& h) { return h.first != no_fault && h.second != no_fault; };
    std::vector<unsigned char> part_of_pair(situation.faults, 0);
    for (std::size_t h = 0; h < keep.size(); ++h) {
        const Hypothesis& it = situation.hypotheses[h];
        if (keep[h] != 0 && pair(it))
            part_of_pair[it.first] = part_of_pair[it.second] = 1;
    }
    std::vector<std::size_t> kept;
    for (std::size_t h = 0; h < keep.size(); ++h) {
        const Hypothesis& it = situation.hypotheses[h];
        const bool needed = !pair(it) && it.first != no_fault && part_of_pair[it.first] != 0;
        if (keep[h] != 0 || needed)
            kept.push_back(h);
    }
    return kept;
}

} // namespace beckhand
