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

bool holds(const std::string& name, std::span<const std::byte> bytes) {
    std::ifstream file(name, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    return std::equal(bytes.begin(), bytes.end(), text.begin(), text.end(),
                      [](std::byte a, char b) { return a == static_cast<std::byte>(b); });
}

} // namespace

Outcome write_whole(const std::string& file, std::span<const std::byte> bytes) {
    const std::string part = file + ".part";
    std::ofstream out(part, std::ios::binary);
    out.write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    out.close();
    std::error_code error;
    bool done = out.good() && sync(part, O_WRONLY) && holds(part, bytes);
    if (done) {
        fs::rename(part, file, error);
        done = !error && sync(fs::path(file).parent_path().string(), O_RDONLY | O_DIRECTORY);
    }
    if (done) return Done{};
    fs::remove(part, error);
    return not_written(file);
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
    const Result<std::vector<std::byte>> bytes = make_(visit_id);
    if (!bytes) return bytes.error();
    return write_whole(file_of(visit_id), *bytes);
}

std::vector<std::string> SecondFolder::behind(const std::vector<VisitRow>& visits) const {
    std::vector<std::string> ids;
    for (const VisitRow& visit : visits) {
        if (!visit.closed) continue;
        // Not by time, which may be wrong: a copy is as new as the visit when it has the same bytes.
        const Result<std::vector<std::byte>> bytes = make_(visit.id);
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
