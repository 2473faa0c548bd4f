#include "engine/bundle/slice_cbor.h"

#include <algorithm>
#include <set>

#include "engine/bundle/cbor.h"

namespace beckhand::bundle {
namespace {

constexpr const char* title = "beckhand log";
constexpr int version = 1;
constexpr std::int64_t latest_ms = std::int64_t{1} << 53;

Problem refused(const std::string& what) {
    return {"bundle", what, "Ask for it to be handed over again."};
}

using Member = std::pair<Digest, const Entry*>;
using GroupId = std::pair<About, std::string>;

/// Each behind those it follows, else by name: repeatedly the first by name of those that can come next.
std::vector<Member> in_order(const std::map<Digest, const Entry*>& group) {
    std::map<Digest, std::vector<Digest>> followers;
    std::map<Digest, std::size_t> waits;
    std::set<Digest> ready;
    for (const auto& [name, entry] : group) {
        std::size_t inside = 0;
        for (const Digest& before : entry->after) {
            if (group.count(before) == 1) {
                followers[before].push_back(name);
                ++inside;
            }
        }
        waits[name] = inside;
        if (inside == 0)
            ready.insert(name);
    }
    std::vector<Member> ordered;
    while (!ready.empty()) {
        const Digest next = *ready.begin();
        ready.erase(ready.begin());
        ordered.emplace_back(next, group.at(next));
        for (const Digest& follower : followers[next]) {
            if (--waits[follower] == 0)
                ready.insert(follower);
        }
    }
    return ordered; // all of them: a name cannot follow itself, not even by a detour
}

Cbor after_of(const Entry& entry, std::size_t place, const std::map<Digest, std::size_t>& places) {
    std::vector<Digest> sorted = entry.after;
    std::sort(sorted.begin(), sorted.end());
    Cbor after = Cbor::array();
    for (const Digest& before : sorted) {
        const auto found = places.find(before);
        after.push_back(found == places.end() ? cbor_bytes(before)
                                              : Cbor(static_cast<std::uint64_t>(place - found->second)));
    }
    return after;
}

bool too_branched(const std::map<Digest, const Entry*>& visit) {
    std::set<Digest> followed;
    for (const auto& [name, entry] : visit) {
        for (const Digest& before : entry->after) {
            if (visit.count(before) == 1)
                followed.insert(before);
        }
    }
    return visit.size() > most_events || visit.size() - followed.size() > most_branches;
}

/// A text, or the mark that stands in its place.
Cbor text_or_mark(const std::string& text, const std::optional<Digest>& mark) {
    return mark ? cbor_bytes(*mark) : Cbor(text);
}

Cbor group_of(const GroupId& id, const std::map<Digest, const Entry*>& group,
              const std::map<std::string, std::size_t>& devices) {
    Cbor entries = Cbor::array();
    std::map<Digest, std::size_t> places;
    std::int64_t last_at = 0;
    for (const auto& [name, entry] : in_order(group)) {
        Cbor one = Cbor::array();
        one.push_back(entry->about == About::visit ? Cbor(entry->place) : Cbor(entry->field));
        one.push_back(entry->device.empty() ? std::int64_t{-1}
                                            : static_cast<std::int64_t>(devices.at(entry->device)));
        one.push_back(entry->number);
        one.push_back(entry->at.ms - last_at);
        one.push_back(after_of(*entry, entries.size(), places));
        one.push_back(text_or_mark(entry->by, entry->by_erased));
        one.push_back(cbor_bytes(view(entry->by_salt)));
        one.push_back(text_or_mark(entry->json, entry->json_erased));
        one.push_back(cbor_bytes(view(entry->json_salt)));
        places[name] = entries.size();
        last_at = entry->at.ms;
        entries.push_back(std::move(one));
    }
    Cbor whole = Cbor::array();
    whole.push_back(static_cast<std::uint64_t>(id.first));
    whole.push_back(id.second);
    whole.push_back(std::move(entries));
    return whole;
}

// --- reading ---

// Every access is checked: a value of another kind than expected clears `sound`, and reading goes on with
// nothing, so that the question is asked once an entry.
struct Reader {
    bool sound = true;

