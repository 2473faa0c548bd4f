#include "app/site/differences.h"

#include <algorithm>

#include "app/figures.h"
#include "engine/records/event_json.h"
#include "engine/records/site_fields.h"

namespace beckhand {
namespace {

constexpr const char* not_known = "not known";

/// The value of a field in a site, in words; empty where the field is of a newer program.
std::string value_words(const std::string& key, const Site& site, Units units) {
    for (const SiteField& field : site_fields()) {
        if (field.key != key || field.in_record) continue;
        const std::optional<double> si = field.si(site);
        return si ? format_figure(figure_of(field), *si, units) : not_known;
    }
    for (const SiteText& text : site_texts()) {
        if (text.key == key) return text.text(site).empty() ? not_known : "\"" + text.text(site) + "\"";
    }
    return "";
}

std::string name_of_field(const std::string& key) {
    std::string words = key == "record" ? "healthy record" : key;
    for (const SiteField& field : site_fields()) {
        if (field.key == key && !field.in_record) words = field.words.substr(0, field.words.find_first_of(":,"));
    }
    for (const SiteText& text : site_texts()) {
        if (text.key == key) words = text.words.substr(0, text.words.find_first_of(":,"));
    }
    words[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
    return words;
}

} // namespace

std::vector<std::string> difference_lines(const SiteRow& row, Units units) {
    std::vector<std::string> lines;
    for (const SiteDifference& difference : row.differences) {
        std::string line = name_of_field(difference.field) + ": ";
        bool first = true;
        for (const std::string& part : difference.values) {
            const Result<Site> site = site_from_json(part);
            const std::string words = site ? value_words(difference.field, *site, units) : "";
            line += (first ? "" : " and ") + (words.empty() ? "another value" : words);
            first = false;
        }
        const std::string counted = value_words(difference.field, row.site, units);
        line += counted.empty() ? "." : ". Counted with " + counted + " until somebody changes it.";
        lines.push_back(std::move(line));
    }
    return lines;
}

} // namespace beckhand
