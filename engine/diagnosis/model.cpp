#include "engine/diagnosis/model.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <string_view>
#include <utility>

namespace beckhand {
namespace {

double weight_of(Mark mark, bool normal, const Scale& scale) {
    switch (mark) {
    case Mark::typical: return normal ? scale.normal_typical : scale.typical;
    case Mark::likelier: return normal ? scale.normal_likelier : scale.likelier;
    case Mark::unlikelier: return scale.unlikelier;
    case Mark::nearly_excluded: return normal ? scale.normal_nearly_excluded : scale.nearly_excluded;
    }
    return 1;
}

void scale_to_one(std::vector<double>& chances) {
    const double sum = std::accumulate(chances.begin(), chances.end(), 0.0);
    for (double& chance : chances) {
        chance = sum > 0 ? chance / sum : 0;
    }
}

/// Chances of an observation's answers under one cause: what a cause does not mention stays normal.
std::vector<double> answer_chances(const Observation& observation, const std::vector<Seen>& marked, const Scale& scale) {
    std::map<std::string_view, Mark> marks;
    bool other_typical = false;
    bool other_likelier = false;
    for (const Seen& seen : marked) {
        const Answer* answer = seen.observation == observation.id ? find_answer(observation, seen.answer) : nullptr;
        if (answer == nullptr || answer->cannot) {
            continue;
        }
        marks[answer->id] = seen.mark;
        other_typical = other_typical || (!answer->normal && seen.mark == Mark::typical);
        other_likelier = other_likelier || (!answer->normal && seen.mark == Mark::likelier);
    }
    std::vector<double> chances;
    for (const Answer& answer : observation.answers) {
        double weight = scale.other_base;
        if (answer.normal) {
            weight = other_typical    ? scale.normal_if_other_typical
                     : other_likelier ? scale.normal_if_other_likelier
                                      : scale.normal_base;
        }
        const auto mark = marks.find(answer.id);
        if (mark != marks.end()) {
            weight = weight_of(mark->second, answer.normal, scale);
        }
        chances.push_back(answer.cannot ? 0 : weight);
    }
    scale_to_one(chances);
    return chances;
}

/// Two causes at once: it looks normal only where both leave it normal, against a pump on which nobody marked
/// anything; what is not normal is shared as either cause would show it (in the spirit of the noisy-OR). Where
/// an observation has no normal answer, either cause may be the one that is seen. A row holds the answers of one
/// cause side by side; `normal` says which of them are normal, `normals` how much each row gives to those.
class Both {
public:
    Both(const std::vector<std::vector<double>>& rows, const std::vector<double>& unmarked, const Observation& observation)
        : answers_(unmarked.size()), combined_(unmarked.size()) {
        for (const Answer& answer : observation.answers) normal_.push_back(answer.normal ? 1 : 0);
        for (const std::vector<double>& row : rows) {
            flat_.insert(flat_.end(), row.begin(), row.end());
            normals_.push_back(sum_of_normal(row));
        }
        normal_unmarked_ = sum_of_normal(unmarked);
    }

    /// The chances of causes `one` and `other` together, written `stride` apart.
    void write(std::size_t one, std::size_t other, double* out, std::size_t stride) {
        const double* const a = &flat_[one * answers_];
        const double* const b = &flat_[other * answers_];
        if (!(normal_unmarked_ > 0)) {
            for (std::size_t k = 0; k < answers_; ++k) out[k * stride] = (a[k] + b[k]) / 2;
            return;
        }
        // A cause that makes the normal answer surer than an unmarked pump does cannot undo what the other does to it.
        const double normal_a = normals_[one], normal_b = normals_[other];
        const double normal = std::min({normal_a * normal_b / normal_unmarked_, normal_a, normal_b});
        double normals = 0, others = 0;
        for (std::size_t k = 0; k < answers_; ++k) {
            combined_[k] = normal_[k] != 0 ? a[k] * b[k] : 1 - (1 - a[k]) * (1 - b[k]);
            (normal_[k] != 0 ? normals : others) += combined_[k];
        }
        const double scale_normal = normals > 0 ? normal / normals : 0;
        const double scale_other = others > 0 ? (1 - normal) / others : 0;
        for (std::size_t k = 0; k < answers_; ++k) {
            out[k * stride] = combined_[k] * (normal_[k] != 0 ? scale_normal : scale_other);
        }
    }

private:
    [[nodiscard]] double sum_of_normal(const std::vector<double>& row) const {
        double sum = 0;
        for (std::size_t k = 0; k < answers_; ++k) sum += normal_[k] != 0 ? row[k] : 0;
        return sum;
    }

