// What is done to a log while its disk is troubled: visits saved event by event, entries of another device
// taken in; and what must be there afterwards.
#pragma once

#include <doctest/doctest.h>

#include <functional>
#include <string>
#include <vector>

#include "engine/records/event_json.h"
#include "engine/records/store.h"

namespace beckhand::tests {

inline constexpr int events_per_driven_visit = 12;

inline Event driven_event(int visit, int number) {
    Event event;
    event.number = number;
    event.at.ms = 1'780'000'000'000 + visit * 86'400'000LL + number * 1'000;
    event.by = "keeper";
    if (number == 1) {
        Site site;
        site.name = "Mühlgraben";
        site.fall = metres(3.7);
        event.what = Opened{"site", site, "1", "hash"};
    } else if (number == events_per_driven_visit) {
        event.what = Closed{Closing::proved};
    } else if (number % 4 == 0) {
        event.what = Measured{"Q", visit / 3.0 + number, Care::careful};
    } else if (number == 6) {
        event.what = Noted{std::string(static_cast<std::size_t>(30 * (visit % 9)), 'n')};
    } else {
        event.what = Answered{"beat_now", "steady " + std::to_string(visit), false};
    }
    return event;
}

/// Saves one event; what the completion said.
inline bool saves(Store& store, const std::string& visit, const Event& event) {
    bool saved = false;
    store.commit(visit, event, "Headline of " + visit, [&](const Outcome& done) { saved = done.has_value(); });
    return saved;
}

/// Entries of another device: one visit with its site.
inline std::vector<LogEntry> foreign_entries(int visits) {
    std::vector<LogEntry> entries;
    Hash last{};
    for (int visit = 0; visit < visits; ++visit) {
        for (int number = 1; number <= events_per_driven_visit; ++number) {
            const Event event = driven_event(visit, number);
            LogEntry entry;
            entry.device = std::string(32, 'f');
            entry.number = static_cast<std::int64_t>(entries.size()) + 1;
            entry.subject = "foreign-" + std::to_string(visit);
            entry.place = number;
            entry.at = event.at;
            entry.by = event.by;
            entry.kind = kind_of(event.what);
            entry.json = to_json(event.what);
            entry.prev = last;
            entry.hash = last = hash_of(entry);
            entries.push_back(std::move(entry));
        }
    }
    return entries;
}

} // namespace beckhand::tests
