#include "engine/bundle/site_parts.h"

#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"

namespace beckhand::bundle {

using Json = nlohmann::ordered_json;

Result<std::vector<Entry>> entries_of_site(const std::string& id, const Site& site) {
    const Result<std::string> text = kept_json(site);
    if (!text)
        return text.error();
    const Json whole = Json::parse(*text, nullptr, false);
    const auto exact = whole.find("exact_si");
    std::vector<Entry> entries;
    for (const auto& [key, value] : whole.items()) {
        if (key == "exact_si")
            continue;
        Json part = Json::object();
        part[key] = value;
        Json figures = Json::object();
        if (exact != whole.end()) {
            for (const auto& [figure, si] : exact->items()) {
                if (figure == key || (value.is_object() && value.contains(figure)))
                    figures[figure] = si;
            }
        }
        if (!figures.empty())
            part["exact_si"] = figures;
        Entry entry;
        entry.about = About::site;
        entry.id = id;
        entry.field = key;
        entry.json = part.dump();
        entries.push_back(std::move(entry));
    }
    return entries;
}

bool put_part(Site& site, const std::string& json) {
    Json whole = Json::parse(to_json(site), nullptr, false);
    const Json part = Json::parse(json, nullptr, false);
    if (!whole.is_object() || !part.is_object())
        return false;
    whole.merge_patch(part);
    const Result<Site> read = site_from_json(whole.dump());
    if (read)
        site = *read;
    return read.has_value();
}

Result<std::vector<Entry>> entries_of_visit(const std::string& id, std::span<const Event> events) {
    std::vector<Entry> entries;
    std::optional<Digest> before;
    for (const Event& event : events) {
        const Result<std::string> json = kept_json(event.what);
        if (!json)
            return json.error();
        Entry entry;
        entry.about = About::visit;
        entry.id = id;
        entry.place = static_cast<std::uint32_t>(event.number);
        entry.at = event.at;
        entry.by = event.by;
        entry.json = *json;
        if (before)
            entry.after.push_back(*before);
        before = name_of(entry);
        entries.push_back(std::move(entry));
    }
    return entries;
}

} // namespace beckhand::bundle