    std::size_t answers_;
    double normal_unmarked_ = 0;
    std::vector<unsigned char> normal_;
    std::vector<double> flat_, normals_, combined_;
};

} // namespace

Model::Model(const Pack& pack) : scale_(pack.scale), causes_(pack.causes.size() + 1) {
    const std::size_t known = pack.causes.size();
    for (std::size_t c = 0; c <= known; ++c) {
        hypotheses_.push_back({c});
        per_1000_.push_back(c < known ? pack.causes[c].per_1000 : scale_.something_else);
        chained_.push_back(1);
    }
    std::set<std::pair<std::string, std::string>> chains;
    for (const Chain& chain : pack.chains) {
        chains.insert({chain.first, chain.then});
    }
    if (scale_.pairs > 0) {
        for (std::size_t a = 0; a < known; ++a) {
            for (std::size_t b = a + 1; b < known; ++b) {
                const Cause& one = pack.causes[a];
                const Cause& other = pack.causes[b];
                if (one.healthy || other.healthy || one.fix.id == other.fix.id) {
                    continue;
                }
                hypotheses_.push_back({a, b});
                const bool chained = chains.count({one.id, other.id}) > 0 || chains.count({other.id, one.id}) > 0;
                chained_.push_back(chained ? scale_.chain : 1);
            }
        }
    }
    prior_ = prior_with(std::vector<double>(known, 1.0));

    const double known_sum = std::accumulate(per_1000_.begin(), per_1000_.end() - 1, 0.0);
    std::map<std::string, std::size_t> group_index;
    for (const Observation& observation : pack.observations) {
        const std::size_t answers = observation.answers.size();
        std::vector<std::vector<double>> rows;
        std::vector<double> background(answers, 0.0);
        for (std::size_t c = 0; c < known; ++c) {
            rows.push_back(answer_chances(observation, pack.causes[c].seen, scale_));
            for (std::size_t a = 0; a < answers; ++a) {
                background[a] += rows[c][a] * per_1000_[c] / known_sum;
            }
        }
        // "Something else" expects the average answer, less sharply: it wins only where nothing named fits.
        std::vector<double> flat;
        for (const double chance : background) {
            flat.push_back(std::sqrt(chance));
        }
        scale_to_one(flat);
        rows.push_back(flat);
        const std::vector<double> unmarked = answer_chances(observation, {}, scale_);
        std::vector<double> table(answers * hypotheses_.size(), 0.0);
        Both both(rows, unmarked, observation);
        for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
            const Hypothesis& way = hypotheses_[h];
            if (way.second != no_fault) {
                both.write(way.first, way.second, &table[h], hypotheses_.size());
                continue;
            }
            for (std::size_t a = 0; a < answers; ++a) {
                table[a * hypotheses_.size() + h] = rows[way.first][a];
            }
        }
        table_.push_back(std::move(table));
        background_.push_back(std::move(background));
        std::vector<bool> cannot;
        for (const Answer& answer : observation.answers) {
            cannot.push_back(answer.cannot);
        }
        cannot_.push_back(std::move(cannot));
        slip_times_.push_back(observation.slip_times);
        const std::string group = observation.group.empty() ? "alone " + observation.id : observation.group;
        group_.push_back(group_index.try_emplace(group, group_index.size()).first->second);
    }
    groups_ = group_index.size();
}

double Model::slip_of(std::size_t observation, Person person) const {
    const double own = person == Person::keeper   ? scale_.slip
                       : person == Person::helper ? scale_.slip_helper
                                              : scale_.slip_newcomer;
    return std::min(own * slip_times_[observation], 0.5);
}

std::vector<double> Model::prior_with(const std::vector<double>& times) const {
    std::vector<double> single;
    for (std::size_t c = 0; c < causes_; ++c) {
        single.push_back(per_1000_[c] * (c < times.size() ? times[c] : 1));
    }
    scale_to_one(single);
    std::vector<double> prior = single;
    double pairs = 0;
    for (std::size_t h = causes_; h < hypotheses_.size(); ++h) {
        prior.push_back(chained_[h] * single[hypotheses_[h].first] * single[hypotheses_[h].second]);
        pairs += prior[h];
    }
    for (std::size_t h = 0; h < prior.size() && pairs > 0; ++h) {
        prior[h] *= h < causes_ ? 1 - scale_.pairs : scale_.pairs / pairs;
    }
    return prior;
}

std::vector<double> by_cause(const Model& model, const std::vector<double>& hypotheses) {
    std::vector<double> cause(model.causes(), 0.0);
    const auto& ways = model.hypotheses();
    for (std::size_t h = 0; h < ways.size(); ++h) {
        cause[ways[h].first] += hypotheses[h];
        if (ways[h].second != no_fault) cause[ways[h].second] += hypotheses[h];
    }
    return cause;
}

double apart_on(const Model& model, std::size_t observation, std::size_t first, std::size_t second) {
    double sum = 0;
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        const double p = model.likelihood(observation, first, a);
        const double q = model.likelihood(observation, second, a);
        sum += p > 0 && q > 0 ? (p - q) * std::log(p / q) : 0;
    }
    return sum;
}

} // namespace beckhand
