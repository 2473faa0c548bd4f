#include "app/terminal/case_toml.h"

#include <algorithm>

#include "engine/nearest.h"
#include "engine/records/site_fields.h"
#include "engine/toml_ascii.h"

namespace beckhand::case_toml {
namespace {

Outcome read_figure(const SiteField& field, const toml::node& node, const std::string& where, Site& site) {
    const auto number = node.value<double>();
    if (!node.is_number() || !number) {
        return Problem{where, in_quotes(field.key) + " is not a number.",
                       "Write " + std::string(field.key) + " = 2.5, for example."};
    }
    if (auto wrong = field_problem(field, *number)) {
        wrong->where = where + ": " + std::string(field.key);
        return *wrong;
    }
    set_field_number(field, site, *number);
    return Done{};
}

Outcome read_text_key(const SiteText& field, const toml::node& node, const std::string& where, Site& site) {
    const auto text = node.value<std::string>();
    if (!text) {
        return Problem{where, in_quotes(field.key) + " is not text.", "Put it in quotation marks."};
    }
    if (!field.set_text(site, *text)) {
        return Problem{where, in_quotes(*text) + " is not known here.",
                       "Give " + std::string(field.words) + "."};
    }
    return Done{};
}

std::vector<std::string> site_keys(bool in_record) {
    std::vector<std::string> known;
    for (const SiteField& field : site_fields()) {
        if (field.in_record == in_record)
            known.emplace_back(field.key);
    }
    for (const SiteText& field : site_texts()) {
        if (!in_record)
            known.emplace_back(field.key);
    }
    return known;
}

} // namespace

Result<toml::table> parse(const std::string& text, const std::string& name) {
    const Result<std::string> ascii = toml_ascii(text, name);
    if (!ascii) return ascii.error();
    try {
        toml::table table = toml::parse(*ascii);
        if (const Outcome done = write_toml_again(table, name); !done) return done.error();
        return table;
    } catch (const toml::parse_error& error) {
        return toml_problem(name, static_cast<long>(error.source().begin.line), error.description());
    }
}

std::string at(const std::string& name, const toml::node& node) {
    return toml_line(name, static_cast<long>(node.source().begin.line));
}

std::string in_quotes(std::string_view word) {
    return "\"" + std::string(word) + "\"";
}

std::optional<Problem> unknown_key(const std::string& where, std::string_view key,
                                   const std::vector<std::string>& known, std::vector<std::string>& notes) {
    if (nearest(key, known).empty()) {
        notes.push_back(where + ": " + in_quotes(key) + " is not used.");
        return std::nullopt;
    }
    return Problem{where, in_quotes(key) + " is not a key here.", did_you_mean(key, known)};
}

Outcome read_site_keys(const toml::table& table, const std::string& name, bool in_record, Site& site,
                       std::vector<std::string>& notes, const std::vector<std::string>& passed_over) {
    for (const auto& [key, node] : table) {
        const std::string_view word = key.str();
        const std::string where = at(name, node);
        if (std::find(passed_over.begin(), passed_over.end(), word) != passed_over.end())
            continue;
        bool read = false;
        for (const SiteField& field : site_fields()) {
            if (field.key == word && field.in_record == in_record) {
                if (Outcome done = read_figure(field, node, where, site); !done)
                    return done;
                read = true;
            }
        }
        for (const SiteText& field : site_texts()) {
            if (field.key == word && !in_record) {
                if (Outcome done = read_text_key(field, node, where, site); !done)
                    return done;
                read = true;
            }
        }
        if (!read && word == "record" && !in_record) {
            if (!node.is_table())
                return Problem{where, "\"record\" is not a table.", "Write [site.record]."};
            if (Outcome done = read_site_keys(*node.as_table(), name, true, site, notes); !done)
                return done;
            read = true;
        }
        if (!read) {
            if (auto wrong = unknown_key(where, word, site_keys(in_record), notes))
                return *wrong;
        }
    }
    return Done{};
}

} // namespace beckhand::case_toml
