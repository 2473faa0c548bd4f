#include "tests/faults/disk.h"

#include <algorithm>
#include <cstring>
#include <utility>

#include "tests/faults/failing_memory.h"

namespace beckhand::tests {
namespace {

struct Handle {
    sqlite3_file base;
    Disk* disk;
    int inode;
    char name[512];
};

Handle& handle(sqlite3_file* file) {
    return *reinterpret_cast<Handle*>(file);
}
Bytes& bytes_of(Handle& open) {
    return open.disk->files[open.inode].bytes;
}

bool ends_with(const std::string& text, const std::string& end) {
    return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

bool is_taken_to_be_there(const Disk& disk, const std::string& name) {
    return !disk.keeps_reserve && ends_with(name, ".reserve");
}

int close_file(sqlite3_file*) {
    return SQLITE_OK;
}

int read_file(sqlite3_file* file, void* to, int amount, sqlite3_int64 offset) {
    const Unfailing calm;
    Handle& open = handle(file);
    if (open.disk->fails())
        return SQLITE_IOERR_READ;
    const Bytes& bytes = bytes_of(open);
    const auto from = static_cast<std::size_t>(offset), wanted = static_cast<std::size_t>(amount);
    const std::size_t there = from < bytes.size() ? std::min(wanted, bytes.size() - from) : 0;
    if (there > 0)
        std::memcpy(to, bytes.data() + from, there);
    if (there == wanted)
        return SQLITE_OK;
    std::memset(static_cast<char*>(to) + there, 0, wanted - there);
    return SQLITE_IOERR_SHORT_READ;
}

int write_file(sqlite3_file* file, const void* from, int amount, sqlite3_int64 offset) {
    const Unfailing calm;
    Handle& open = handle(file);
    Disk& disk = *open.disk;
    if (disk.fails())
        return disk.full_not_broken ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    Bytes& bytes = bytes_of(open);
    const auto at = static_cast<std::size_t>(offset), size = static_cast<std::size_t>(amount);
    const std::size_t grows = at + size > bytes.size() ? at + size - bytes.size() : 0;
    if (grows > 0 && disk.most_bytes != SIZE_MAX && disk.bytes_used() + grows > disk.most_bytes)
        return SQLITE_FULL;
    if (grows > 0)
        bytes.resize(at + size);
    std::memcpy(bytes.data() + at, from, size);
    if (disk.noting) {
        const auto* const begin = static_cast<const std::uint8_t*>(from);
        disk.steps.push_back({Step::write, open.inode, at, Bytes(begin, begin + size), {}});
    }
    return SQLITE_OK;
}

int truncate_file(sqlite3_file* file, sqlite3_int64 size) {
    const Unfailing calm;
    Handle& open = handle(file);
    if (open.disk->fails())
        return SQLITE_IOERR_TRUNCATE;
    bytes_of(open).resize(static_cast<std::size_t>(size));
    if (open.disk->noting)
        open.disk->steps.push_back({Step::cut_short, open.inode, static_cast<std::size_t>(size), {}, {}});
    return SQLITE_OK;
}

// As SQLite's own file layer for Unix does, the first sync of a new journal syncs its folder, too.
int sync_file(sqlite3_file* file, int) {
    const Unfailing calm;
    Handle& open = handle(file);
    Disk& disk = *open.disk;
    if (disk.fails())
        return SQLITE_IOERR_FSYNC;
    const bool lies = disk.lies_about == "*" || (!disk.lies_about.empty() && ends_with(open.name, disk.lies_about));
    if (!disk.noting || lies)
        return SQLITE_OK;
    disk.steps.push_back({Step::sync, open.inode, 0, {}, {}});
    if (std::exchange(disk.files[open.inode].folder_unsynced, false))
        disk.steps.push_back({Step::sync_folder, 0, 0, {}, {}});
    return SQLITE_OK;
}

int size_of(sqlite3_file* file, sqlite3_int64* size) {
    if (handle(file).disk->fails())
        return SQLITE_IOERR_FSTAT;
    *size = static_cast<sqlite3_int64>(bytes_of(handle(file)).size());
    return SQLITE_OK;
}

int no_lock(sqlite3_file*, int) {
    return SQLITE_OK;
}
int nobody_else(sqlite3_file*, int* reserved) {
    *reserved = 0;
    return SQLITE_OK;
}
int control(sqlite3_file*, int, void*) {
    return SQLITE_NOTFOUND;
}
int sector_bytes(sqlite3_file*) {
    return 4096;
}
int no_promises(sqlite3_file*) {
    return 0;
}

const sqlite3_io_methods methods{1,        close_file, read_file,   write_file,   truncate_file, sync_file,
                                 size_of,  no_lock,    no_lock,     nobody_else,  control,       sector_bytes,
                                 no_promises, nullptr, nullptr,     nullptr,      nullptr,       nullptr,
                                 nullptr};

Disk& disk_of(sqlite3_vfs* vfs) {
    return *static_cast<Disk*>(vfs->pAppData);
}

int open_file(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out_flags) {
    const Unfailing calm;
    Disk& disk = disk_of(vfs);
    Handle& open = handle(file);
    open.base.pMethods = nullptr;
    if (disk.fails())
        return SQLITE_CANTOPEN;
    const std::string called = name ? name : "temporary";
    const auto found = disk.names.find(called);
    if (found == disk.names.end()) {
        if ((flags & SQLITE_OPEN_CREATE) == 0)
            return SQLITE_CANTOPEN;
        open.inode = disk.next_inode++;
        disk.names[called] = open.inode;
        const int journals = SQLITE_OPEN_SUPER_JOURNAL | SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_WAL;
        disk.files[open.inode].folder_unsynced = (flags & journals) != 0;
        if (disk.noting)
            disk.steps.push_back({Step::make, open.inode, 0, {}, called});
    } else {
        open.inode = found->second;
    }
    open.disk = &disk;
    std::strncpy(open.name, called.c_str(), sizeof open.name - 1);
    open.base.pMethods = &methods;
    if (out_flags)
        *out_flags = flags;
    return SQLITE_OK;
}

int delete_file(sqlite3_vfs* vfs, const char* name, int sync_folder) {
    const Unfailing calm;
    Disk& disk = disk_of(vfs);
    if (disk.fails())
        return SQLITE_IOERR_DELETE;
    if (is_taken_to_be_there(disk, name))
        return SQLITE_IOERR_DELETE_NOENT;
    const auto found = disk.names.find(name);
    if (found == disk.names.end())
        return SQLITE_IOERR_DELETE_NOENT;
    disk.names.erase(found);
    if (disk.noting) {
        disk.steps.push_back({Step::remove, 0, 0, {}, name});
        if (sync_folder != 0 && disk.lies_about != "*")
            disk.steps.push_back({Step::sync_folder, 0, 0, {}, {}});
    }
    return SQLITE_OK;
}

int access_file(sqlite3_vfs* vfs, const char* name, int, int* there) {
    const Unfailing calm;
    Disk& disk = disk_of(vfs);
    if (disk.fails())
        return SQLITE_IOERR_ACCESS;
    *there = is_taken_to_be_there(disk, name) || disk.names.contains(name);
    return SQLITE_OK;
}

int full_path(sqlite3_vfs*, const char* name, int room, char* out) {
    std::strncpy(out, name, static_cast<std::size_t>(room));
    return SQLITE_OK;
}

int fixed_random(sqlite3_vfs*, int amount, char* out) {
    for (int i = 0; i < amount; ++i)
        out[i] = static_cast<char>(i * 37 + 11);
    return amount;
}
int no_sleep(sqlite3_vfs*, int) {
    return 0;
}
int fixed_time(sqlite3_vfs*, double* day) {
    *day = 2461000.5;
    return SQLITE_OK;
}

} // namespace

Disk::Disk() : before_(sqlite3_vfs_find(nullptr)) {
    vfs_.iVersion = 1;
    vfs_.szOsFile = sizeof(Handle);
    vfs_.mxPathname = 500;
    vfs_.zName = "disk in memory";
    vfs_.pAppData = this;
    vfs_.xOpen = open_file;
    vfs_.xDelete = delete_file;
    vfs_.xAccess = access_file;
    vfs_.xFullPathname = full_path;
    vfs_.xRandomness = fixed_random;
    vfs_.xSleep = no_sleep;
    vfs_.xCurrentTime = fixed_time;
    sqlite3_vfs_register(&vfs_, 1);
}

Disk::~Disk() {
    sqlite3_vfs_unregister(&vfs_);
    sqlite3_vfs_register(before_, 1);
}

bool Disk::fails() {
    ++asked;
    return fail_at > 0 && (asked == fail_at || (keeps_failing && asked > fail_at));
}

void Disk::load(Image image) {
    names.clear();
    files.clear();
    for (auto& [name, bytes] : image) {
        names[name] = next_inode;
        files[next_inode++].bytes = std::move(bytes);
    }
}

Image Disk::image() const {
    Image image;
    for (const auto& [name, inode] : names)
        image[name] = files.at(inode).bytes;
    return image;
}

std::size_t Disk::bytes_used() const {
    std::size_t sum = 0;
    for (const auto& [name, inode] : names)
        sum += files.at(inode).bytes.size();
    return sum;
}

// --- the power cut ---

namespace {

constexpr std::size_t sector = 512;

void apply_write(Bytes& file, const Step& step) {
    if (file.size() < step.offset + step.bytes.size())
        file.resize(step.offset + step.bytes.size());
    std::copy(step.bytes.begin(), step.bytes.end(), file.begin() + static_cast<std::ptrdiff_t>(step.offset));
}

/// Each sector of the write is there or not; torn: one in sixteen of those that are not holds neither.
void apply_in_part(Bytes& file, const Step& step, bool torn, std::mt19937& random) {
    for (std::size_t at = 0; at < step.bytes.size(); at += sector) {
        const auto drawn = random();
        const bool there = (drawn & 1) != 0;
        const bool garbage = torn && (drawn & 0x1e) == 0;
        if (!there && !garbage)
            continue;
        Step part{Step::write, step.inode, step.offset + at, {}, {}};
        const std::size_t end = std::min(at + sector, step.bytes.size());
        part.bytes.assign(step.bytes.begin() + static_cast<std::ptrdiff_t>(at),
                          step.bytes.begin() + static_cast<std::ptrdiff_t>(end));
        if (garbage && !there) {
            for (std::uint8_t& byte : part.bytes)
                byte = static_cast<std::uint8_t>(random());
        }
        apply_write(file, part);
    }
}

bool is_of_folder(const Step& step) {
    return step.what == Step::make || step.what == Step::remove || step.what == Step::cut_short;
}

} // namespace

// A sync makes a file's writes sure. What concerns the folder and sizes is kept in its order, as a file
// system with a journal keeps it: a sync of the folder, or of any file, makes all of it before sure that
// belongs to it.
void PowerCut::settle(const Step& step) {
    const auto apply = [this](const Step& sure) {
        switch (sure.what) {
        case Step::write: apply_write(sure_.files[sure.inode], sure); break;
        case Step::cut_short: sure_.files[sure.inode].resize(sure.offset); break;
        case Step::make: sure_.names[sure.name] = sure.inode; break;
        case Step::remove: sure_.names.erase(sure.name); break;
        case Step::sync:
        case Step::sync_folder: break;
        }
    };
    if (step.what != Step::sync && step.what != Step::sync_folder) {
        pending_.push_back(&step);
        return;
    }
    std::vector<const Step*> left;
    for (const Step* one : pending_) {
        const bool named = one->what == Step::make || one->what == Step::remove;
        const bool sure = step.what == Step::sync ? !named && one->inode == step.inode : named;
        if (sure)
            apply(*one);
        else
            left.push_back(one);
    }
    pending_ = std::move(left);
}

Image PowerCut::image(std::size_t at, Survives what, std::mt19937& random) {
    for (; done_ < at; ++done_)
        settle(steps_[done_]);
    Disc disc = sure_;
    std::size_t folder_steps = 0;
    for (const Step* one : pending_)
        folder_steps += is_of_folder(*one);
    // Of the folder's steps a beginning survives; of writes, whatever `what` says.
    std::size_t folder_left = what == Survives::none  ? 0
                              : what == Survives::all ? folder_steps
                                                      : random() % (folder_steps + 1);
    std::size_t writes_left = what == Survives::prefix ? random() % (pending_.size() + 1) : pending_.size();
    for (const Step* one : pending_) {
        if (is_of_folder(*one)) {
            if (folder_left == 0)
                continue;
            --folder_left;
            if (one->what == Step::make)
                disc.names[one->name] = one->inode;
            else if (one->what == Step::remove)
                disc.names.erase(one->name);
            else
                disc.files[one->inode].resize(one->offset);
            continue;
        }
        if (what == Survives::none || writes_left == 0)
            continue;
        --writes_left;
        if (what == Survives::all || what == Survives::prefix)
            apply_write(disc.files[one->inode], *one);
        else
            apply_in_part(disc.files[one->inode], *one, what == Survives::torn, random);
    }
    Image image;
    for (const auto& [name, inode] : disc.names)
        image[name] = disc.files[inode];
    return image;
}

} // namespace beckhand::tests
