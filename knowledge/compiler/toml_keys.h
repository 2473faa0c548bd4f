// Reading one TOML table key by key: every key is asked for by name and type, and what nobody asked for is
// a mistake. Mistakes become findings with file and line. Only read_toml.cpp includes this.
#pragma once

#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/nearest.h"
#include "knowledge/compiler/read_toml.h"

namespace beckhand::toml_keys {

enum class Need { must, may };

inline std::string line_of(const std::string& file, const toml::source_region& region) {
    return file + ":" + std::to_string(region.begin.line);
}

inline const char* kind_of(const toml::node& node) {
    switch (node.type()) {
    case toml::node_type::table:
        return "a table { ... }";
    case toml::node_type::array:
        return "a list [ ... ]";
    case toml::node_type::string:
        return "text";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
        return "a number";
    case toml::node_type::boolean:
        return "true or false";
    default:
        return "a date or time";
    }
}

inline bool comes_before(const toml::source_position& a, const toml::source_position& b) {
    return a.line != b.line ? a.line < b.line : a.column < b.column;
}

// toml++ sorts keys by name; the pack keeps the order in which people wrote them.
inline std::vector<std::pair<toml::key, const toml::node*>> in_written_order(const toml::table& table) {
    std::vector<std::pair<toml::key, const toml::node*>> entries;
    for (auto&& [key, node] : table) {
        entries.emplace_back(key, &node);
    }
    std::sort(entries.begin(), entries.end(), [](const auto& a, const auto& b) {
        return comes_before(a.first.source().begin, b.first.source().begin);
    });
    return entries;
}

// One table of a file, read key by key.
class Keys {
public:
    Keys(Written& out, const std::string& file, const toml::table& table, std::string path, std::string thing)
        : out_(out), file_(file), table_(table), path_(std::move(path)), thing_(std::move(thing)) {}

    ~Keys() {
        for (auto&& [key, node] : table_) {
            const std::string name(key.str());
            if (std::find(asked_.begin(), asked_.end(), name) == asked_.end()) {
                complain(line_of(file_, key.source()), "\"" + name + "\" is not a key of " + thing_ + ".",
                         did_you_mean(name, asked_));
            }
        }
    }
    Keys(const Keys&) = delete;
    Keys& operator=(const Keys&) = delete;

    void text(const char* key, std::string& into, Need need = Need::may) {
        if (const toml::node* node = find(key, need)) {
            if (const auto value = node->value_exact<std::string>()) {
                into = *value;
            } else {
                wrong_type(key, *node, "text in quotes");
            }
        }
    }
    void number(const char* key, double& into, Need need = Need::may) {
        if (const toml::node* node = find(key, need)) {
            const auto value = node->is_number() ? node->value<double>() : std::nullopt;
            if (value && std::isfinite(*value)) {
                into = *value;
            } else {
                wrong_type(key, *node, "a plain number without quotes");
            }
        }
    }
    [[nodiscard]] std::optional<double> number_if_there(const char* key) {
        double value = 0;
        const bool there = table_.contains(key);
        number(key, value);
        return there ? std::optional(value) : std::nullopt;
    }
    void flag(const char* key, bool& into) {
        if (const toml::node* node = find(key, Need::may)) {
            if (const auto value = node->value_exact<bool>()) {
                into = *value;
            } else {
                wrong_type(key, *node, "true or false without quotes");
            }
        }
    }
    template <class Word>
    void word(const char* key, Word& into, std::optional<Word> (*of)(std::string_view),
              const std::vector<std::string>& words, Need need = Need::must) {
        if (const toml::node* node = find(key, need)) {
            const auto value = node->value_exact<std::string>();
            const auto found = value ? of(*value) : std::nullopt;
            if (found) {
                into = *found;
            } else if (value) {
                complain(line_of(file_, node->source()),
                         "\"" + *value + "\" is not a word for \"" + std::string(key) + "\".",
                         did_you_mean(*value, words));
            } else {
                wrong_type(key, *node, "text in quotes");
            }
        }
    }
    void list(const char* key, std::vector<std::string>& into, Need need = Need::may) {
        each(key, need, "a list of texts in quotes", [&](const toml::node& item) {
            const auto value = item.value_exact<std::string>();
            into.push_back(value.value_or(""));
            return value.has_value();
        });
    }
    void list(const char* key, std::vector<double>& into, Need need = Need::may) {
        each(key, need, "a list of numbers", [&](const toml::node& item) {
            const auto value = item.is_number() ? item.value<double>() : std::nullopt;
            into.push_back(value.value_or(0));
            return value.has_value();
        });
    }
    /// The things of a list of tables; `read(keys, index)` for each.
    template <class Read>
    void tables(const char* key, const std::string& thing, Need need, Read read) {
        std::size_t index = 0;
        each(key, need, "a list of tables [{ ... }]", [&](const toml::node& item) {
            const toml::table* table = item.as_table();
            if (table) {
                const std::string path = path_ + "." + key + "." + std::to_string(index);
                out_.lines[path] = line_of(file_, item.source());
                Keys keys(out_, file_, *table, path, thing);
                read(keys, index);
                ++index;
            }
            return table != nullptr;
        });
    }
    /// A table within; `read(keys)` when it is there.
    template <class Read>
    void table(const char* key, const std::string& thing, Need need, Read read) {
        if (const toml::table* table = find_table(key, need)) {
            const std::string path = path_ + "." + key;
            out_.lines[path] = line_of(file_, table->source());
            Keys keys(out_, file_, *table, path, thing);
            read(keys);
        }
    }
    /// The entries of a table whose keys are free names; `read(name, node, line)` for each, as written.
    template <class Read>
    void entries(const char* key, Read read) {
        if (const toml::table* table = find_table(key, Need::may)) {
            for (const auto& [name, node] : in_written_order(*table)) {
                read(std::string(name.str()), *node, line_of(file_, name.source()));
            }
        }
    }

    void complain(const std::string& where, const std::string& what, const std::string& todo) {
        out_.findings.push_back({Finding::Weight::error, where, what, todo});
    }
    [[nodiscard]] Written& out() { return out_; }
    [[nodiscard]] const std::string& file() const { return file_; }
    [[nodiscard]] const std::string& path() const { return path_; }

private:
    const toml::node* find(const char* key, Need need) {
        asked_.emplace_back(key);
        const toml::node* node = table_.get(key);
        if (!node && need == Need::must) {
            complain(line_of(file_, table_.source()), thing_ + " has no \"" + key + "\".",
                     "Add a line that begins with " + std::string(key) + " =.");
        }
        return node;
    }
    const toml::table* find_table(const char* key, Need need) {
        const toml::node* node = find(key, need);
        if (node && !node->is_table()) {
            wrong_type(key, *node, "a table");
        }
        return node ? node->as_table() : nullptr;
    }
    template <class Take>
    void each(const char* key, Need need, const char* wanted, Take take) {
        const toml::node* node = find(key, need);
        const toml::array* array = node ? node->as_array() : nullptr;
        if (node && !array) {
            wrong_type(key, *node, wanted);
        }
        if (array) {
            for (const toml::node& item : *array) {
                if (!take(item)) {
                    wrong_type(key, item, wanted);
                }
            }
        }
    }
    void wrong_type(const char* key, const toml::node& node, const char* wanted) {
        complain(line_of(file_, node.source()), "\"" + std::string(key) + "\" holds " + kind_of(node) + ".",
                 "It must be " + std::string(wanted) + ".");
    }

    Written& out_;
    const std::string& file_;
    const toml::table& table_;
    std::string path_, thing_;
    std::vector<std::string> asked_;
};

} // namespace beckhand::toml_keys
