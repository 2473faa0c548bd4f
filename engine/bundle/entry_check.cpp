// What an entry may be: the limits of entry.h, and that its text is what this program would have kept.
#include <algorithm>
#include <set>

#include <nlohmann/json.hpp>

#include "engine/bundle/entry.h"
#include "engine/records/event_json.h"
#include "engine/records/meaning.h"
#include "engine/records/site_fields.h"
#include "engine/utf8.h"

namespace beckhand::bundle {
namespace {

Problem refused(const LogEntry& entry, const std::string& what) {
    return {"bundle", (about(entry) == About::site ? "A site in it " : "An entry in it ") + what,
            "Ask for it to be handed over again."};
}

bool plain_id(const std::string& id) {
    for (const char c : id) {
        if (c <= ' ' || c > '~')
            return false;
    }
    return id.size() <= longest_id;
}

// A control character in a name could rewrite a terminal's line; one that turns the writing direction could
// make a name look like another.
bool plain_line(const std::string& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if (byte < 0x20 || byte == 0x7f)
            return false;
        const std::string_view three = std::string_view(text).substr(i, 3);
        const bool turns = three.size() == 3 && three[0] == '\xe2' &&
                           ((three[1] == '\x80' && three[2] >= '\xaa' && three[2] <= '\xae') ||
                            (three[1] == '\x81' && three[2] >= '\xa6' && three[2] <= '\xa9'));
        if (turns)
            return false;
    }
    return text.size() <= longest_line && is_utf8(text);
}

template <std::size_t... Index>
std::set<std::string> kinds_of(std::index_sequence<Index...>) {
    return {std::string(kind_of(Happening(std::in_place_index<Index>)))...};
}

bool known_kind(const std::string& kind) {
    static const std::set<std::string> kinds =
        kinds_of(std::make_index_sequence<std::variant_size_v<HappeningKinds>>());
    return kinds.count(kind) == 1;
}

std::optional<Problem> event_problem(const LogEntry& entry) {
    const nlohmann::json json = nlohmann::json::parse(entry.json, nullptr, false);
    const auto kind = json.is_object() ? json.find("kind") : json.end();
    if (!json.is_object() || kind == json.end() || !kind->is_string())
        return refused(entry, "is not an event.");
    if (*kind != entry.kind)
        return refused(entry, "is of another kind than it says.");
    if (!known_kind(entry.kind)) // of a newer program: passed on as it is
        return std::nullopt;
    const Result<Happening> what = happening_from_json(entry.json);
    if (!what)
        return refused(entry, "cannot be read: " + what.error().sentence());
    const Result<std::string> again = kept_json(*what);
    if (!again || *again != entry.json)
        return refused(entry, "is not written as this program writes it.");
    return std::nullopt;
}

bool known_field(const std::string& key) {
    bool known = key == "record";
    for (const SiteField& field : site_fields()) {
        known = known || (field.key == key && !field.in_record);
    }
    for (const SiteText& text : site_texts()) {
        known = known || text.key == key;
    }
    return known;
}

/// A sheet part by part: a field of a newer program is passed on as it is, all others are read.
std::optional<Problem> sheet_problem(const LogEntry& entry) {
    const nlohmann::ordered_json json = nlohmann::ordered_json::parse(entry.json, nullptr, false);
    if (!json.is_object() || json.dump() != entry.json)
        return refused(entry, "is not written as this program writes it.");
    bool newer = false;
    for (const auto& [field, part] : parts_of(entry.json)) {
        if (!known_field(field)) {
            newer = true;
            continue;
        }
        const Result<Site> site = site_from_json(part);
        if (!site)
            return refused(entry, "cannot be read: " + site.error().sentence());
        if (const Outcome plausible = check_plausible(*site); !plausible)
            return plausible.error();
        const Result<std::string> again = kept_json(*site);
        if (!again || *again != part)
            return refused(entry, "is not written as this program writes it.");
    }
    if (newer)
        return std::nullopt;
    const Result<Site> site = site_from_json(entry.json);
    const Result<std::string> again = site ? kept_json(*site) : Result<std::string>(site.error());
    return again && *again == entry.json
               ? std::nullopt
               : std::optional(refused(entry, "is not written as this program writes it."));
}

} // namespace

std::optional<Problem> entry_problem(const LogEntry& entry) {
    for (const std::string* const id : {&entry.device, &entry.subject, &entry.kind}) {
        if (id->empty() || !plain_id(*id) || id->find('~') != std::string::npos)
            return refused(entry, "has a name that is too long or holds what a name may not.");
    }
    const About what = about(entry);
    if (entry.device.size() != 32 || entry.number < 1 || entry.place < 1 || entry.place > 1'000'000)
        return refused(entry, "has no place in its log.");
    if (entry.after.size() > (what == About::site ? most_after : what == About::visit ? 1u : 0u) ||
        !std::is_sorted(entry.after.begin(), entry.after.end()))
        return refused(entry, "follows more than it can.");
    if (entry.by_secret.size() > longest_secret || entry.json_secret.size() > longest_secret)
        return refused(entry, "is not as it should be.");
    if (!plain_line(entry.by) || !plain_line(entry.headline))
        return refused(entry, "has a name or headline that is too long or holds what it may not.");
    if (entry.json.size() > longest_json || !is_utf8(entry.json))
        return refused(entry, "is too long, or not valid text.");
    if ((entry.by_erased && (!entry.by.empty() || !entry.by_secret.empty())) ||
        (entry.json_erased && (!entry.json.empty() || !entry.json_secret.empty())))
        return refused(entry, "was erased and is still there.");
    if (entry.json_erased)
        return names_people(entry.kind) ? std::nullopt
                                       : std::optional(refused(entry, "was erased: only what names a person can be."));
    switch (what) {
    case About::person:
        return entry.json == "{}" ? std::nullopt : std::optional(refused(entry, "is not as it should be."));
    case About::visit: return event_problem(entry);
    case About::site: return sheet_problem(entry);
    }
    return std::nullopt;
}

} // namespace beckhand::bundle
