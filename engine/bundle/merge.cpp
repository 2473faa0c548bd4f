#include "engine/bundle/merge.h"

#include <algorithm>
#include <set>

#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"

namespace beckhand::bundle {
namespace {

using Json = nlohmann::json;

bool is_note(const Entry& entry) {
    if (entry.about != About::visit || entry.json_erased)
        return false;
    const Result<Happening> what = happening_from_json(entry.json);
    return what && std::holds_alternative<Noted>(*what);
}

void erase_json(Entry& entry) {
    entry.json_erased = mark_of(entry.json, entry.json_salt);
    entry.json.clear();
    entry.json_salt.clear();
}

void erase_by(Entry& entry) {
    if (is_note(entry))
        erase_json(entry);
    entry.by_erased = mark_of(entry.by, entry.by_salt);
    entry.by.clear();
    entry.by_salt.clear();
}

/// Erased on one side is erased.
void join(Entry& kept, const Entry& other) {
    if (other.by_erased && !kept.by_erased) {
        kept.by_erased = other.by_erased;
        kept.by.clear();
        kept.by_salt.clear();
    }
    if (other.json_erased && !kept.json_erased) {
        kept.json_erased = other.json_erased;
        kept.json.clear();
        kept.json_salt.clear();
    }
}

void heed_wishes(LogSlice& slice) {
    std::set<std::string> wished;
    for (const auto& [name, entry] : slice.entries) {
        if (entry.about == About::person)
            wished.insert(entry.id);
    }
    if (wished.empty())
        return;
    for (auto& [name, entry] : slice.entries) {
        if (entry.by_erased || entry.by.empty() || wished.count(person_mark(entry.by)) == 0)
            continue;
        erase_by(entry);
    }
}

bool letter(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0x80 || (byte >= '0' && byte <= '9') || (byte >= 'A' && byte <= 'Z') ||
           (byte >= 'a' && byte <= 'z');
}

bool holds_word(const std::string& text, const std::string& word) {
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
        const std::size_t end = at + word.size();
        const bool starts = at == 0 || !letter(text[at - 1]);
        if (starts && (end == text.size() || !letter(text[end])))
            return true;
    }
    return false;
}

/// The least hopeful first.
int hope(Closing closing) {
    switch (closing) {
    case Closing::called_help: return 0;
    case Closing::handed_on: return 1;
    case Closing::left_as_is: return 2;
    case Closing::proved: return 3;
    }
    return 0;
}

std::optional<double> rating(const Entry* entry) {
    const Result<Site> site = site_from_json(entry->json);
    return site && site->drive_rating ? std::optional<double>(site->drive_rating->si()) : std::nullopt;
}

using Group = std::map<Digest, const Entry*>;

std::map<std::string, Group> groups(const LogSlice& slice, About about) {
    std::map<std::string, Group> groups;
    for (const auto& [name, entry] : slice.entries) {
        if (entry.about == about)
            groups[entry.id].emplace(name, &entry);
    }
    return groups;
}

/// The entries that no other follows.
std::vector<const Entry*> ends_of(const Group& group) {
    std::set<Digest> followed;
    for (const auto& [name, entry] : group) {
        followed.insert(entry->after.begin(), entry->after.end());
    }
    std::vector<const Entry*> ends;
    for (const auto& [name, entry] : group) {
        if (followed.count(name) == 0)
            ends.push_back(entry);
    }
    return ends;
}

SiteView site_view(const std::string& id, const Group& group) {
    std::map<std::string, Group> fields;
    for (const auto& [name, entry] : group) {
        fields[entry->field].emplace(name, entry);
    }
    SiteView site;
    site.id = id;
    Json whole = Json::object();
    for (const auto& [field, values] : fields) {
        FieldValues held{field, ends_of(values), nullptr};
        held.governs = governing(field, held.live);
        const Json part = Json::parse(held.governs->json, nullptr, false);
        if (part.is_object())
            whole.merge_patch(part);
        for (const Entry* const entry : held.live) {
            const Result<Site> said = field == "access" ? site_from_json(entry->json) : Result<Site>(Site{});
            if (said && !said->access.empty())
                site.dangers.push_back(said->access);
        }
        site.fields.push_back(std::move(held));
    }
    if (const Result<Site> read = site_from_json(whole.dump()))
        site.site = *read;
    return site;
}

VisitView visit_view(const std::string& id, const Group& group) {
    VisitView visit;
    visit.id = id;
    std::set<std::string> heeded;
    bool open = false;
    for (const Entry* end : ends_of(group)) {
        std::vector<const Entry*> branch{end};
        while (!branch.back()->after.empty()) {
            const auto before = group.find(branch.back()->after.front());
            if (before == group.end())
                break;
            branch.push_back(before->second);
        }
        std::reverse(branch.begin(), branch.end());
        const Visit folded = fold(events_of(branch));
        if (visit.site_id.empty())
            visit.site_id = folded.site_id;
        heeded.insert(folded.heeded.begin(), folded.heeded.end());
        open = open || !folded.closed;
        if (folded.closed && (!visit.standing || hope(*folded.closed) < hope(*visit.standing)))
            visit.standing = folded.closed;
        visit.branches.push_back(std::move(branch));
    }
    // A call for help stands whatever the other branch found; anything milder waits for the open branch.
    if (open && visit.standing != Closing::called_help)
        visit.standing.reset();
    visit.heeded.assign(heeded.begin(), heeded.end());
    return visit;
}

} // namespace