    const Cbor& at(const Cbor& array, std::size_t index) {
        static const Cbor nothing;
        if (array.is_array() && index < array.size())
            return array[index];
        sound = false;
        return nothing;
    }
    std::string text(const Cbor& value) {
        sound = sound && value.is_string();
        return value.is_string() ? value.get<std::string>() : std::string();
    }
    std::string raw(const Cbor& value) {
        sound = sound && value.is_binary();
        if (!value.is_binary())
            return {};
        const Bytes& bytes = value.get_binary();
        return {bytes.begin(), bytes.end()};
    }
    std::uint64_t number(const Cbor& value, std::uint64_t most) {
        sound = sound && value.is_number_unsigned() && value.get<std::uint64_t>() <= most;
        return sound ? value.get<std::uint64_t>() : 0;
    }
    std::int64_t signed_number(const Cbor& value) {
        const bool whole = value.is_number_integer();
        const bool small = whole && (!value.is_number_unsigned() ||
                                     value.get<std::uint64_t>() <= static_cast<std::uint64_t>(latest_ms));
        const std::int64_t held = small ? value.get<std::int64_t>() : 0;
        sound = sound && small && held >= -latest_ms;
        return sound ? held : 0;
    }
    Digest digest(const Cbor& value) {
        Digest digest{};
        const std::string bytes = raw(value);
        sound = sound && bytes.size() == digest.size();
        if (sound)
            std::copy_n(view(bytes).begin(), digest.size(), digest.begin());
        return digest;
    }
    std::string text_or_mark(const Cbor& value, std::optional<Digest>& mark) {
        if (value.is_string())
            return text(value);
        mark = digest(value);
        return {};
    }
};

Entry read_entry(Reader& reader, const Cbor& value, GroupId id, const std::vector<std::string>& devices,
                 const std::vector<Digest>& names, std::int64_t last_at) {
    Entry entry;
    entry.about = id.first;
    entry.id = std::move(id.second);
    if (entry.about == About::visit)
        entry.place = static_cast<std::uint32_t>(reader.number(reader.at(value, 0), 1'000'000));
    else
        entry.field = reader.text(reader.at(value, 0));
    const std::int64_t device = reader.signed_number(reader.at(value, 1));
    reader.sound = reader.sound && device >= -1 && device < static_cast<std::int64_t>(devices.size());
    if (reader.sound && device >= 0)
        entry.device = devices[static_cast<std::size_t>(device)];
    entry.number = reader.number(reader.at(value, 2), static_cast<std::uint64_t>(latest_ms));
    entry.at.ms = last_at + reader.signed_number(reader.at(value, 3));
    reader.sound = reader.sound && entry.at.ms >= 0 && entry.at.ms <= latest_ms;
    const Cbor& after = reader.at(value, 4);
    reader.sound = reader.sound && after.is_array() && after.size() <= most_after;
    for (std::size_t i = 0; reader.sound && i < after.size(); ++i) {
        if (after[i].is_binary()) {
            entry.after.push_back(reader.digest(after[i]));
            continue;
        }
        const std::uint64_t back = reader.number(after[i], names.size());
        reader.sound = reader.sound && back >= 1;
        if (reader.sound)
            entry.after.push_back(names[names.size() - static_cast<std::size_t>(back)]);
    }
    entry.by = reader.text_or_mark(reader.at(value, 5), entry.by_erased);
    entry.by_salt = reader.raw(reader.at(value, 6));
    entry.json = reader.text_or_mark(reader.at(value, 7), entry.json_erased);
    entry.json_salt = reader.raw(reader.at(value, 8));
    reader.sound = reader.sound && value.size() == 9;
    return entry;
}

Outcome read_group(LogSlice& slice, const Cbor& group, const std::vector<std::string>& devices) {
    Reader reader;
    const auto about = reader.number(reader.at(group, 0), 2);
    const GroupId id{static_cast<About>(about), reader.text(reader.at(group, 1))};
    const Cbor& entries = reader.at(group, 2);
    std::vector<Digest> names;
    std::int64_t last_at = 0;
    for (std::size_t i = 0; reader.sound && entries.is_array() && i < entries.size(); ++i) {
        Entry entry = read_entry(reader, entries[i], id, devices, names, last_at);
        if (!reader.sound)
            break;
        if (const auto problem = entry_problem(entry))
            return *problem;
        last_at = entry.at.ms;
        names.push_back(slice.add(std::move(entry)));
        if (slice.entries.size() > most_entries)
            return refused("This bundle holds more than " + std::to_string(most_entries) + " entries.");
    }
    if (!reader.sound || !entries.is_array())
        return refused("An entry in this bundle is not as it should be.");
    return Done{};
}

} // namespace

Result<Bytes> write_slice(const LogSlice& slice) {
    std::map<GroupId, std::map<Digest, const Entry*>> groups;
    std::map<std::string, std::size_t> devices;
    std::size_t sites = 0;
    for (const auto& [name, entry] : slice.entries) {
        if (const auto problem = entry_problem(entry))
            return *problem;
        auto& group = groups[{entry.about, entry.id}];
        sites += entry.about == About::site && group.empty() ? 1u : 0u;
        group.emplace(name, &entry);
        if (!entry.device.empty())
            devices.emplace(entry.device, 0);
    }
    if (slice.entries.size() > most_entries || sites > most_sites || devices.size() > most_sites) {
        return Problem{"bundle", "This is too much for one bundle.", "Hand over fewer sites at a time."};
    }
    Cbor whole = Cbor::array();
    whole.push_back(title);
    whole.push_back(version);
    Cbor named = Cbor::array();
    for (auto& [device, index] : devices) {
        index = named.size();
        named.push_back(device);
    }
    whole.push_back(std::move(named));
    Cbor written = Cbor::array();
    for (const auto& [id, group] : groups) {
        if (id.first == About::visit && too_branched(group))
            return refused("A visit in it is longer, or has more branches, than any visit has.");
        written.push_back(group_of(id, group, devices));
    }
    whole.push_back(std::move(written));
    return to_cbor(whole);
}

Result<LogSlice> read_slice(ByteView inside) {
    const Result<Cbor> whole = from_cbor(inside);
    if (!whole)
        return whole.error();
    Reader reader;
    const std::string said = reader.text(reader.at(*whole, 0));
    const std::uint64_t made = reader.number(reader.at(*whole, 1), 1'000'000);
    if (!reader.sound || said != title)
        return refused("This bundle does not hold a log.");
    if (made != version) {
        return Problem{"bundle", "This bundle was made by a newer version of Beckhand.",
                       "Open it with that version; nothing was taken in."};
    }
    const Cbor& named = reader.at(*whole, 2);
    const Cbor& groups = reader.at(*whole, 3);
    std::vector<std::string> devices;
    for (std::size_t i = 0; named.is_array() && i < named.size() && devices.size() < most_sites; ++i) {
        devices.push_back(reader.text(named[i]));
    }
    if (!reader.sound || !groups.is_array())
        return refused("This bundle is not as it should be.");
    LogSlice slice;
    for (const Cbor& group : groups) {
        if (const Outcome read = read_group(slice, group, devices); !read)
            return read.error();
    }
    const Result<Bytes> again = write_slice(slice);
    if (!again)
        return again.error();
    if (again->size() != inside.size() || !std::equal(again->begin(), again->end(), inside.begin()))
        return refused("What is inside is not written in the one way that is agreed on.");
    return slice;
}

} // namespace beckhand::bundle
