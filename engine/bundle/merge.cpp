#include "engine/bundle/merge.h"

#include <set>

#include "engine/records/erasing.h"

namespace beckhand::bundle {
namespace {

void heed_wishes(LogSlice& slice) {
    std::set<std::string> wished;
    for (const auto& [name, entry] : slice.entries) {
        if (about(entry) == About::person)
            wished.insert(entry.subject);
    }
    for (auto& [name, entry] : slice.entries) {
        if (!wished.empty())
            heed(entry, wished);
    }
}

std::map<std::string, std::vector<const LogEntry*>> groups(const LogSlice& slice, About wanted) {
    std::map<std::string, std::vector<const LogEntry*>> groups;
    for (const auto& [name, entry] : slice.entries) {
        if (about(entry) == wanted)
            groups[entry.subject].push_back(&entry);
    }
    return groups;
}

} // namespace

LogSlice merge(const LogSlice& one, const LogSlice& other) {
    LogSlice both = one;
    for (const auto& [name, entry] : other.entries) {
        const auto [place, is_new] = both.entries.emplace(name, entry);
        if (!is_new)
            join_erased(place->second, entry);
    }
    heed_wishes(both);
    return both;
}

LogSlice erase_person(const LogSlice& slice, const std::string& name, LogEntry wish) {
    LogSlice erased = slice;
    for (auto& [entry_name, entry] : erased.entries) {
        erase_mention(entry, name);
    }
    wish.subject = person_mark(name);
    wish.place = 1;
    wish.kind = erase_wish_kind;
    wish.json = "{}";
    erased.add(std::move(wish));
    heed_wishes(erased);
    return erased;
}

std::vector<SiteView> sites_of(const LogSlice& slice) {
    std::vector<SiteView> sites;
    for (const auto& [id, sheets] : groups(slice, About::site)) {
        sites.push_back(site_view(id, sheets));
    }
    return sites;
}

std::vector<VisitView> visits_of(const LogSlice& slice) {
    std::vector<VisitView> visits;
    for (const auto& [id, entries] : groups(slice, About::visit)) {
        visits.push_back(visit_view(id, entries));
    }
    return visits;
}

} // namespace beckhand::bundle
