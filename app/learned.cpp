#include "app/learned.h"

#include <algorithm>
#include <cmath>

#include "engine/calendar.h"
#include "engine/diagnosis/prior.h"
#include "engine/quantity/text.h"

namespace beckhand {
namespace {

constexpr std::size_t most_past = 5;
constexpr double worth_saying = 1.1;   // in a list; beside a finding less is left unsaid (prior_words)

std::string whole(double number) { return fixed_text(number, 0); }

std::string how_far(double times) {
    return (times > 1 ? "likelier, " : "less likely, ") + fixed_text(times, times < 1 ? 2 : 1) + " times";
}

} // namespace

std::map<std::string, double> counted(const std::vector<ProvedRepair>& repairs) {
    std::map<std::string, double> counts;
    for (const ProvedRepair& repair : repairs) counts[repair.cause] += 1;
    return counts;
}

Recalled recalled_for(const std::vector<ProvedRepair>& repairs, const std::string& visit_id, const std::string& site_id,
                      Instant now, bool learning) {
    std::vector<ProvedRepair> earlier;
    for (const ProvedRepair& repair : repairs) {
        if (repair.visit_id != visit_id) earlier.push_back(repair);
    }
    Recalled recalled;
    for (const ProvedRepair& repair : earlier) {
        if (repair.site_id != site_id || recalled.past.size() == most_past) continue;
        // A clock that was set back makes no repair of the days to come.
        const double days = static_cast<double>(now.ms) / static_cast<double>(day_ms) - static_cast<double>(repair.at.ms) / static_cast<double>(day_ms);
        recalled.past.push_back({repair.cause, std::floor(std::max(days, 0.0))});
    }
    if (learning) recalled.learned = counted(earlier);
    return recalled;
}

Learned learned_from(const Pack& pack, const std::map<std::string, double>& counts) {
    Learned learned;
    const std::vector<double> times = learned_times(pack, counts);
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        const auto found = counts.find(pack.causes[c].id);
        const double count = found == counts.end() ? 0 : found->second;
        learned.proved += count;
        const bool far = times[c] > worth_saying || times[c] < 1 / worth_saying;
        if (count <= 0) learned.others = times[c];
        else if (far) learned.moved.push_back({c, count, times[c]});
    }
    std::stable_sort(learned.moved.begin(), learned.moved.end(), [](const Moved& a, const Moved& b) {
        return std::abs(std::log(a.times)) > std::abs(std::log(b.times));
    });
    return learned;
}

std::string words_of(const Learned& learned) {
    std::string words = learned.proved <= 0 ? "No proved repair counted yet."
                        : learned.proved == 1 ? "1 proved repair counted."
                                              : whole(learned.proved) + " proved repairs counted.";
    if (learned.proved < learns_from) words += " Fewer than " + whole(learns_from) + " move nothing.";
    return words;
}

std::string words_of(const Pack& pack, const Learned& learned, const Moved& moved) {
    return pack.causes[moved.cause].name + ": " + how_far(moved.times) + " (" + whole(moved.count) + " of " +
           whole(learned.proved) + ")";
}

std::vector<std::string> moved_lines(const Pack& pack, const Learned& learned, std::size_t most) {
    std::vector<std::string> lines;
    for (const Moved& moved : learned.moved) {
        if (lines.size() < most) lines.push_back(words_of(pack, learned, moved) + ".");
    }
    if (learned.others < 1) lines.push_back("Each cause without a repair here: " + how_far(learned.others) + ".");
    return lines;
}

} // namespace beckhand
