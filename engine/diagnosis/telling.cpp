#include "engine/diagnosis/telling.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>

#include "engine/diagnosis/policy_ask.h"

namespace beckhand {
namespace {

constexpr double useless = 0.01; // nats

} // namespace

std::optional<std::size_t> most_telling(const Situation& situation, const std::vector<double>& belief,
                                        const std::vector<std::size_t>& repair_of) {
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> numbers;
    std::vector<std::size_t> class_of;
    for (const Hypothesis& way : situation.hypotheses) {
        const std::pair<std::size_t, std::size_t> repairs{repair_of[way.first],
                                                          way.second == no_fault ? no_fault : repair_of[way.second]};
        class_of.push_back(numbers.try_emplace(repairs, numbers.size()).first->second);
    }
    std::vector<double> by_class(numbers.size()), after(belief.size());
    const auto unsure = [&](const std::vector<double>& weights) {
        std::fill(by_class.begin(), by_class.end(), 0.0);
        for (std::size_t h = 0; h < weights.size(); ++h) by_class[class_of[h]] += weights[h];
        return uncertainty(by_class);
    };
    std::vector<std::size_t> everything(belief.size());
    std::iota(everything.begin(), everything.end(), std::size_t{0});
    const double now = unsure(belief);
    std::optional<std::size_t> best;
    double most = 0;
    for (std::size_t q = 0; q < situation.questions.size(); ++q) {
        const Asking asking(situation, q, everything);
        double gain = now;
        for (std::size_t a = 0; a < asking.answers(); ++a) {
            asking.after(a, belief.data(), after.data());
            gain -= unsure(after);
        }
        const double worth = gain / asking.minutes();
        if (gain > useless && worth > most) {
            most = worth;
            best = q;
        }
    }
    return best;
}

} // namespace beckhand
