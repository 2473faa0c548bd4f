// A site's figures and texts walk through the lists of site_fields, so that what is written is what is read.
// Nothing here throws: reading reports by value.
#include "engine/records/site_json.h"

#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

using Json = SiteJson;

constexpr const char* record_key = "record";
// Where a quantity made in another unit (inches) has no number in the key's unit that comes back to the
// same bits, the SI figure stands here beside it.
constexpr const char* exact_key = "exact_si";

Problem unknown_key(const std::string& key) {
    return {key, "This version of Beckhand does not know this entry of a site.",
            "Check its spelling, or open the site with the version that wrote it."};
}

Outcome read_figure(Site& site, const std::string& key, const Json& value, bool in_record) {
    for (const SiteField& field : site_fields()) {
        if (field.key != key || field.in_record != in_record)
            continue;
        if (!value.is_number())
            return Problem{key, "This is not a number.", "Give a plain number such as 2.5."};
        set_field_number(field, site, value.get<double>());
        return Done{};
    }
    return unknown_key(key);
}

// An exact figure counts only while it is the one that the number beside it rounds: whoever edits the
// number by hand is believed.
Outcome read_exact(Site& site, const Json& exact) {
    if (!exact.is_object())
        return Problem{exact_key, "This is not a list of figures.", "Take it out."};
    for (const SiteField& field : site_fields()) {
        const auto found = exact.find(std::string(field.key));
        const std::optional<double> held = field.si(site);
        if (found == exact.end() || !held)
            continue;
        if (!found->is_number())
            return Problem{exact_key, "This is not a list of figures.", "Take it out."};
        const double si = found->get<double>();
        const double rounding = 4 * std::numeric_limits<double>::epsilon() * std::abs(si);
        if (std::abs(si - *held) <= rounding)
            field.set_si(site, si);
    }
    return Done{};
}

Outcome read_entry(Site& site, const std::string& key, const Json& value) {
    for (const SiteText& text : site_texts()) {
        if (text.key != key)
            continue;
        if (!value.is_string())
            return Problem{key, "This is not text.", "Put it in quotation marks."};
        if (text.set_text(site, value.get<std::string>()))
            return Done{};
        return Problem{key, "\"" + value.get<std::string>() + "\" is not a word known here.",
                       "Give the " + std::string(text.words) + "."};
    }
    if (key != record_key)
        return read_figure(site, key, value, false);
    if (!value.is_object())
        return Problem{key, "This is not a list of figures.", "Give beat_per_min and the like."};
    for (const auto& [record_entry, number] : value.items()) {
        if (const Outcome read = read_figure(site, record_entry, number, true); !read)
            return read;
    }
    return Done{};
}

} // namespace

SiteJson json_of(const Site& site) {
    Json json = Json::object();
    Json record = Json::object();
    Json exact = Json::object();
    for (const SiteText& text : site_texts()) {
        if (std::string held = text.text(site); !held.empty())
            json[std::string(text.key)] = std::move(held);
    }
    for (const SiteField& field : site_fields()) {
        const std::optional<double> number = field_number(field, site);
        if (!number)
            continue;
        (field.in_record ? record : json)[std::string(field.key)] = *number;
        const double si = *field.si(site);
        if (*number * field.si_per_unit != si)
            exact[std::string(field.key)] = si;
    }
    if (!record.empty())
        json[record_key] = std::move(record);
    if (!exact.empty())
        json[exact_key] = std::move(exact);
    return json;
}

bool all_finite(const Site& site) {
    for (const SiteField& field : site_fields()) {
        if (const std::optional<double> si = field.si(site); si && !std::isfinite(*si))
            return false;
    }
    return true;
}

Result<Site> site_of(const SiteJson& json) {
    if (!json.is_object())
        return Problem{"site", "This is not a description of a site.", ""};
    Site site;
    for (const auto& [key, value] : json.items()) {
        if (key == exact_key)
            continue; // after the figures it belongs to
        if (const Outcome read = read_entry(site, key, value); !read)
            return read.error();
    }
    if (const auto exact = json.find(exact_key); exact != json.end()) {
        if (const Outcome read = read_exact(site, *exact); !read)
            return read.error();
    }
    return site;
}

} // namespace beckhand
