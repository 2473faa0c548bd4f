// What an entry may be: the limits of entry.h, and that its text is what this program would have kept.
#include <set>

#include <nlohmann/json.hpp>

#include "engine/bundle/site_parts.h"
#include "engine/bundle/slice_cbor.h"
#include "engine/records/event_json.h"
#include "engine/records/site_fields.h"

namespace beckhand::bundle {
namespace {

Problem refused(const Entry& entry, const std::string& what) {
    return {"bundle", (entry.about == About::site ? "A site in it " : "An entry in it ") + what,
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
    return text.size() <= longest_by && is_utf8(text);
}

template <std::size_t... Index>
std::set<std::string> kinds_of(std::index_sequence<Index...>) {
    return {std::string(kind_of(Happening(std::in_place_index<Index>)))...};
}

bool known_kind(const std::string& kind) {
    static const std::set<std::string> kinds =
        kinds_of(std::make_index_sequence<std::variant_size_v<Happening>>());
    return kinds.count(kind) == 1;
}

std::optional<Problem> event_problem(const Entry& entry) {
    const nlohmann::json json = nlohmann::json::parse(entry.json, nullptr, false);
    const auto kind = json.is_object() ? json.find("kind") : json.end();
    if (!json.is_object() || kind == json.end() || !kind->is_string())
        return refused(entry, "is not an event.");
    const std::string name = kind->get<std::string>();
    if (!known_kind(name)) // of a newer program: passed on as it is
        return name.size() <= longest_id ? std::nullopt : std::optional(refused(entry, "is not an event."));
    const Result<Happening> what = happening_from_json(entry.json);
    if (!what)
        return refused(entry, "cannot be read: " + what.error().sentence());
    const Result<std::string> again = kept_json(*what);
    if (!again || *again != entry.json)
        return refused(entry, "is not written as this program writes it.");
    return std::nullopt;
}

std::optional<Problem> field_problem_of(const Entry& entry) {
    const nlohmann::ordered_json json = nlohmann::ordered_json::parse(entry.json, nullptr, false);
    if (!json.is_object())
        return refused(entry, "has a figure that is not one.");
    for (const auto& [key, value] : json.items()) {
        if (key != entry.field && key != "exact_si")
            return refused(entry, "has a figure under a name that is not its own.");
    }
    bool known = entry.field == "record";
    for (const SiteField& field : site_fields()) {
        known = known || (field.key == entry.field && !field.in_record);
    }
    for (const SiteText& text : site_texts()) {
        known = known || text.key == entry.field;
    }
    if (!known) // a field of a newer program: passed on as it is
        return std::nullopt;
    const Result<Site> site = site_from_json(entry.json);
    if (!site)
        return refused(entry, "cannot be read: " + site.error().sentence());
    if (const Outcome plausible = check_plausible(*site); !plausible)
        return plausible.error();
    const auto again = entries_of_site(entry.id, *site);
    const bool same = again && (entry.json == "{}" ? again->empty()
                                                   : again->size() == 1 && again->front().json == entry.json);
    return same ? std::nullopt : std::optional(refused(entry, "is not written as this program writes it."));
}

} // namespace

std::optional<Problem> entry_problem(const Entry& entry) {
    if (entry.id.empty() || !plain_id(entry.id) || !plain_id(entry.device) || !plain_id(entry.field))
        return refused(entry, "has a name that is too long or holds what a name may not.");
    if ((entry.about == About::site) == entry.field.empty())
        return refused(entry, "does not say which figure of the site it is.");
    if ((entry.about == About::visit) == (entry.place == 0))
        return refused(entry, "has no place in its visit.");
    if (entry.device.empty() != (entry.number == 0))
        return refused(entry, "has a number that nobody counted.");
    if (entry.after.size() > most_after || (entry.about == About::visit && entry.after.size() > 1) ||
        (entry.about == About::person && !entry.after.empty()))
        return refused(entry, "follows more than it can.");
    if (entry.by_salt.size() > longest_salt || entry.json_salt.size() > longest_salt)
        return refused(entry, "is not as it should be.");
    if (!plain_line(entry.by))
        return refused(entry, "was set down by a name that is too long or holds what a name may not.");
    if (entry.json.size() > longest_json || !is_utf8(entry.json))
        return refused(entry, "is too long, or not valid text.");
    if ((entry.by_erased && (!entry.by.empty() || !entry.by_salt.empty())) ||
        (entry.json_erased && (!entry.json.empty() || !entry.json_salt.empty())))
        return refused(entry, "was erased and is still there.");
    if (entry.about == About::person) {
        const bool bare = entry.json.empty() && entry.by.empty() && !entry.json_erased && !entry.by_erased;
        return bare ? std::nullopt : std::optional(refused(entry, "is not as it should be."));
    }
    if (entry.json_erased)
        return entry.about == About::visit ? std::nullopt
                                           : std::optional(refused(entry, "was erased: a figure cannot be."));
    return entry.about == About::visit ? event_problem(entry) : field_problem_of(entry);
}

} // namespace beckhand::bundle
