// Edit distance and what follows from it.
#include "engine/nearest.h"

#include <algorithm>

namespace beckhand {

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        row[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t changed = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({changed, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row[b.size()];
}

std::string nearest(std::string_view word, const std::vector<std::string>& known) {
    std::string best;
    std::size_t best_distance = std::max<std::size_t>(2, word.size() / 3) + 1;
    for (const std::string& candidate : known) {
        const std::size_t distance = edit_distance(word, candidate);
        if (distance < best_distance && distance < candidate.size()) {
            best = candidate;
            best_distance = distance;
        }
    }
    return best;
}

std::string did_you_mean(std::string_view word, const std::vector<std::string>& known) {
    const std::string near = nearest(word, known);
    if (!near.empty()) {
        return "Did you mean \"" + near + "\"?";
    }
    if (known.empty() || known.size() > 20) {
        return "";
    }
    std::string all = "Known are: ";
    for (std::size_t i = 0; i < known.size(); ++i) {
        all += (i == 0 ? "" : ", ") + known[i];
    }
    return all + ".";
}

} // namespace beckhand
