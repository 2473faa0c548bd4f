#include "platform/desktop/paths.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <system_error>

#include <SDL.h>

namespace beckhand {

namespace {

std::string variable(const char* name) {
    const char* const value = std::getenv(name);
    return value == nullptr ? std::string() : std::string(value);
}

Result<std::filesystem::path> wanted_folder(const std::string& given) {
    std::filesystem::path folder = given;
    if (given.empty()) {
        const std::string base = variable("XDG_DATA_HOME"), home = variable("HOME");
        // The specification asks to ignore a path that is not absolute.
        if (!base.empty() && base.front() == '/') {
            folder = std::filesystem::path(base) / "beckhand";
        } else if (!home.empty()) {
            folder = std::filesystem::path(home) / ".local/share/beckhand";
        } else {
            return Problem{"data folder", "There is no home folder to keep the log in.",
                           "Name a folder with --data."};
        }
    }
    return folder;
}

} // namespace

Result<std::string> data_folder(const std::string& given) {
    const auto wanted = wanted_folder(given);
    if (!wanted) return wanted.error();
    const std::filesystem::path& folder = *wanted;
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (!std::filesystem::is_directory(folder)) {
        return Problem{folder.string(),
                       "The folder for the log cannot be made" +
                           (error ? ": " + error.message() + "." : std::string(".")),
                       "Check its rights, or name another one with --data."};
    }
    return folder.string();
}

std::string data_folder_if_there(const std::string& given) {
    const auto wanted = wanted_folder(given);
    std::error_code failed;
    return wanted && std::filesystem::is_directory(*wanted, failed) ? wanted->string() : "";
}

bool can_write(const std::string& folder) {
    const std::filesystem::path trial = std::filesystem::path(folder) / ".beckhand-trial";
    const bool made = std::ofstream(trial).put('x').flush().good();
    std::error_code ignored;
    std::filesystem::remove(trial, ignored);
    return made;
}

std::string pack_folder_near() {
    std::error_code failed;
    const std::filesystem::path here = std::filesystem::current_path(failed);
    const std::unique_ptr<char, void (*)(void*)> program(SDL_GetBasePath(), &SDL_free);
    for (std::filesystem::path from : {here, std::filesystem::path(program ? program.get() : "")}) {
        while (!from.empty()) {
            const std::filesystem::path pack = from / "knowledge" / "pack";
            if (std::filesystem::is_directory(pack, failed)) {
                return from == here ? "knowledge/pack" : pack.string();
            }
            if (from == from.parent_path()) break;
            from = from.parent_path();
        }
    }
    return "";
}

} // namespace beckhand
