#include "engine/records/meaning.h"

#include <algorithm>
#include <set>

#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"

namespace beckhand {
namespace {

using Json = nlohmann::ordered_json;
constexpr const char* exact_key = "exact_si";

Link link_of(const LogEntry& entry) {
    return {entry.hash, entry.after, entry.place};
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

Site site_in(const std::string& part) {
    const Result<Site> site = site_from_json(part);
    return site ? *site : Site{};
}

/// The most cautious of values that hold together.
std::string counted_of(const std::string& field, const std::vector<FieldValue>& live) {
    std::string counted = live.front().json;
    if (field == "drive_rating_bar") {
        // An unknown rating is the more cautious one too: nothing may be counted on.
        for (const FieldValue& value : live) {
            const auto held = site_in(counted).drive_rating, offered = site_in(value.json).drive_rating;
            if (held && (!offered || *offered < *held))
                counted = value.json;
        }
    }
    if (field == "access" && live.size() > 1) {
        std::vector<std::string> texts;
        for (const FieldValue& value : live) {
            const std::string text = site_in(value.json).access;
            if (!text.empty() && std::find(texts.begin(), texts.end(), text) == texts.end())
                texts.push_back(text);
        }
        std::string all;
        for (const std::string& text : texts)
            all += (all.empty() ? "" : " / ") + text;
        counted = all.empty() ? "{}" : Json{{field, all}}.dump(-1, ' ', false, Json::error_handler_t::replace);
    }
    return counted;
}

// --- sheets: for each, which values hold once it was written ---

using Live = std::map<std::string, std::set<std::size_t>>; // field -> sheets whose value holds

struct Sheets {
    std::vector<const LogEntry*> sheets;                       // those that can be read, and erased ones
    std::vector<std::map<std::string, std::string>> parts;     // of each
    std::vector<std::vector<std::size_t>> follows;
    std::vector<std::vector<bool>> before;                     // before[s][t]: s was written knowing of t
    std::vector<Live> live;                                    // once it was written

    [[nodiscard]] std::string part(std::size_t sheet, const std::string& field) const {
        const auto found = parts[sheet].find(field);
        return found == parts[sheet].end() ? "{}" : found->second;
    }
    [[nodiscard]] FieldValues values(const std::string& field, const std::set<std::size_t>& held) const {
        FieldValues values{field, {}, {}};
        for (const std::size_t sheet : held)
            values.live.push_back({sheets[sheet], part(sheet, field)});
        std::sort(values.live.begin(), values.live.end(),
                  [](const FieldValue& a, const FieldValue& b) { return a.sheet->hash < b.sheet->hash; });
        // The same set twice is one value.
        for (std::size_t i = values.live.size(); i-- > 1;) {
            const auto same = [&](const FieldValue& one) { return one.json == values.live[i].json; };
            if (std::any_of(values.live.begin(), values.live.begin() + static_cast<std::ptrdiff_t>(i), same))
                values.live.erase(values.live.begin() + static_cast<std::ptrdiff_t>(i));
        }
        values.counted = counted_of(field, values.live);
        return values;
    }
    /// What holds where several ends meet: of what holds at each, all that none of the others replaced.
    [[nodiscard]] Live together(const std::vector<std::size_t>& ends) const {
        Live all;
        for (const std::size_t end : ends) {
            for (const auto& [field, held] : live[end])
                all[field].insert(held.begin(), held.end());
        }
        if (ends.size() < 2)
            return all;
        for (auto& [field, held] : all) {
            std::set<std::size_t> kept = held;
            for (const std::size_t one : held) {
                for (const std::size_t other : held) {
                    if (before[other][one])
                        kept.erase(one);
                }
            }
            held = kept;
        }
        return all;
    }
    void write(std::size_t sheet) {
        for (const std::size_t seen : follows[sheet]) {
            before[sheet][seen] = true;
            for (std::size_t i = 0; i < sheets.size(); ++i)
                before[sheet][i] = before[sheet][i] || before[seen][i];
        }
        Live now = together(follows[sheet]);
        if (sheets[sheet]->json_erased) { // only its place is known: it has decided nothing
            live[sheet] = std::move(now);
            return;
        }
        for (const auto& [field, json] : parts[sheet])
            now[field]; // fields that are new here
        for (auto& [field, held] : now) {
            if (held.empty() || values(field, held).counted != part(sheet, field))
                held = {sheet};
        }
        live[sheet] = std::move(now);
    }
};

/// Indexes so that each comes behind those it follows.
std::vector<std::size_t> in_order(const std::vector<std::vector<std::size_t>>& follows) {
    std::vector<std::size_t> order, waits(follows.size(), 0);
    std::vector<std::vector<std::size_t>> next(follows.size());
    for (std::size_t i = 0; i < follows.size(); ++i) {
        waits[i] = follows[i].size();
        for (const std::size_t before : follows[i])
            next[before].push_back(i);
        if (waits[i] == 0)
            order.push_back(i);
    }
    for (std::size_t done = 0; done < order.size(); ++done) {
        for (const std::size_t i : next[order[done]]) {
            if (--waits[i] == 0)
                order.push_back(i);
        }
    }
    return order;
}

std::vector<std::size_t> ends_of(const std::vector<Link>& links,
                                 const std::vector<std::vector<std::size_t>>& follows) {
    std::vector<bool> followed(links.size(), false);
    for (const auto& before : follows) {
        for (const std::size_t one : before)
            followed[one] = true;
    }
    std::vector<std::size_t> ends;
    for (std::size_t i = 0; i < links.size(); ++i) {
        if (!followed[i])
            ends.push_back(i);
    }
    std::sort(ends.begin(), ends.end(), [&](std::size_t a, std::size_t b) { return links[a].hash < links[b].hash; });
    return ends;
}

} // namespace

std::vector<std::vector<std::size_t>> followed_by(const std::vector<Link>& links) {
    std::map<Hash, std::size_t> places;
    std::map<std::int64_t, std::size_t> by_place; // the first by name of each place
    for (std::size_t i = 0; i < links.size(); ++i) {
        places.emplace(links[i].hash, i);
        const auto [held, fresh] = by_place.emplace(links[i].place, i);
        if (!fresh && links[i].hash < links[held->second].hash)
            held->second = i;
    }
    std::vector<std::vector<std::size_t>> follows(links.size());
    for (std::size_t i = 0; i < links.size(); ++i) {
        for (const Hash& before : links[i].after) {
            const auto found = places.find(before);
            // A predecessor is always further back; what damage made of a place is not believed.
            if (found != places.end() && links[found->second].place < links[i].place)
                follows[i].push_back(found->second);
        }
        if (!follows[i].empty())
            continue;
        auto last = by_place.lower_bound(links[i].place);
        if (last != by_place.begin())
            follows[i].push_back((--last)->second);
    }
    return follows;
}

std::vector<Branch> branches_of(const std::vector<Link>& links) {
    const std::vector<std::vector<std::size_t>> follows = followed_by(links);
    std::vector<int> used(links.size(), 0);
    std::vector<Branch> branches;
    for (const std::size_t end : ends_of(links, follows)) {
        Branch branch{{end}, 0};
        while (!follows[branch.events.back()].empty())
            branch.events.push_back(follows[branch.events.back()].front());
        std::reverse(branch.events.begin(), branch.events.end());
        for (const std::size_t event : branch.events)
            ++used[event];
        branches.push_back(std::move(branch));
    }
    for (Branch& branch : branches) {
        while (used[branch.events[branch.own_from]] > 1)
            ++branch.own_from;
    }
    return branches;
}

std::map<std::string, std::string> parts_of(const std::string& site_json) {
    const Json whole = Json::parse(site_json, nullptr, false);
    std::map<std::string, std::string> parts;
    if (!whole.is_object())
        return parts;
    const auto exact = whole.find(exact_key);
    for (const auto& [key, value] : whole.items()) {
        if (key == exact_key)
            continue;
        Json part = Json::object();
        part[key] = value;
        Json figures = Json::object();
        if (exact != whole.end() && exact->is_object()) {
            for (const auto& [figure, si] : exact->items()) {
                if (figure == key || (value.is_object() && value.contains(figure)))
                    figures[figure] = si;
            }
        }
        if (!figures.empty())
            part[exact_key] = std::move(figures);
        parts[key] = part.dump(-1, ' ', false, Json::error_handler_t::replace);
    }
    return parts;
}

SiteView site_view(const std::string& id, const std::vector<const LogEntry*>& sheets) {
    Sheets all;
    std::vector<Link> links;
    for (const LogEntry* const sheet : sheets) {
        if (sheet->json_erased || Json::parse(sheet->json, nullptr, false).is_object()) {
            all.sheets.push_back(sheet);
            all.parts.push_back(parts_of(sheet->json));
            links.push_back(link_of(*sheet));
        }
    }
    all.follows = followed_by(links);
    all.before.assign(links.size(), std::vector<bool>(links.size(), false));
    all.live.resize(links.size());
    for (const std::size_t sheet : in_order(all.follows))
        all.write(sheet);
    SiteView site;
    site.id = id;
    Json whole = Json::object();
    for (const auto& [field, held] : all.together(ends_of(links, all.follows))) {
        FieldValues values = all.values(field, held);
        // A field that only a newer program knows is kept and passed on, and not counted with here.
        if (site_from_json(values.counted))
            whole.merge_patch(Json::parse(values.counted, nullptr, false));
        for (const FieldValue& value : values.live) {
            const std::string said = field == "access" ? site_in(value.json).access : std::string();
            if (!said.empty())
                site.dangers.push_back(said);
        }
        site.fields.push_back(std::move(values));
    }
    site.site = site_in(whole.dump(-1, ' ', false, Json::error_handler_t::replace));
    return site;
}

VisitView visit_view(const std::string& id, const std::vector<const LogEntry*>& entries) {
    VisitView visit;
    visit.id = id;
    std::vector<Link> links;
    for (const LogEntry* const entry : entries)
        links.push_back(link_of(*entry));
    std::set<std::string> heeded;
    bool open = false;
    for (const Branch& branch : branches_of(links)) {
        std::vector<const LogEntry*> events;
        for (const std::size_t event : branch.events)
            events.push_back(entries[event]);
        const Visit folded = fold(events_of(events));
        if (visit.site_id.empty())
            visit.site_id = folded.site_id;
        heeded.insert(folded.heeded.begin(), folded.heeded.end());
        open = open || !folded.closed;
        if (folded.closed && (!visit.standing || hope(*folded.closed) < hope(*visit.standing)))
            visit.standing = folded.closed;
        visit.branches.push_back(std::move(events));
    }
    // A call for help stands whatever the other branch found; anything milder waits for the open branch.
    if (open && visit.standing != Closing::called_help)
        visit.standing.reset();
    visit.heeded.assign(heeded.begin(), heeded.end());
    return visit;
}

Result<Event> event_of(const LogEntry& entry) {
    const Happening without = entry.kind == "offered"    ? Happening(Offered{})
                              : entry.kind == "received" ? Happening(Received{})
                              : entry.kind == "part_used" ? Happening(PartUsed{})
                                                         : Happening(Noted{});
    Result<Happening> what = entry.json_erased ? Result<Happening>(without) : happening_from_json(entry.json);
    if (!what)
        return what.error();
    Event event;
    event.number = static_cast<int>(entry.place);
    event.at = entry.at;
    event.by = entry.by;
    event.what = std::move(*what);
    return event;
}

std::vector<Event> events_of(const std::vector<const LogEntry*>& branch) {
    std::vector<Event> events;
    for (const LogEntry* const entry : branch) {
        if (Result<Event> event = event_of(*entry))
            events.push_back(std::move(*event));
    }
    return events;
}

} // namespace beckhand
