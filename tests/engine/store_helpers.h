// What the tests of the log share: a small visit to save, and short ways to ask what came of it.
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include <sqlite3.h>

#include "engine/records/event_json.h"
#include "engine/records/store.h"
#include "tests/faults/scratch.h"

namespace beckhand::tests {

inline Site a_site(const std::string& name) {
    Site site;
    site.name = name;
    site.fall = metres(3.7);
    site.drive_bore = inches(2);
    return site;
}

inline Event event(int number, Happening what, std::int64_t ms = 0) {
    Event made;
    made.number = number;
    made.at.ms = ms ? ms : 1'700'000'000'000 + number * 1'000;
    made.by = "Zoë";
    made.what = std::move(what);
    return made;
}

inline Event opening(const std::string& site_id = "s1", std::int64_t ms = 0) {
    return event(1, Opened{site_id, a_site("Mühlgraben"), "1", "hash"}, ms);
}

/// Saves, and hands out what the completion said; it must be called once, before commit returns.
inline Outcome save(Store& store, const std::string& visit, const Event& what,
                    const std::string& headline = "Stopped") {
    int calls = 0;
    Outcome outcome = Problem{"test", "never answered", ""};
    store.commit(visit, what, headline, [&](Outcome o) { ++calls, outcome = std::move(o); });
    CHECK(calls == 1);
    return outcome;
}

inline std::string sentence(const Outcome& outcome) {
    return outcome ? "saved" : outcome.error().sentence();
}

inline bool says(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

inline std::string open_says(const std::string& path) {
    const Result<Store> store = Store::open(path);
    return store ? "opened" : store.error().sentence();
}

/// SQL run on a closed log by SQLite alone, as another tool would.
inline int by_hand(const std::string& path, const std::string& sql) {
    sqlite3* file = nullptr;
    int code = sqlite3_open(path.c_str(), &file);
    if (code == SQLITE_OK)
        code = sqlite3_exec(file, sql.c_str(), nullptr, nullptr, nullptr);
    sqlite3_close(file);
    return code;
}

inline std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

inline void write_file(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

} // namespace beckhand::tests
