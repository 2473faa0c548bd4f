#include "app/terminal/case_toml.h"

#include <algorithm>

#include "engine/nearest.h"
#include "engine/records/site_fields.h"

namespace beckhand::case_toml {
namespace {

Outcome read_figure(const SiteField& field, const toml::node& node, const std::string& where, Site& site) {
    const auto number = node.value<double>();
    if (!node.is_number() || !number) {
        return Problem{where, quoted(field.key) + " is not a number.",
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
        return Problem{where, quoted(field.key) + " is not text.", "Put it in quotation marks."};
    }
    if (!field.set_text(site, *text)) {
        return Problem{where, quoted(*text) + " is not known here.",
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

/// The first line with a byte beyond ASCII outside of quotes and comments, where TOML 1.0 has no use for
/// one; 0 when there is none. toml++ 3.3 asks there whether U+00A1 to U+0499 are blanks, in code it calls
/// unreachable, so it must not see them.
int line_of_stray_letter(const std::string& text) {
    int line = 1;
    std::string_view quote; // the mark that ends the text we are in: ", ', three of them, or a line's end
    char before = '\n';     // the last one that is not a blank; quotes open a text only where one can begin
    for (std::size_t i = 0; i < text.size(); ++i) {
        const std::string_view rest = std::string_view(text).substr(i);
        line += text[i] == '\n' ? 1 : 0;
        if (quote.empty()) {
            if (static_cast<unsigned char>(text[i]) >= 0x80 && !(i < 3 && text.starts_with("\xef\xbb\xbf")))
                return line;
            const bool may_open = std::string_view("\n=[,{").find(before) != std::string_view::npos;
            if (text[i] != ' ' && text[i] != '\t' && text[i] != '\r')
                before = text[i];
            for (const std::string_view mark : {"\"\"\"", "'''", "\"", "'", "#"}) {
                if (rest.starts_with(mark) && (may_open || mark == "#")) {
                    quote = mark == "#" ? "\n" : mark;
                    i += mark.size() - 1;
                    break;
                }
            }
        } else if (rest.starts_with(quote)) {
            // A text of three quotes may end with two more of its own.
            i += quote.size() - 1;
            while (quote.size() == 3 && i + 1 < text.size() && text[i + 1] == quote[0])
                ++i;
            before = text[i];
            quote = {};
        } else if (text[i] == '\n' && quote.size() == 1) {
            before = '\n';
            quote = {};
        } else if (text[i] == '\\' && quote[0] == '"') {
            // Behind a backslash it looks for blanks too: at once, or where a line goes on in the next one.
            const std::size_t next = text.find_first_not_of(quote.size() == 3 ? " \t\r\n" : "", i + 1);
            if (next != std::string::npos && static_cast<unsigned char>(text[next]) >= 0x80)
                return line;
            i += next == i + 1 && text[next] != '\n' ? 1u : 0u;
        }
    }
    return 0;
}

} // namespace

Result<toml::table> parse(const std::string& text, const std::string& name) {
    if (const std::size_t line = overlong_line(text); line > 0) {
        return Problem{name + ":" + std::to_string(line), "This line is too long to be meant.",
                       "Check that the file is the one you mean; it is TOML with short lines."};
    }
    if (const int line = line_of_stray_letter(text); line > 0) {
        return Problem{name + ":" + std::to_string(line), "A letter stands here that only belongs in quotes, and not first behind a backslash.",
                       "Put the text in quotation marks; keys are written in plain letters."};
    }
    try {
        return toml::parse(text);
    } catch (const toml::parse_error& error) {
        const std::string where = name + ":" + std::to_string(error.source().begin.line);
        const std::string what(error.description());
        if (what.find("utf-8") != std::string::npos) {
            return Problem{where, "This is not text in UTF-8.", "Save the file as plain text in UTF-8."};
        }
        return Problem{where, what + ".", "Mend this line; the file is TOML."};
    }
}

std::string at(const std::string& name, const toml::node& node) {
    return name + ":" + std::to_string(node.source().begin.line);
}

std::string quoted(std::string_view word) {
    return "\"" + std::string(word) + "\"";
}

std::optional<Problem> unknown_key(const std::string& where, std::string_view key,
                                   const std::vector<std::string>& known, std::vector<std::string>& notes) {
    if (nearest(key, known).empty()) {
        notes.push_back(where + ": " + quoted(key) + " is not used.");
        return std::nullopt;
    }
    return Problem{where, quoted(key) + " is not a key here.", did_you_mean(key, known)};
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
