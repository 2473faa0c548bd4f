// The file goes through SQLite's own file layer, so that whatever keeps the log keeps this too.
#include "engine/records/reserve.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include <sqlite3.h>

namespace beckhand::log_file {
namespace {

constexpr std::size_t block_bytes = 64 * 1024;
constexpr std::size_t blocks = 16;

std::string name_of(const std::string& log_path) {
    return log_path + ".reserve";
}

bool is_there(sqlite3_vfs* vfs, const std::string& name) {
    int there = 0;
    return vfs->xAccess(vfs, name.c_str(), SQLITE_ACCESS_EXISTS, &there) == SQLITE_OK && there != 0;
}

// Not zeros: a storage that packs its files would set nothing aside for them.
std::array<std::uint8_t, block_bytes> noise() {
    std::array<std::uint8_t, block_bytes> bytes{};
    std::uint32_t state = 0x42484c47;
    for (std::uint8_t& byte : bytes) {
        state = state * 1'664'525U + 1'013'904'223U; // Numerical Recipes' quick generator
        byte = static_cast<std::uint8_t>(state >> 24);
    }
    return bytes;
}

int write_all(sqlite3_file* file) {
    static const std::array<std::uint8_t, block_bytes> block = noise();
    for (std::size_t i = 0; i < blocks; ++i) {
        const int code = file->pMethods->xWrite(file, block.data(), static_cast<int>(block_bytes),
                                                static_cast<sqlite3_int64>(i * block_bytes));
        if (code != SQLITE_OK)
            return code;
    }
    return file->pMethods->xSync(file, SQLITE_SYNC_NORMAL);
}

} // namespace

bool keep_reserve(const std::string& log_path) {
    sqlite3_vfs* const vfs = sqlite3_vfs_find(nullptr);
    // SQLite wants a file's name to end with further zeros, where a URI's parameters would stand.
    const std::string name = name_of(log_path) + std::string(3, '\0');
    if (is_there(vfs, name))
        return true;
    std::vector<std::max_align_t> room(static_cast<std::size_t>(vfs->szOsFile) / sizeof(std::max_align_t) + 1);
    auto* const file = reinterpret_cast<sqlite3_file*>(room.data());
    int code = vfs->xOpen(vfs, name.c_str(), file,
                          SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_SUPER_JOURNAL, nullptr);
    if (code != SQLITE_OK)
        return false;
    code = write_all(file);
    file->pMethods->xClose(file);
    if (code != SQLITE_OK)
        vfs->xDelete(vfs, name.c_str(), 0);
    return code == SQLITE_OK;
}

bool release_reserve(const std::string& log_path) {
    sqlite3_vfs* const vfs = sqlite3_vfs_find(nullptr);
    const std::string name = name_of(log_path);
    return is_there(vfs, name) && vfs->xDelete(vfs, name.c_str(), 0) == SQLITE_OK;
}

} // namespace beckhand::log_file
