#include "engine/records/erasing.h"

#include <functional>
#include <utility>

#include <nlohmann/json.hpp>

namespace beckhand {
namespace {

void erase_json(LogEntry& entry) {
    entry.json_erased = mark_of_json(entry);
    entry.json.clear();
    entry.json_secret.clear();
}

bool has_words(const LogEntry& entry) {
    return names_people(entry.kind) && entry.kind != site_sheet_kind && !entry.json_erased;
}

/// Whether one of the texts of an event is such that `wanted` says yes.
template <class Wanted>
bool any_text(const LogEntry& entry, Wanted wanted) {
    const nlohmann::json event = nlohmann::json::parse(entry.json, nullptr, false);
    if (!event.is_object())
        return false;
    for (const auto& [key, value] : event.items()) {
        if (key != "kind" && value.is_string() && wanted(value.template get_ref<const std::string&>()))
            return true;
    }
    return false;
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

constexpr const char* erased_word = "(erased)";

std::string without_word(const std::string& text, const std::string& word) {
    std::string without;
    for (std::size_t at = 0; at < text.size();) {
        const bool here = text.compare(at, word.size(), word) == 0 && (at == 0 || !letter(text[at - 1])) &&
                          (at + word.size() == text.size() || !letter(text[at + word.size()]));
        without += here ? std::string(erased_word) : std::string(1, text[at]);
        at += here ? word.size() : 1;
    }
    return without;
}

/// Every text in a JSON value, at any depth.
void each_text(const nlohmann::json& value, const std::function<void(const std::string&)>& each) {
    if (value.is_string())
        each(value.get_ref<const std::string&>());
    if (value.is_structured()) {
        for (const nlohmann::json& inner : value)
            each_text(inner, each);
    }
}

} // namespace

namespace {

Hash mark_in_place(const LogEntry& entry, const std::string& text, const std::string& secret) {
    std::string place;
    put(place, secret);
    put(place, entry.device);
    put(place, entry.number);
    return mark_of(text, place);
}

} // namespace

Hash mark_of_by(const LogEntry& entry) {
    return mark_in_place(entry, entry.by, entry.by_secret);
}

Hash mark_of_json(const LogEntry& entry) {
    return mark_in_place(entry, entry.json, entry.json_secret);
}

std::string person_mark(std::string_view name) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string hex;
    for (const std::uint8_t byte : mark_of(name, "person")) {
        hex += digits[byte >> 4];
        hex += digits[byte & 15];
    }
    return hex;
}

bool erase_mention(LogEntry& entry, const std::string& name) {
    if (name.empty() || !has_words(entry))
        return false;
    if (!any_text(entry, [&](const std::string& text) { return holds_word(text, name); }))
        return false;
    erase_json(entry);
    return true;
}

bool sheet_mentions(const LogEntry& sheet, const std::string& name) {
    if (sheet.kind != site_sheet_kind || name.empty() || sheet.json_erased)
        return false;
    const nlohmann::json site = nlohmann::json::parse(sheet.json, nullptr, false);
    if (!site.is_object())
        return false;
    for (const char* key : {"access", "call"}) {
        const auto text = site.find(key);
        if (text != site.end() && text->is_string() && holds_word(text->get_ref<const std::string&>(), name))
            return true;
    }
    return false;
}

void erase_sheet(LogEntry& sheet) {
    erase_json(sheet);
}

Site without_name(Site site, const std::string& name) {
    site.access = without_word(site.access, name);
    site.call = without_word(site.call, name);
    return site;
}

std::vector<NamedPlace> places_left(std::span<const LogEntry> entries, const std::string& name) {
    std::vector<NamedPlace> left;
    std::set<std::pair<std::string, std::string>> said; // subject, text
    for (const LogEntry& entry : entries) {
        const auto look = [&](const std::string& text) {
            if (!name.empty() && holds_word(text, name) && said.insert({entry.subject, text}).second)
                left.push_back({entry.subject, entry.place, entry.kind, text});
        };
        look(entry.headline);
        each_text(nlohmann::json::parse(entry.json, nullptr, false), look);
    }
    return left;
}

bool heed(LogEntry& entry, const std::set<std::string>& wished) {
    const auto is_wished = [&](const std::string& name) { return wished.count(person_mark(name)) == 1; };
    const bool theirs = !entry.by.empty() && is_wished(entry.by);
    const bool words = has_words(entry) && ((theirs && entry.kind == "noted") || any_text(entry, is_wished));
    if (words)
        erase_json(entry);
    if (!theirs)
        return words;
    entry.by_erased = mark_of_by(entry);
    entry.by.clear();
    entry.by_secret.clear();
    return true;
}

bool join_erased(LogEntry& kept, const LogEntry& other) {
    const bool by = other.by_erased && !kept.by_erased;
    const bool json = other.json_erased && !kept.json_erased;
    if (by) {
        kept.by_erased = other.by_erased;
        kept.by.clear();
        kept.by_secret.clear();
    }
    if (json) {
        kept.json_erased = other.json_erased;
        kept.json.clear();
        kept.json_secret.clear();
    }
    return by || json;
}

} // namespace beckhand
