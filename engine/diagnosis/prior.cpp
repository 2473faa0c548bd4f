#include "engine/diagnosis/prior.h"

#include <algorithm>
#include <cmath>

#include "engine/calendar.h"

namespace beckhand {
namespace {

/// The month as it is in the north, 1 to 12.
int northern_month(const Visit& visit) {
    const int month = month_of(visit.opened_at.ms);
    return visit.site.hemisphere == Hemisphere::south ? (month + 5) % 12 + 1 : month;
}

bool came_back(const Pack& pack, const Visit& visit, const Cause& cause) {
    return !visit.past.empty() && visit.past.front().cause == cause.id &&
           visit.past.front().days <= pack.scale.returns_days;
}

std::string than_usual(double times) {
    return times > 1 ? "Likelier " : "Less likely ";
}

} // namespace

bool holds(const Context& context, const Visit& visit) {
    bool any = false;
    if (!context.months.empty()) {
        const double month = northern_month(visit);
        if (std::find(context.months.begin(), context.months.end(), month) == context.months.end()) return false;
        any = true;
    }
    if (!context.after.empty()) {
        const bool repaired = std::any_of(visit.past.begin(), visit.past.end(), [&](const PastRepair& past) {
            return past.cause == context.after && past.days <= context.within_days;
        });
        if (!repaired) return false;
        any = true;
    }
    if (!context.site.empty()) {
        const bool proved = visit.site.record.delivered.has_value();
        const bool fresh = !proved && visit.past.empty();
        if (context.site == "proved" ? !proved : !fresh) return false;
        any = true;
    }
    return any;
}

std::vector<double> learned_times(const Pack& pack, const std::map<std::string, double>& proved) {
    std::vector<double> times(pack.causes.size(), 1.0);
    double all = 0, weights = 0;
    for (const Cause& cause : pack.causes) {
        const auto found = proved.find(cause.id);
        all += found == proved.end() ? 0 : std::max(found->second, 0.0);
        weights += cause.per_1000;
    }
    if (!(all >= learns_from) || !std::isfinite(all)) return times;
    for (std::size_t c = 0; c < times.size(); ++c) {
        const auto found = proved.find(pack.causes[c].id);
        const double own = found == proved.end() ? 0 : std::max(found->second, 0.0);
        const double share = pack.causes[c].per_1000 / weights;
        times[c] = std::clamp((pack_counts_as * share + own) / ((pack_counts_as + all) * share), 1 / most_learned, most_learned);
    }
    return times;
}

std::vector<double> prior_times(const Pack& pack, const Visit& visit) {
    std::vector<double> times(pack.causes.size(), 1.0);
    for (const Context& context : pack.contexts) {
        if (!holds(context, visit)) continue;
        for (const Factor& factor : context.causes) {
            if (const Cause* const cause = find_cause(pack, factor.cause)) {
                times[index_of(pack.causes, cause)] *= factor.times;
            }
        }
    }
    const std::vector<double> learned = learned_times(pack, visit.learned);
    for (std::size_t c = 0; c < times.size(); ++c) {
        times[c] *= came_back(pack, visit, pack.causes[c]) ? pack.scale.returns : 1;
        times[c] = std::clamp(times[c], 1 / most_context, most_context) * learned[c];
    }
    return times;
}

std::vector<std::string> prior_words(const Pack& pack, const Visit& visit, std::size_t cause) {
    std::vector<std::string> words;
    if (cause >= pack.causes.size()) return words;
    for (const Context& context : pack.contexts) {
        for (const Factor& factor : context.causes) {
            if (factor.cause == pack.causes[cause].id && factor.times != 1 && holds(context, visit)) {
                words.push_back(than_usual(factor.times) + context.say + ".");
            }
        }
    }
    if (came_back(pack, visit, pack.causes[cause])) words.push_back("It was the last thing repaired here, not long ago.");
    const double learned = learned_times(pack, visit.learned)[cause];
    if (learned > 1.25 || learned < 0.8) words.push_back(than_usual(learned) + "by the repairs proved in this log.");
    return words;
}

} // namespace beckhand