LogSlice merge(const LogSlice& one, const LogSlice& other) {
    LogSlice both = one;
    for (const auto& [name, entry] : other.entries) {
        const auto [place, is_new] = both.entries.emplace(name, entry);
        if (!is_new)
            join(place->second, entry);
    }
    heed_wishes(both);
    return both;
}

LogSlice erase_person(const LogSlice& slice, const std::string& name, Instant at) {
    LogSlice erased = slice;
    for (auto& [entry_name, entry] : erased.entries) {
        if (!is_note(entry))
            continue;
        const Result<Happening> what = happening_from_json(entry.json);
        if (holds_word(std::get<Noted>(*what).text, name))
            erase_json(entry);
    }
    Entry wish;
    wish.about = About::person;
    wish.id = person_mark(name);
    wish.at = at;
    erased.add(wish);
    heed_wishes(erased);
    return erased;
}

std::vector<SiteView> sites_of(const LogSlice& slice) {
    std::vector<SiteView> sites;
    for (const auto& [id, group] : groups(slice, About::site)) {
        sites.push_back(site_view(id, group));
    }
    return sites;
}

std::vector<VisitView> visits_of(const LogSlice& slice) {
    std::vector<VisitView> visits;
    for (const auto& [id, group] : groups(slice, About::visit)) {
        visits.push_back(visit_view(id, group));
    }
    return visits;
}

std::vector<Event> events_of(const std::vector<const Entry*>& branch) {
    std::vector<Event> events;
    for (const Entry* const one : branch) {
        const Entry& entry = *one;
        const Result<Happening> what =
            entry.json_erased ? Result<Happening>(Happening(Noted{})) : happening_from_json(entry.json);
        if (what)
            events.push_back(Event{static_cast<int>(entry.place), entry.at, entry.by, *what});
    }
    return events;
}

const Entry* governing(const std::string& field, const std::vector<const Entry*>& live) {
    const Entry* governs = live.front();
    for (const Entry* const entry : live) {
        if (field == "drive_rating_bar") {
            // An unknown rating is the more cautious one too: nothing may be counted on.
            const auto held = rating(governs), offered = rating(entry);
            if (held && (!offered || *offered < *held))
                governs = entry;
        }
        if (field == "access" && entry->json.size() > governs->json.size())
            governs = entry;
    }
    return governs;
}

} // namespace beckhand::bundle
