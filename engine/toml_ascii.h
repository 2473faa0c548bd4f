// Text beyond ASCII past toml++ 3.3, which looks at such letters in code that it calls unreachable: it is given
// pure ASCII, and what it read is written again as it stood in the file. For every reader of TOML; this room
// does not know the library, so its types are parameters here.
#pragma once

#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "engine/problem.h"

namespace beckhand {

/// The text of a file for the TOML reader: every letter beyond ASCII is a mark that only quotes and comments
/// may hold, as TOML 1.0 allows such letters nowhere else. Lines stay where they are. A Problem with the line for
/// what is not UTF-8, and for a line that would use up the reader's stack. `name`: of the file.
[[nodiscard]] Result<std::string> toml_ascii(const std::string& text, const std::string& name);

/// A text that the reader read from toml_ascii(), as it stood in the file.
[[nodiscard]] std::string toml_written(std::string_view ascii);

/// What the reader said of `line`, in the words of this program.
[[nodiscard]] Problem toml_problem(const std::string& name, long line, std::string_view said);

/// "file.toml:12"
[[nodiscard]] std::string toml_line(const std::string& name, long line);

/// Every text and key in what was read from toml_ascii() as it stood in the file; nodes keep their lines. A
/// Problem for two keys that only the spelling of a letter told apart.
template <class Node>
[[nodiscard]] Outcome write_toml_again(Node& node, const std::string& name) {
    if (auto* const text = node.as_string()) {
        text->get() = toml_written(text->get());
    } else if (auto* const array = node.as_array()) {
        for (auto& item : *array) {
            if (Outcome done = write_toml_again(item, name); !done) return done;
        }
    } else if (auto* const table = node.as_table()) {
        using Key = std::decay_t<decltype(table->begin()->first)>;
        std::vector<Key> changed;
        for (auto&& [key, item] : *table) {
            if (toml_written(key.str()) != key.str()) changed.push_back(key);
            if (Outcome done = write_toml_again(item, name); !done) return done;
        }
        for (const Key& key : changed) {
            const Key written(toml_written(key.str()), key.source());
            if (table->contains(written.str())) {
                return Problem{toml_line(name, static_cast<long>(key.source().begin.line)),
                               "The key \"" + toml_written(key.str()) + "\" is given twice.", "Take one of them away."};
            }
            table->get(key.str())->visit([&](auto& item) { table->insert_or_assign(written, std::move(item)); });
            table->erase(key.str());
        }
    }
    return Done{};
}

} // namespace beckhand
