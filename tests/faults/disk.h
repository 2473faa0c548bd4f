// A disk in memory under SQLite, for trouble that a real disk gives too rarely: it notes every write and sync
// so that a power cut can be tried at each of them; it fails at the n-th thing asked of it; it is full at a
// size of choice. While it lives it is where every log of this process is kept.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include <sqlite3.h>

namespace beckhand::tests {

using Bytes = std::vector<std::uint8_t>;
/// Files by name, as found after the power is back.
using Image = std::map<std::string, Bytes>;

struct Step {
    enum What { write, cut_short, sync, make, remove, sync_folder } what = write;
    int inode = 0;
    std::size_t offset = 0;   // write; size for cut_short
    Bytes bytes;              // write
    std::string name;         // make, remove
};

class Disk {
public:
    Disk();
    ~Disk();
    Disk(const Disk&) = delete;
    Disk& operator=(const Disk&) = delete;

    /// Starts over with these files.
    void load(Image image);
    [[nodiscard]] Image image() const;
    [[nodiscard]] std::size_t bytes_used() const;

    // --- noting ---
    bool noting = false;
    std::vector<Step> steps;
    /// Syncs of files whose name ends so are passed over, as a disk that lies does; "*": all syncs.
    std::string lies_about;

    // --- failing ---
    long asked = 0;            // things asked since it was last set to 0
    long fail_at = 0;          // the one of them to fail, from 1; 0: none
    bool keeps_failing = false; // everything from then on fails as well
    bool full_not_broken = false; // a write that fails says that the disk is full
    std::size_t most_bytes = SIZE_MAX; // of all files together

    /// The log's reserve is a file like others. Without this it is taken to be there: a megabyte of it would
    /// only slow every image down.
    bool keeps_reserve = false;

    // --- used by the file layer below ---
    struct File {
        Bytes bytes;
        bool folder_unsynced = false;
    };
    [[nodiscard]] bool fails();
    std::map<std::string, int> names;
    std::map<int, File> files;
    int next_inode = 1;

private:
    sqlite3_vfs vfs_{};
    sqlite3_vfs* before_ = nullptr;
};

/// What may be on the disk when the power goes just before step `at`.
class PowerCut {
public:
    /// `before`: what the disk surely held when the noting began, taken then.
    PowerCut(const std::vector<Step>& steps, const Disk& before) : steps_(steps), sure_{before.names, {}} {
        for (const auto& [inode, file] : before.files)
            sure_.files[inode] = file.bytes;
    }

    enum class Survives { none, all, prefix, subset, torn };
    /// `at` must not be less than before.
    Image image(std::size_t at, Survives what, std::mt19937& random);

private:
    struct Disc { // what is surely there
        std::map<std::string, int> names;
        std::map<int, Bytes> files;
    };
    void settle(const Step& step);
    const std::vector<Step>& steps_;
    Disc sure_;
    std::vector<const Step*> pending_; // neither synced nor surely lost, in order
    std::size_t done_ = 0;
};

} // namespace beckhand::tests
