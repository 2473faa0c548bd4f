#include "engine/records/due.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/calendar.h"

namespace beckhand {
namespace {

// Done up to so long before its day, a season's work counts for it; so long after, the season is past.
constexpr std::int64_t early_ms = 60 * day_ms, late_ms = 60 * day_ms;

bool lately(const Visit& visit, Instant now) {
    return static_cast<double>(now.ms - visit.opened_at.ms) <= comes_back_months * month_ms;
}

Instant later(Instant at, double months) { return {at.ms + std::llround(months * month_ms)}; }

bool taken_at(const Visit& visit, const std::string& measurement) {
    if (visit.as_found.contains(measurement)) return true;
    return std::any_of(visit.attempts.begin(), visit.attempts.end(),
                       [&](const Attempt& a) { return a.proof.contains(measurement); });
}

bool repaired_at(const Visit& visit, const std::string& cause) {
    return std::any_of(visit.attempts.begin(), visit.attempts.end(), [&](const Attempt& a) {
        return a.cause == cause && a.repaired() && a.verdict != Verdict::not_it;
    });
}

bool done_at(const Visit& visit, const Service& service) {
    if (std::find(visit.serviced.begin(), visit.serviced.end(), service.id) != visit.serviced.end()) return true;
    if (std::any_of(service.done_by.begin(), service.done_by.end(),
                    [&](const std::string& cause) { return repaired_at(visit, cause); }))
        return true;
    return !service.measured.empty() &&
           std::all_of(service.measured.begin(), service.measured.end(),
                       [&](const std::string& id) { return taken_at(visit, id); });
}

/// The day of the season that is to be met: this year's until it is done or long past, also at a site that is new, else the
/// next one.
Instant season_day(double month, std::optional<Instant> last, Instant now) {
    for (int year = year_of(now.ms) - 1;; ++year) {
        const Instant day{first_of_month(year, static_cast<int>(month))};
        const bool done = last && last->ms >= day.ms - early_ms;
        if (!done && now.ms <= day.ms + late_ms) return day;
    }
}

std::vector<std::string> joined(const std::vector<std::string>& first, const std::vector<std::string>& second) {
    std::vector<std::string> all = first;
    all.insert(all.end(), second.begin(), second.end());
    return all;
}

Due due_of(const Service& service, const std::vector<const Visit*>& visits, Instant now, bool southern) {
    Due due;
    due.id = service.id;
    due.name = service.name;
    due.say = service.say;
    due.months = service.every_months;
    due.carry = joined(service.tools, service.parts);
    due.cautions = service.cautions;
    for (const Visit* visit : visits) {
        if (done_at(*visit, service)) due.last = visit->opened_at;
    }
    const Instant from = visits.front()->opened_at;
    if (service.every_months > 0) due.at = later(due.last.value_or(from), service.every_months);
    if (service.month >= 1) {
        const double month = southern ? std::fmod(service.month + 5, 12.0) + 1 : service.month;
        const Instant season = season_day(month, due.last, now);
        if (service.every_months <= 0 || season < due.at) {
            due.at = season;
            due.by = DueBy::season;
            due.before = service.before;
        }
    }
    return due;
}

/// What came back at this site, whatever the pack plans.
std::vector<Due> by_history(const Pack& pack, const std::vector<const Visit*>& visits, Instant now) {
    std::vector<Due> list;
    for (const Cause& cause : pack.causes) {
        Due due;
        for (const Visit* visit : visits) {
            if (lately(*visit, now) && repaired_at(*visit, cause.id)) due.times.push_back(visit->opened_at);
        }
        if (static_cast<int>(due.times.size()) < comes_back_times) continue;
        const double gaps = static_cast<double>(due.times.size() - 1);
        due.id = cause.id;
        due.by = DueBy::history;
        due.name = cause.name;
        due.say = cause.fix.keep;
        due.last = due.times.back();
        due.months = static_cast<double>(due.times.back().ms - due.times.front().ms) / month_ms / gaps;
        due.at = later(due.times.back(), due.months);
        due.carry = joined(cause.fix.tools, cause.fix.parts);
        due.cautions = cause.fix.cautions;
        list.push_back(std::move(due));
    }
    return list;
}

std::vector<const Visit*> oldest_first(std::span<const Visit> visits) {
    std::vector<const Visit*> in_order;
    for (const Visit& visit : visits) in_order.push_back(&visit);
    std::stable_sort(in_order.begin(), in_order.end(),
                     [](const Visit* a, const Visit* b) { return a->opened_at < b->opened_at; });
    return in_order;
}

} // namespace

std::vector<Due> due_at(const Pack& pack, std::span<const Visit> visits, Instant now, bool southern) {
    const std::vector<const Visit*> in_order = oldest_first(visits);
    if (in_order.empty()) return {};
    std::vector<Due> list = by_history(pack, in_order, now);
    for (const Service& service : pack.services) list.push_back(due_of(service, in_order, now, southern));
    std::stable_sort(list.begin(), list.end(), [](const Due& a, const Due& b) { return a.at < b.at; });
    return list;
}

std::vector<PartUsedOften> parts_used_often(std::span<const Visit> visits, Instant now) {
    std::map<std::string, PartUsedOften> by_part;
    for (const Visit* visit : oldest_first(visits)) {
        if (!lately(*visit, now)) continue;
        for (const auto& [part, count] : visit->parts_used) {
            PartUsedOften& often = by_part[part];
            often.part = part;
            often.count += count;
            often.times.push_back(visit->opened_at);
        }
    }
    std::vector<PartUsedOften> list;
    for (auto& [part, often] : by_part) {
        if (static_cast<int>(often.times.size()) >= comes_back_times) list.push_back(std::move(often));
    }
    std::stable_sort(list.begin(), list.end(),
                     [](const PartUsedOften& a, const PartUsedOften& b) { return a.count > b.count; });
    return list;
}

std::vector<std::string> to_carry(std::span<const Due> due, Instant until) {
    std::vector<std::string> carry;
    for (const Due& one : due) {
        if (until < one.at) continue;
        for (const std::string& thing : one.carry) {
            if (std::find(carry.begin(), carry.end(), thing) == carry.end()) carry.push_back(thing);
        }
    }
    return carry;
}

} // namespace beckhand
