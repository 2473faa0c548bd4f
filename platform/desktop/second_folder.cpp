#include "platform/desktop/second_folder.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
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

bool sync(const char* name, int flags) {
    const int file = open(name, flags | O_CLOEXEC);
    if (file < 0) return false;
    const bool synced = fsync(file) == 0;
    return close(file) == 0 && synced;
}

bool holds(const char* name, std::span<const std::uint8_t> bytes) {
    const int file = open(name, O_RDONLY | O_CLOEXEC);
    if (file < 0) return false;
    std::array<std::uint8_t, 65536> piece{};
    std::size_t same = 0;
    ssize_t some = 0;
    while ((some = read(file, piece.data(), piece.size())) > 0) {
        const auto size = static_cast<std::size_t>(some);
        if (size > bytes.size() - same || std::memcmp(piece.data(), bytes.data() + same, size) != 0) break;
        same += size;
    }
    return close(file) == 0 && some == 0 && same == bytes.size();
}

bool written_and_read_back(const char* name, std::span<const std::uint8_t> bytes, int rights) {
    const int file = open(name, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, rights);
    if (file < 0) return false;
    std::size_t written = 0;
    while (written < bytes.size()) {
        const ssize_t some = write(file, bytes.data() + written, bytes.size() - written);
        if (some < 0 && errno == EINTR) continue;
        if (some <= 0) break;
        written += static_cast<std::size_t>(some);
    }
    const bool synced = written == bytes.size() && fsync(file) == 0;
    return close(file) == 0 && synced && holds(name, bytes);
}

} // namespace

Outcome write_whole(const std::string& file, std::span<const std::uint8_t> bytes, int rights) {
    // All the memory it takes is taken before there is a part of a file.
    const std::string part = file + ".part", parent = fs::path(file).parent_path().string();
    const std::string folder = parent.empty() ? "." : parent;
    Problem not_there{file, "This file cannot be written.", "Check the folder and that there is room in it."};
    if (written_and_read_back(part.c_str(), bytes, rights) && std::rename(part.c_str(), file.c_str()) == 0 &&
        sync(folder.c_str(), O_RDONLY | O_DIRECTORY)) {
        return Done{};
    }
    (void)unlink(part.c_str());
    return not_there;
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
        if (bytes && !holds(file_of(visit.id).c_str(), *bytes)) ids.push_back(visit.id);
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
