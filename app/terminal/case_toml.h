// The TOML behind case files, site files and the demo scenario: parsing, and the parts they share, each
// message with the line it is about. For the .cpp files of this folder only.
#pragma once

#include <string>
#include <string_view>
#include <vector>

// The library's two modes, with exceptions and without, may not meet in one program; the pack compiler's is
// the usual one, so it is this one too. No exception leaves parse().
#include <toml++/toml.h>

#include "app/terminal/case_file.h"

namespace beckhand::case_toml {

[[nodiscard]] Result<toml::table> parse(const std::string& text, const std::string& name);

/// "file.toml:12". A copied node has no line: hand nodes on by reference.
[[nodiscard]] std::string at(const std::string& name, const toml::node& node);

[[nodiscard]] std::string in_quotes(std::string_view word);

/// A key that nobody knows: a slip of the pen is an error, a word from elsewhere is left alone and told.
[[nodiscard]] std::optional<Problem> unknown_key(const std::string& where, std::string_view key,
                                                 const std::vector<std::string>& known,
                                                 std::vector<std::string>& notes);

/// The keys of a site (`in_record`: those of its healthy record), but for those in `passed_over`.
[[nodiscard]] Outcome read_site_keys(const toml::table& table, const std::string& name, bool in_record,
                                     Site& site, std::vector<std::string>& notes,
                                     const std::vector<std::string>& passed_over = {});

/// The keys of a case, but for those in `passed_over`, which the caller reads.
[[nodiscard]] Result<CaseFile> read_case_keys(const toml::table& table, const std::string& name,
                                              const Pack& pack,
                                              const std::vector<std::string>& passed_over = {});

} // namespace beckhand::case_toml
