#include "engine/bundle/slice_cbor.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "engine/bundle/cbor.h"
#include "engine/records/meaning.h"

namespace beckhand::bundle {
namespace {

constexpr const char* title = "beckhand log";
constexpr int version = 1;
constexpr std::int64_t latest_ms = std::int64_t{1} << 53;

Problem refused(const std::string& what) {
    return {"bundle", what, "Ask for it to be handed over again."};
}

using Entries = std::map<Digest, LogEntry>;
constexpr Digest nothing_before{};
constexpr std::size_t members = 13; // of an entry, a column each

/// Each behind the one it is chained to and those it follows, else by device, number and name.
std::vector<const LogEntry*> in_order(const Entries& entries) {
    const auto later = [](const LogEntry* a, const LogEntry* b) {
        return std::tie(a->device, a->number, a->hash) < std::tie(b->device, b->number, b->hash);
    };
    std::map<Digest, std::vector<const LogEntry*>> followers;
    std::map<Digest, std::size_t> waits;
    std::set<const LogEntry*, decltype(later)> ready(later);
    for (const auto& [name, entry] : entries) {
        std::size_t inside = 0;
        std::vector<Digest> before = entry.after;
        before.push_back(entry.prev);
        for (const Digest& one : before) {
            if (entries.count(one) == 1) {
                followers[one].push_back(&entry);
                ++inside;
            }
        }
        waits[name] = inside;
        if (inside == 0)
            ready.insert(&entry);
    }
    std::vector<const LogEntry*> ordered;
    while (!ready.empty()) {
        const LogEntry* const next = *ready.begin();
        ready.erase(ready.begin());
        ordered.push_back(next);
        for (const LogEntry* const follower : followers[next->hash]) {
            if (--waits[follower->hash] == 0)
                ready.insert(follower);
        }
    }
    return ordered; // all of them: a name cannot follow itself, not even by a detour
}

/// What this program must compute the meaning of stays within what a visit or a site's history ever is.
bool too_branched(const std::vector<const LogEntry*>& subject) {
    std::vector<Link> links;
    for (const LogEntry* const entry : subject)
        links.push_back({entry->hash, entry->after, entry->place});
    std::vector<bool> followed(links.size(), false);
    for (const auto& before : followed_by(links)) {
        for (const std::size_t one : before)
            followed[one] = true;
    }
    const auto ends = static_cast<std::size_t>(std::count(followed.begin(), followed.end(), false));
    return subject.size() > most_events || ends > most_branches;
}

/// A text, or the mark that stands in its place.
Cbor text_or_mark(const std::string& text, const std::optional<Digest>& mark) {
    return mark ? cbor_bytes(*mark) : Cbor(text);
}

Cbor before_of(const Digest& before, std::size_t place, const std::map<Digest, std::size_t>& places) {
    const auto found = places.find(before);
    return found == places.end() ? cbor_bytes(before) : Cbor(static_cast<std::uint64_t>(place - found->second));
}

using Index = std::map<std::string, std::size_t>;

/// Numbers the texts in their order and gives them as a list.
Cbor listed(Index& index) {
    Cbor list = Cbor::array();
    for (auto& [text, place] : index) {
        place = list.size();
        list.push_back(text);
    }
    return list;
}

Cbor entries_in_order(const Entries& all, const Index& devices, const Index& subjects) {
    std::vector<Cbor> columns(members, Cbor::array());
    std::map<Digest, std::size_t> places;
    std::map<std::string, std::int64_t> last_number;
    std::int64_t last_at = 0;
    for (const LogEntry* const entry : in_order(all)) {
        const std::size_t place = places.size();
        Cbor after = Cbor::array();
        for (const Digest& before : entry->after)
            after.push_back(before_of(before, place, places));
        auto column = columns.begin();
        std::vector<Cbor> values{
                 devices.at(entry->device), entry->number - last_number[entry->device] - 1,
                 subjects.at(entry->subject), entry->place, entry->at.ms - last_at, entry->kind, entry->headline,
                 entry->prev == nothing_before ? Cbor(0u) : before_of(entry->prev, place, places), after,
                 text_or_mark(entry->by, entry->by_erased), cbor_bytes(view(entry->by_secret)),
                 text_or_mark(entry->json, entry->json_erased), cbor_bytes(view(entry->json_secret))};
        for (Cbor& value : values)
            (column++)->push_back(std::move(value));
        places[entry->hash] = place;
        last_number[entry->device] = entry->number;
        last_at = entry->at.ms;
    }
    return columns;
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

struct Known {
    std::vector<std::string> devices, subjects;
    std::vector<Digest> names;
    std::map<std::string, std::int64_t> last_number;
    std::int64_t last_at = 0;
};

Digest read_before(Reader& reader, const Cbor& value, const Known& known) {
    if (value.is_binary())
        return reader.digest(value);
    const std::uint64_t back = reader.number(value, known.names.size());
    reader.sound = reader.sound && back >= 1;
    return reader.sound ? known.names[known.names.size() - static_cast<std::size_t>(back)] : nothing_before;
}

std::string text_at(Reader& reader, const Cbor& value, const std::vector<std::string>& texts) {
    const std::uint64_t index = reader.number(value, texts.size());
    reader.sound = reader.sound && index < texts.size();
    return reader.sound ? texts[static_cast<std::size_t>(index)] : std::string();
}

LogEntry read_entry(Reader& reader, const Cbor& columns, std::size_t row, const Known& known) {
    const auto at = [&](std::size_t column) -> const Cbor& { return reader.at(reader.at(columns, column), row); };
    LogEntry entry;
    entry.device = text_at(reader, at(0), known.devices);
    const auto last = known.last_number.find(entry.device);
    entry.number = (last == known.last_number.end() ? 0 : last->second) + 1 + reader.signed_number(at(1));
    reader.sound = reader.sound && entry.number >= 1 && entry.number <= latest_ms;
    entry.subject = text_at(reader, at(2), known.subjects);
    entry.place = static_cast<std::int64_t>(reader.number(at(3), 1'000'000));
    entry.at.ms = known.last_at + reader.signed_number(at(4));
    reader.sound = reader.sound && entry.at.ms >= 0 && entry.at.ms <= latest_ms;
    entry.kind = reader.text(at(5));
    entry.headline = reader.text(at(6));
    const Cbor& prev = at(7);
    if (prev != Cbor(0u))
        entry.prev = read_before(reader, prev, known);
    const Cbor& after = at(8);
    reader.sound = reader.sound && after.is_array() && after.size() <= most_after;
    for (std::size_t i = 0; reader.sound && i < after.size(); ++i)
        entry.after.push_back(read_before(reader, after[i], known));
    entry.by = reader.text_or_mark(at(9), entry.by_erased);
    entry.by_secret = reader.raw(at(10));
    entry.json = reader.text_or_mark(at(11), entry.json_erased);
    entry.json_secret = reader.raw(at(12));
    return entry;
}

Outcome read_entries(LogSlice& slice, const Cbor& columns, Known& known) {
    Reader reader;
    const std::size_t rows = columns[0].size(); // that all are as long shows when they are written again
    for (std::size_t row = 0; row < rows; ++row) {
        LogEntry entry = read_entry(reader, columns, row, known);
        if (!reader.sound)
            return refused("An entry in this bundle is not as it should be.");
        if (const auto problem = entry_problem(entry))
            return *problem;
        known.last_at = entry.at.ms;
        known.last_number[entry.device] = entry.number;
        known.names.push_back(slice.add(std::move(entry)));
    }
    return Done{};
}

/// Texts of a list, at most `most`.
std::vector<std::string> read_list(Reader& reader, const Cbor& list, std::size_t most) {
    reader.sound = reader.sound && list.is_array() && list.size() <= most;
    std::vector<std::string> texts;
    for (std::size_t i = 0; reader.sound && i < list.size(); ++i)
        texts.push_back(reader.text(list[i]));
    return texts;
}

} // namespace

Result<Bytes> write_slice(const LogSlice& slice) {
    std::map<std::pair<About, std::string>, std::vector<const LogEntry*>> groups;
    Index devices, subjects;
    std::size_t sites = 0;
    for (const auto& [name, entry] : slice.entries) {
        if (const auto problem = entry_problem(entry))
            return *problem;
        auto& group = groups[{about(entry), entry.subject}];
        sites += about(entry) == About::site && group.empty() ? 1u : 0u;
        group.push_back(&entry);
        devices.emplace(entry.device, 0);
        subjects.emplace(entry.subject, 0);
    }
    if (slice.entries.size() > most_entries || sites > most_sites || devices.size() > most_sites)
        return Problem{"bundle", "This is too much for one bundle.", "Hand over fewer sites at a time."};
    for (const auto& [id, group] : groups) {
        if (id.first != About::person && too_branched(group))
            return refused("A visit or site in it is longer, or has more branches, than any has.");
    }
    Cbor whole = Cbor::array();
    whole.push_back(title);
    whole.push_back(version);
    whole.push_back(listed(devices));
    whole.push_back(listed(subjects));
    whole.push_back(entries_in_order(slice.entries, devices, subjects));
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
    Known known;
    known.devices = read_list(reader, reader.at(*whole, 2), most_sites);
    known.subjects = read_list(reader, reader.at(*whole, 3), most_entries);
    const Cbor& entries = reader.at(*whole, 4);
    if (!reader.sound || !entries.is_array() || entries.size() != members || !entries[0].is_array())
        return refused("This bundle is not as it should be.");
    if (entries[0].size() > most_entries)
        return refused("This bundle holds more than " + std::to_string(most_entries) + " entries.");
    LogSlice slice;
    if (const Outcome read = read_entries(slice, entries, known); !read)
        return read.error();
    const Result<Bytes> again = write_slice(slice);
    if (!again)
        return again.error();
    if (again->size() != inside.size() || !std::equal(again->begin(), again->end(), inside.begin()))
        return refused("What is inside is not written in the one way that is agreed on.");
    return slice;
}

} // namespace beckhand::bundle
