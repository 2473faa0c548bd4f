// The house rules that a machine can hold: which room may know which, and that every room has its tests.
#include <doctest/doctest.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

const fs::path source = SOURCE_FOLDER;

struct File {
    std::string path; // from the source folder
    std::vector<std::string> lines;
};

std::vector<File> files_under(const char* folder) {
    std::vector<File> files;
    for (const auto& entry : fs::recursive_directory_iterator(source / folder)) {
        const std::string ending = entry.path().extension().string();
        if (ending != ".h" && ending != ".cpp") continue;
        File file{fs::relative(entry.path(), source).string(), {}};
        std::ifstream in(entry.path());
        for (std::string line; std::getline(in, line);) {
            file.lines.push_back(line);
        }
        files.push_back(file);
    }
    return files;
}

/// The room that an include names, or the library: "engine", "SDL.h".
std::string included(const std::string& line) {
    const auto open = line.find_first_of("\"<");
    const auto close = line.find_last_of("\">");
    if (line.rfind("#include", 0) != 0 || open == std::string::npos || close <= open) return "";
    return line.substr(open + 1, close - open - 1);
}

bool begins(const std::string& text, const std::string& with) { return text.rfind(with, 0) == 0; }

void no_include_of(const char* folder, const std::vector<std::string>& forbidden) {
    for (const File& file : files_under(folder)) {
        for (const std::string& line : file.lines) {
            for (const std::string& word : forbidden) {
                CHECK_MESSAGE(!begins(included(line), word), file.path, ": ", line);
            }
        }
    }
}

} // namespace

TEST_CASE("engine knows no screen, no window, no clock, no thread and no room above it") {
    no_include_of("engine", {"app/", "platform/", "knowledge/", "SDL", "imgui", "spdlog", "chrono", "thread", "random",
                             "iostream", "toml++"});
}

TEST_CASE("app knows engine alone: nothing of SDL, of the platform or of the compiler") {
    no_include_of("app", {"platform/", "knowledge/", "SDL", "spdlog", "sqlite3", "thread"});
}

TEST_CASE("time is given: neither engine nor app reads a clock") {
    for (const char* folder : {"engine", "app"}) {
        for (const File& file : files_under(folder)) {
            for (const std::string& line : file.lines) {
                for (const char* word : {"_clock::", "std::time(", "gettimeofday", "clock_gettime", "random_device"}) {
                    CHECK_MESSAGE(line.find(word) == std::string::npos, file.path, ": ", line);
                }
            }
        }
    }
}

TEST_CASE("the compiler knows the engine and no screen") { no_include_of("knowledge", {"app/", "platform/", "SDL", "imgui"}); }

TEST_CASE("hydraulics and quantities do not know the rooms that use them") {
    no_include_of("engine/quantity", {"engine/hydraulics", "engine/pump", "engine/diagnosis", "engine/records"});
    no_include_of("engine/hydraulics", {"engine/pump", "engine/diagnosis", "engine/records"});
    no_include_of("engine/pump", {"engine/diagnosis", "engine/records"});
}

TEST_CASE("shared code keeps to what the browser's compiler takes") {
    const std::array<std::string, 8> refused{"std::ranges", "std::views",  "std::format", "std::bit_cast",
                                             "std::jthread", "co_await", "std::from_chars", "std::source_location"};
    for (const char* folder : {"engine", "app"}) {
        for (const File& file : files_under(folder)) {
            for (const std::string& line : file.lines) {
                for (const std::string& word : refused) {
                    CHECK_MESSAGE(line.find(word) == std::string::npos, file.path, ": ", line);
                }
            }
        }
    }
}

TEST_CASE("a file has one subject: none is longer than 450 lines, and each says at its top what it is for") {
    for (const char* folder : {"engine", "app", "platform", "knowledge"}) {
        for (const File& file : files_under(folder)) {
            CHECK_MESSAGE(file.lines.size() <= 450, file.path, " has ", file.lines.size(), " lines");
            const bool header = file.path.substr(file.path.size() - 2) == ".h";
            CHECK_MESSAGE((!header || begins(file.lines.front(), "//")), file.path);
        }
    }
}

TEST_CASE("every room of the tests has tests") {
    for (const char* room : {"engine", "published", "knowledge", "app", "platform", "screens", "house", "faults", "fuzz",
                             "referee"}) {
        int cases = 0;
        for (const File& file : files_under((std::string("tests/") + room).c_str())) {
            for (const std::string& line : file.lines) {
                cases += begins(line, "TEST_CASE") ? 1 : 0;
            }
        }
        CHECK_MESSAGE(cases > 0, room);
    }
}

TEST_CASE("the top level holds the rooms and nothing else") {
    const std::set<std::string> allowed{"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "app",  "engine",
                                        "knowledge",      "platform",  "tests",         "assets"};
    for (const auto& entry : fs::directory_iterator(source)) {
        const std::string name = entry.path().filename().string();
        CHECK_MESSAGE((name.front() == '.' || allowed.count(name) == 1), name);
    }
}
