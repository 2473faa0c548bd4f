// Rows are read one by one from both ends, then one by one in between: a page that cannot be read costs the
// rows on it and no others. Salvage by SQLite's own recovery is not used: it may bring back altered rows.
#include "engine/records/rescue.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <system_error>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/records/entries.h"
#include "engine/records/schema.h"

namespace beckhand::log_file {
namespace {

namespace fs = std::filesystem;

struct Found {
    std::vector<LogEntry> entries;
    std::vector<std::string> own;
    std::vector<std::pair<std::string, std::string>> settings;
    std::int64_t missing = 0;
    int failed = SQLITE_OK;
};

using EachRow = std::function<void(const Query&)>;

/// Calls `each` for every row of `table` that can be read. `columns` starts with the rowid. What the storage
/// or the memory refuses is no damage, and sets `failed`: the rescue is then left for later.
void scan(sqlite3* file, const std::string& columns, const std::string& table, int& failed, const EachRow& each) {
    const auto note = [&failed](const Query& query) {
        const int kind = query.code() & 0xff;
        if (kind == SQLITE_IOERR || kind == SQLITE_NOMEM)
            failed = query.code();
    };
    const std::string select = "SELECT " + columns + " FROM " + table + " NOT INDEXED";
    std::int64_t low = 0;
    Query forward(file, (select + " ORDER BY rowid").c_str());
    while (forward.row()) {
        low = forward.number(0);
        each(forward);
    }
    note(forward);
    if (!forward.failed())
        return;
    std::int64_t high = 0;
    Query backward(file, (select + " WHERE rowid>?1 ORDER BY rowid DESC").c_str());
    backward.bind(1, low);
    while (backward.row()) {
        high = backward.number(0);
        each(backward);
    }
    note(backward);
    if (!backward.failed())
        return;
    // Without an upper end: no page holds more than a few hundred rows.
    Query pages(file, "PRAGMA page_count");
    const std::int64_t most = high > 0 ? high - 1 : low + 500 * (pages.row() ? pages.number(0) : 0);
    for (std::int64_t row = low + 1; row <= most; ++row) {
        Query one(file, (select + " WHERE rowid=?1").c_str());
        one.bind(1, row);
        if (one.row())
            each(one);
        note(one);
    }
}

bool is_schema_1(sqlite3* file) {
    Query query(file, "SELECT count(*) FROM sqlite_schema WHERE type='table' AND name='event'");
    return query.row() && query.number(0) == 1;
}

/// Of schema 1 there are no hashes: what reads as a row is believed, and chained from here on.
void read_schema_1(sqlite3* file, const NewDevice& device, Found& found) {
    Schema1Stream stream{device()};
    found.own.push_back(stream.device);
    const auto take = [&](const Query& row) {
        found.entries.push_back(next_of_schema_1(stream, row, 1, device));
    };
    scan(file, std::string("rowid, ") + schema_1_sheet, "site", found.failed, take);
    scan(file, "rowid, visit_id, number, at_ms, by_whom, kind, '', json", "event", found.failed, take);
}

void read_entries(sqlite3* file, Found& found) {
    std::map<std::string, std::int64_t> highest, sound;
    scan(file, std::string("rowid, ") + entry_columns, "entry", found.failed, [&](const Query& row) {
        LogEntry entry = entry_of(row, 1);
        if (!is_sound(entry)) {
            ++found.missing;
            return;
        }
        ++sound[entry.device];
        highest[entry.device] = std::max(highest[entry.device], entry.number);
        found.entries.push_back(std::move(entry));
    });
    scan(file, "rank, device", "own", found.failed, [&](const Query& row) { found.own.push_back(row.text(1)); });
    // A device's own stream has no gaps; a stream that came in from elsewhere may.
    std::int64_t gaps = 0;
    for (const std::string& device : found.own)
        gaps += highest[device] - sound[device];
    found.missing = std::max(found.missing, gaps);
}

int write_found(sqlite3* log, const Found& found, const std::string& device) {
    int code = sqlite3_exec(log, "BEGIN IMMEDIATE; DELETE FROM own", nullptr, nullptr, nullptr);
    for (const std::string& own : found.own)
        code = code == SQLITE_OK ? begin_stream(log, own) : code;
    // What went missing at the end may be in somebody's hands: its numbers are not used again.
    if (code == SQLITE_OK)
        code = begin_stream(log, device);
    for (const LogEntry& entry : found.entries)
        code = code == SQLITE_OK ? add_entry(log, entry) : code;
    for (const auto& [key, value] : found.settings) {
        if (code != SQLITE_OK)
            break;
        Query setting(log, "INSERT OR REPLACE INTO setting VALUES(?1,?2)");
        code = setting.bind(1, key).bind(2, value).run();
    }
    if (code == SQLITE_OK)
        code = rebuild(log);
    if (code == SQLITE_OK)
        code = sqlite3_exec(log, "COMMIT", nullptr, nullptr, nullptr);
    return code;
}

void remove_log(const std::string& path) {
    std::error_code ignored;
    for (const char* ending : {"", "-wal", "-journal", "-shm"})
        fs::remove(path + ending, ignored);
}

std::string free_name(const std::string& path) {
    std::error_code ignored;
    for (int n = 1;; ++n) {
        std::string name = path + ".damaged-" + std::to_string(n);
        if (!fs::exists(name, ignored) && !fs::exists(name + "-wal", ignored))
            return name;
    }
}

/// The file and what belongs to it move together: neither means anything without the other.
Outcome move_aside(const std::string& path, const std::string& aside) {
    std::error_code error, ignored;
    fs::rename(path, aside, error);
    if (error)
        return Problem{path, "This log is damaged, and could not be put aside.",
                       "Check that its folder may be written to, then start Beckhand again."};
    for (const char* ending : {"-wal", "-journal"}) {
        if (fs::exists(path + ending, ignored))
            fs::rename(path + ending, aside + ending, ignored);
    }
    return Done{};
}

/// A file cut short is refused by SQLite as a whole. A copy filled up with nothing to the length that its
/// header names is read as far as it goes.
int seize_lengthened(const std::string& path, const std::string& copy, Connection& file) {
    std::error_code error;
    fs::copy_file(path, copy, fs::copy_options::overwrite_existing, error);
    if (!error && fs::exists(path + "-wal", error))
        fs::copy_file(path + "-wal", copy + "-wal", fs::copy_options::overwrite_existing, error);
    std::array<unsigned char, 32> header{};
    if (error || !std::ifstream(path, std::ios::binary)
                      .read(reinterpret_cast<char*>(header.data()), static_cast<std::streamsize>(header.size())))
        return SQLITE_CORRUPT;
    // Page size and page count, SQLite file format, header offsets 16 and 28, most significant byte first.
    const std::uintmax_t page = header[16] * 256U + header[17];
    std::uintmax_t pages = 0;
    for (std::size_t i = 28; i < 32; ++i)
        pages = pages * 256 + header[i];
    constexpr std::uintmax_t most = 1024 * 1024 * 1024; // a damaged header may name any length
    if (page * pages <= fs::file_size(copy, error) || page * pages > most)
        return SQLITE_CORRUPT;
    fs::resize_file(copy, page * pages, error);
    return error ? SQLITE_CORRUPT : seize(copy, file);
}

void read_all(sqlite3* file, const NewDevice& device, Found& found) {
    if (is_schema_1(file))
        read_schema_1(file, device, found);
    else
        read_entries(file, found);
    scan(file, "rowid, key, value", "setting", found.failed,
         [&](const Query& row) { found.settings.emplace_back(row.text(1), row.text(2)); });
}

} // namespace

void finish_rescue(const std::string& path) {
    std::error_code ignored;
    if (!fs::exists(path, ignored) && fs::exists(path + ".rescue", ignored))
        fs::rename(path + ".rescue", path, ignored);
}

Result<Rescued> rescue(const std::string& path, const NewDevice& device) {
    Found found;
    const std::string copy = path + ".rescue-source";
    {
        Connection file;
        int held = seize(path, file);
        if ((held & 0xff) == SQLITE_CORRUPT) {
            file.reset();
            held = seize_lengthened(path, copy, file);
        }
        // A file that cannot even be held has nothing to be read; what matters is that it is kept.
        if (held != SQLITE_OK && (held & 0xff) != SQLITE_CORRUPT)
            return problem_of(held, path);
        if (held == SQLITE_OK)
            read_all(file.get(), device, found);
    }
    remove_log(copy);
    if (found.failed != SQLITE_OK)
        return problem_of(found.failed, path);
    std::sort(found.entries.begin(), found.entries.end(), [](const LogEntry& a, const LogEntry& b) {
        return std::tie(a.device, a.number, a.hash) < std::tie(b.device, b.number, b.hash);
    });
    found.entries.erase(std::unique(found.entries.begin(), found.entries.end(),
                                    [](const LogEntry& a, const LogEntry& b) {
                                        return a.hash == b.hash;
                                    }),
                        found.entries.end());

    const std::string fresh = path + ".rescue";
    remove_log(fresh);
    {
        Refused why{};
        const Result<Connection> log = connect(fresh, device, true, why);
        if (!log)
            return log.error();
        if (const int code = write_found(log->get(), found, device()); code != SQLITE_OK)
            return problem_of(code, path);
    }
    const std::string aside = free_name(path);
    if (const Outcome moved = move_aside(path, aside); !moved)
        return moved.error();
    finish_rescue(path);
    return Rescued{aside, static_cast<std::int64_t>(found.entries.size()), found.missing};
}

} // namespace beckhand::log_file
