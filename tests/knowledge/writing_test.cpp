// The handbook's examples, put into the shipped pack in place of the things they show and linted there: what
// a newcomer copies from WRITING.md is right.
#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>

#include <toml++/toml.h>

#include "knowledge/compiler/compile.h"

namespace beckhand {
namespace {

std::string text_of(const std::string& path) {
    std::ifstream file(path);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<std::string> lines_of(const std::string& text) {
    std::istringstream in(text);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

/// The blocks between ```toml and ```.
std::vector<std::string> examples() {
    std::vector<std::string> found;
    bool inside = false;
    for (const std::string& line : lines_of(text_of(SOURCE_FOLDER "/knowledge/WRITING.md"))) {
        if (line == "```toml") {
            found.emplace_back();
            inside = true;
        } else if (line == "```") {
            inside = false;
        } else if (inside) {
            found.back() += line + "\n";
        }
    }
    return found;
}

/// "[cause.screen_matted.fix]" -> "cause.screen_matted"; empty for a line that begins no thing of the pack.
std::string thing_at(const std::string& line) {
    if (line.size() < 3 || line[0] != '[' || line[1] == '[') return "";
    const std::string path = line.substr(1, line.find(']') - 1);
    const std::size_t dot = path.find('.');
    return dot == std::string::npos ? "" : path.substr(0, path.find('.', dot + 1));
}

std::set<std::string> things_in(const std::string& text) {
    std::set<std::string> things;
    for (const std::string& line : lines_of(text)) {
        if (const std::string thing = thing_at(line); !thing.empty()) things.insert(thing);
    }
    return things;
}

std::string without(const std::string& text, const std::set<std::string>& things) {
    std::string left;
    bool keep = true;
    for (const std::string& line : lines_of(text)) {
        if (!line.empty() && line[0] == '[') keep = things.count(thing_at(line)) == 0;
        if (keep) left += line + "\n";
    }
    return left;
}

bool heads_the_pack(const std::string& example) { return example.rfind("version", 0) == 0; }
bool is_fragment(const std::string& example) { return example[0] != '[' && !heads_the_pack(example); }

/// The cause that the handbook shows, with the lines of a fragment in place of those it speaks about.
std::string cause_with(const std::string& cause, const std::string& fragment) {
    const toml::table keys = toml::parse(fragment);
    const auto spoken_of = [&](const std::string& line) {
        const std::string key = line.substr(0, line.find(' '));
        return std::any_of(keys.begin(), keys.end(), [&](const auto& entry) {
            const std::string own(entry.first.str());
            return own.find(key) != std::string::npos || key.find(own) != std::string::npos;
        });
    };
    std::string text;
    bool head = false;
    for (const std::string& line : lines_of(cause)) {
        if (!line.empty() && line[0] == '[') head = line == "[" + thing_at(line) + "]";
        if (!head || line.empty() || !spoken_of(line)) text += line + "\n";
        if (head && line[0] == '[') text += fragment;
    }
    return text;
}

/// The file that the example stands in, and whether it stands there alone.
std::string home_of(const std::string& example) {
    if (heads_the_pack(example)) return "pack.toml";
    for (const char* const list : {"impossible", "waived"}) {
        if (example.rfind("[[" + std::string(list) + "]]", 0) == 0) return std::string(list) + ".toml";
    }
    return "intake.toml";
}

/// Where the example begins in the file it was put at the end of, and the findings from there on.
std::vector<std::string> findings_of(const std::string& example) {
    const std::string home = home_of(example);
    const std::set<std::string> things = things_in(example);
    std::vector<SourceFile> files = *read_folder(SOURCE_FOLDER "/knowledge/pack");
    int first_line = 0;
    for (SourceFile& file : files) {
        file.text = home != "intake.toml" && file.name == home ? "" : without(file.text, things);
        if (file.name != home) continue;
        first_line = static_cast<int>(lines_of(file.text).size());
        file.text += example;
    }
    std::vector<std::string> found;
    for (const Finding& finding : compile(files).findings) {
        const bool here = finding.where.rfind(home + ":", 0) == 0 && std::stoi(finding.where.substr(home.size() + 1)) > first_line;
        if (here || finding.weight == Finding::Weight::error) found.push_back(finding.sentence());
    }
    return found;
}

std::string shown_cause() {
    for (const std::string& example : examples()) {
        if (example.rfind("[cause.", 0) == 0) return example;
    }
    return "";
}

} // namespace

TEST_CASE("every example in the handbook is right as it stands") {
    std::set<std::string> kinds;
    for (const std::string& example : examples()) {
        CAPTURE(example);
        REQUIRE_FALSE(example.empty());
        for (const std::string& thing : things_in(example)) kinds.insert(thing.substr(0, thing.find('.')));
        const std::vector<std::string> found =
            findings_of(is_fragment(example) ? cause_with(shown_cause(), example) : example);
        CHECK_MESSAGE(found.empty(), (found.empty() ? std::string() : found.front()));
        if (heads_the_pack(example)) {
            for (const char* const part : {"[scale]", "[[change]]", "[[first_sight]]", "[[look_alike]]", "[[chain]]"}) {
                CHECK(example.find(part) != std::string::npos);
            }
        }
    }
    CHECK(kinds == std::set<std::string>{"caution", "cause", "measurement", "observation", "service", "source"});
}

TEST_CASE("a slip in an example would be found") {
    std::string example = shown_cause();
    const std::size_t at = example.find("matted = \"typical\"");
    REQUIRE(at != std::string::npos);
    CHECK_FALSE(findings_of(example.substr(0, at) + "mated" + example.substr(at + 6)).empty());
    CHECK_FALSE(findings_of(cause_with(example, "wass = [\"screen_clogged\"]\n")).empty());
    CHECK(findings_of(cause_with(example, "was = [\"screen_clogged\"]\n")).empty());
}

TEST_CASE("the scale that the handbook shows is the one that is used where a key is left out") {
    const auto files = examples();
    const auto head = std::find_if(files.begin(), files.end(), heads_the_pack);
    REQUIRE(head != files.end());
    const Scale shown = read_toml({{"pack.toml", *head}}).pack.scale;
    const Scale usual;
    CHECK(shown.typical == usual.typical);
    CHECK(shown.likelier == usual.likelier);
    CHECK(shown.unlikelier == usual.unlikelier);
    CHECK(shown.nearly_excluded == usual.nearly_excluded);
    CHECK(shown.normal_base == usual.normal_base);
    CHECK(shown.other_base == usual.other_base);
    CHECK(shown.group_repeat == usual.group_repeat);
    CHECK(shown.slip == usual.slip);
    CHECK(shown.something_else == usual.something_else);
}

} // namespace beckhand
