// A folder of TOML, checked, as one pack file.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

#include "engine/problem.h"
#include "knowledge/compiler/lint.h"
#include "knowledge/compiler/read_toml.h"

namespace beckhand {

struct Compiled {
    Pack pack;                     // with its hash when there is no error
    std::vector<std::byte> bytes;  // of the pack file; empty when there is an error
    std::vector<Finding> findings; // of form first, then of meaning
};

/// The *.toml files of a folder, in the order that gives the pack its order: visit, intake, drive_pipe,
/// fall, waste_valve, check_valve, air_vessel, delivery, tank, body, then the others by name. Fails when
/// the folder or a file cannot be read, or there is no TOML in it.
[[nodiscard]] Result<std::vector<SourceFile>> read_folder(const std::filesystem::path& folder);

/// Reads, checks and, when nothing is in error, makes the file. The same files give the same bytes.
[[nodiscard]] Compiled compile(const std::vector<SourceFile>& files, const LintRules& rules = {});

/// Writes the bytes beside `path` and moves them there, so that there is never half a pack.
[[nodiscard]] Outcome write_file(const std::filesystem::path& path, const std::vector<std::byte>& bytes);

/// The findings a line each, errors first, notes only when asked for, and a line with the counts:
/// "2 errors, 31 warnings." Text for a terminal.
[[nodiscard]] std::string lint_text(const std::vector<Finding>& findings, bool with_notes);

} // namespace beckhand
