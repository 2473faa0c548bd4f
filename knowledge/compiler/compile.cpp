// Reading the folder, compiling, and the words about it.
#include "knowledge/compiler/compile.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

#include "engine/diagnosis/pack_file.h"
#include "engine/text_file.h"

namespace beckhand {

namespace {

constexpr std::array<std::string_view, 10> order = {"visit",       "intake",      "drive_pipe", "fall",
                                                    "waste_valve", "check_valve", "air_vessel", "delivery",
                                                    "tank",        "body"};

std::size_t rank_of(const SourceFile& file) {
    const std::string stem = file.name.substr(0, file.name.rfind('.'));
    return static_cast<std::size_t>(std::find(order.begin(), order.end(), stem) - order.begin());
}

std::string counted(std::size_t count, const std::string& word) {
    return std::to_string(count) + " " + word + (count == 1 ? "" : "s");
}

} // namespace

Result<std::vector<SourceFile>> read_folder(const std::filesystem::path& folder) {
    std::error_code error;
    std::vector<SourceFile> files;
    for (std::filesystem::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        if (entry->path().extension() != ".toml") {
            continue;
        }
        Result<std::string> text = read_text_file(entry->path().string());
        if (!text) {
            return text.error();
        }
        files.push_back({entry->path().filename().string(), std::move(*text)});
    }
    if (error) {
        return Problem{folder.string(), "This folder cannot be read.",
                       "Name the folder that holds the pack's TOML files."};
    }
    if (files.empty()) {
        return Problem{folder.string(), "There is no TOML file in this folder.",
                       "Name the folder that holds the pack's TOML files."};
    }
    std::sort(files.begin(), files.end(), [](const SourceFile& a, const SourceFile& b) {
        const std::size_t a_rank = rank_of(a), b_rank = rank_of(b);
        return a_rank != b_rank ? a_rank < b_rank : a.name < b.name;
    });
    return files;
}

Compiled compile(const std::vector<SourceFile>& files, const LintRules& rules) {
    Written written = read_toml(files);
    Compiled compiled;
    compiled.findings = std::move(written.findings);
    written.findings.clear();
    const std::vector<Finding> of_meaning = lint(written, rules);
    compiled.findings.insert(compiled.findings.end(), of_meaning.begin(), of_meaning.end());
    compiled.pack = std::move(written.pack);
    if (has_errors(compiled.findings)) {
        return compiled;
    }
    compiled.pack.hash = content_hash(compiled.pack);
    Result<std::vector<std::byte>> bytes = write_pack(compiled.pack);
    if (bytes) {
        compiled.bytes = std::move(bytes).value();
    } else {
        const Problem& problem = bytes.error();
        compiled.findings.push_back({Finding::Weight::error, problem.where, problem.what, problem.todo});
    }
    return compiled;
}

Outcome write_file(const std::filesystem::path& path, const std::vector<std::byte>& bytes) {
    const Problem cannot{path.string(), "The pack cannot be written there.",
                         "Check that the folder exists, may be written to and has room."};
    std::filesystem::path part = path;
    part += ".part";
    std::error_code error;
    {
        std::ofstream out(part, std::ios::binary | std::ios::trunc);
        out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
        out.close();
        if (!out) {
            std::filesystem::remove(part, error);
            return cannot;
        }
    }
    std::filesystem::rename(part, path, error);
    if (error) {
        std::filesystem::remove(part, error);
        return cannot;
    }
    return Done{};
}

std::string lint_text(const std::vector<Finding>& findings, bool with_notes) {
    std::string errors, warnings, notes;
    std::size_t error_count = 0, warning_count = 0;
    for (const Finding& finding : findings) {
        const std::string line = finding.sentence() + "\n";
        switch (finding.weight) {
        case Finding::Weight::error:
            errors += line;
            ++error_count;
            break;
        case Finding::Weight::warning:
            warnings += line;
            ++warning_count;
            break;
        case Finding::Weight::note:
            notes += line;
            break;
        }
    }
    return errors + warnings + (with_notes ? notes : "") + counted(error_count, "error") + ", " +
           counted(warning_count, "warning") + ".\n";
}

} // namespace beckhand
