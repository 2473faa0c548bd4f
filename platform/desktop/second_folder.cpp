#include "platform/desktop/second_folder.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include <fcntl.h>
#include <unistd.h>

namespace beckhand {
namespace {

namespace fs = std::filesystem;

constexpr const char* ending = ".visit";

Problem not_written(const std::string& file) {
    return {file, "The copy of this visit could not be written.",
            "The visit itself is saved in the log. Check that the second folder is there and has room; the copy is "
            "made at the next start."};
}

bool sync(const std::string& name, int flags) {
    const int file = open(name.c_str(), flags | O_CLOEXEC);
    if (file < 0) return false;
    const bool synced = fsync(file) == 0;
    return close(file) == 0 && synced;
}

bool holds(const std::string& name, std::span<const std::uint8_t> bytes) {
    std::ifstream file(name, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    return std::equal(bytes.begin(), bytes.end(), text.begin(), text.end(),
                      [](std::uint8_t a, char b) { return a == static_cast<std::uint8_t>(b); });
}

} // namespace

Outcome write_whole(const std::string& file, std::span<const std::uint8_t> bytes, int rights) {
    const std::string part = file + ".part";
    const int out = open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, rights);
    std::size_t written = 0;
    while (out >= 0 && written < bytes.size()) {
        const ssize_t some = write(out, bytes.data() + written, bytes.size() - written);
        if (some <= 0) break;
        written += static_cast<std::size_t>(some);
    }
    bool done = out >= 0 && written == bytes.size() && fsync(out) == 0;
    done = out >= 0 && close(out) == 0 && done && holds(part, bytes);
    std::error_code error;
    if (done) {
        fs::rename(part, file, error);
        const fs::path folder = fs::path(file).parent_path();
        done = !error && sync(folder.empty() ? "." : folder.string(), O_RDONLY | O_DIRECTORY);
    }
    if (done) return Done{};
    fs::remove(part, error);
    return Problem{file, "This file cannot be written.", "Check the folder and that there is room in it."};
}

Result<std::vector<std::uint8_t>> read_whole(const std::string& file, std::size_t most) {
    std::error_code error;
    const auto size = fs::file_size(file, error);
    if (error || !fs::is_regular_file(file)) return Problem{file, "There is no such file.", "Check its name."};
    if (size > most) {
        return Problem{file, "This is larger than a bundle may be.", "Choose the file that was handed over."};
    }
    std::ifstream in(file, std::ios::binary);
    return std::vector<std::uint8_t>{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

std::vector<std::string> SecondFolder::files_in(const std::string& folder) {
    std::vector<std::string> files;
    std::error_code error;
    for (const auto& file : fs::directory_iterator(folder, error)) {
        if (file.path().extension() == ending) files.push_back(file.path().string());
    }
    std::sort(files.begin(), files.end());
    return files;
}

std::string SecondFolder::file_of(const std::string& visit_id) const {
    // An id from elsewhere is any text; only of letters and digits is a name made.
    std::string name;
    for (const char c : visit_id) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-';
        name += plain ? c : '_';
    }
    return (fs::path(folder_) / (name.substr(0, 60) + ending)).string();
}

Outcome SecondFolder::copy(const std::string& visit_id) const {
    std::error_code error;
    fs::create_directories(folder_, error);
    const Result<std::vector<std::uint8_t>> bytes = make_(visit_id);
    if (!bytes) return bytes.error();
    return write_whole(file_of(visit_id), *bytes) ? Outcome(Done{}) : Outcome(not_written(file_of(visit_id)));
}

std::vector<std::string> SecondFolder::behind(const std::vector<VisitRow>& visits) const {
    std::vector<std::string> ids;
    for (const VisitRow& visit : visits) {
        if (!visit.closed) continue;
        // Not by time, which may be wrong: a copy is as new as the visit when it has the same bytes.
        const Result<std::vector<std::uint8_t>> bytes = make_(visit.id);
        if (bytes && !holds(file_of(visit.id), *bytes)) ids.push_back(visit.id);
    }
    return ids;
}

Outcome SecondFolder::catch_up(const std::vector<VisitRow>& visits) const {
    for (const std::string& id : behind(visits)) {
        if (const Outcome copied = copy(id); !copied) return copied;
    }
    return Done{};
}

} // namespace beckhand
