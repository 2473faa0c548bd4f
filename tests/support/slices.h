// Slices of a log for the tests of the bundle: one small and known, and a site with as many visits as
// wanted, whose answers are those of the shipped pack. A Writer chains entries as a device's log does.
#pragma once

#include <algorithm>
#include <map>
#include <random>
#include <string>

#include "engine/bundle/merge.h"
#include "engine/diagnosis/pack.h"
#include "engine/records/event_json.h"

namespace beckhand::tests {

inline Event event_at(int number, Happening what, std::int64_t ms, const std::string& by = "EK") {
    return Event{number, Instant{ms}, by, std::move(what)};
}

inline Site mill_site(const std::string& name = "Mill Lane") {
    Site site;
    site.name = name;
    site.access = "Over the stile. The bank is soft after rain.";
    site.fall = metres(3.2);
    site.lift = metres(21);
    site.drive_length = metres(19);
    site.drive_bore = inches(2);
    site.drive_rating = bar(10);
    site.drive_material = PipeMaterial::steel;
    site.record.beat = beats_per_minute(48);
    return site;
}

/// One device's stream: every entry behind the one before it, with secrets of its own.
struct Writer {
    std::string device = std::string(32, '1');
    std::int64_t number = 0;
    Hash last = {};
    std::mt19937 random{7};

    std::string secret() {
        std::string bytes;
        for (int i = 0; i < 16; ++i) bytes += static_cast<char>(random() & 0xff);
        return bytes;
    }
    /// Adds what is set of an entry to the slice as this device's next one.
    Hash write(bundle::LogSlice& slice, LogEntry entry) {
        entry.device = device;
        entry.number = ++number;
        entry.prev = last;
        if (!entry.by.empty() && entry.by_secret.empty()) entry.by_secret = secret();
        if (names_people(entry.kind)) entry.json_secret = secret();
        return last = slice.add(std::move(entry));
    }
    Hash write_sheet(bundle::LogSlice& slice, const std::string& id, const std::string& json,
                     std::vector<Hash> after = {}, std::int64_t version = 1) {
        LogEntry entry;
        entry.subject = id;
        entry.place = version;
        entry.kind = site_sheet_kind;
        entry.json = json;
        entry.after = std::move(after);
        std::sort(entry.after.begin(), entry.after.end());
        return write(slice, std::move(entry));
    }
    void write_visit(bundle::LogSlice& slice, const std::string& id, const std::vector<Event>& events,
                     const std::string& headline = "Less water at the tank") {
        std::vector<Hash> after;
        std::map<std::string, std::string> secrets; // one a person and visit, as the log has it
        for (const Event& event : events) {
            LogEntry entry;
            if (secrets.count(event.by) == 0) secrets[event.by] = secret();
            if (!event.by.empty()) entry.by_secret = secrets[event.by];
            entry.subject = id;
            entry.place = event.number;
            entry.at = event.at;
            entry.by = event.by;
            entry.kind = kind_of(event.what);
            entry.headline = headline;
            entry.json = *kept_json(event.what);
            entry.after = after;
            after = {write(slice, std::move(entry))};
        }
    }
};

inline std::vector<Event> small_visit(const std::string& site_id, std::int64_t ms = 1'700'000'000'000) {
    return {event_at(1, Opened{site_id, mill_site(), "1.0.0", std::string(64, 'a')}, ms),
            event_at(2, Answered{"complaint", "less_at_tank", true}, ms + 9'000),
            event_at(3, Measured{"Q", 0.000123456789, Care::careful}, ms + 61'000),
            event_at(4, Heeded{"pinch"}, ms + 70'000),
            event_at(5, Noted{"Zoë will bring the seals on Friday."}, ms + 90'000)};
}

inline bundle::LogSlice small_slice() {
    bundle::LogSlice slice;
    Writer writer;
    writer.write_sheet(slice, "s1", *kept_json(mill_site()));
    writer.write_visit(slice, "v1", small_visit("s1"));
    return slice;
}

inline std::string random_id(std::mt19937& random) {
    std::string id;
    for (int i = 0; i < 32; ++i) {
        id += "0123456789abcdef"[random() % 16];
    }
    return id;
}

/// A site with `visits` visits of about twenty events: answers, figures of two or three digits, a note.
inline bundle::LogSlice visited_site(const Pack& pack, int visits, unsigned seed) {
    std::mt19937 random(seed);
    bundle::LogSlice slice;
    Writer writer;
    const std::string site_id = random_id(random);
    writer.write_sheet(slice, site_id, *kept_json(mill_site()));
    std::int64_t ms = 1'690'000'000'000;
    for (int visit = 0; visit < visits; ++visit) {
        ms += 600'000'000 + static_cast<std::int64_t>(random() % 900'000'000);
        std::vector<Event> events{
            event_at(1, Opened{site_id, mill_site(), pack.version, pack.hash}, ms),
        };
        const auto add = [&](Happening what) {
            ms += 4'000 + static_cast<std::int64_t>(random() % 90'000);
            events.push_back(event_at(static_cast<int>(events.size()) + 1, std::move(what), ms,
                                      visit % 3 == 0 ? "EK" : "caretaker"));
        };
        for (int answer = 0; answer < 12; ++answer) {
            const Observation& asked = pack.observations[random() % pack.observations.size()];
            add(Answered{asked.id, asked.answers[random() % asked.answers.size()].id, answer < 2});
            if (answer == 1)
                add(Began{});
        }
        for (int figure = 0; figure < 4; ++figure) {
            add(Measured{pack.measurements[random() % pack.measurements.size()].id,
                         static_cast<double>(1 + random() % 999) / 60'000, Care::careful});
        }
        const std::string cause = pack.causes[random() % pack.causes.size()].id;
        add(FixChosen{cause});
        add(Noted{visit % 2 == 0 ? "Strainer half in silt again, cleared by hand."
                                 : "Rubber of the waste valve is worn on one side; spare ordered."});
        add(Closed{Closing::handed_on});
        writer.write_visit(slice, random_id(random), events);
    }
    return slice;
}

} // namespace beckhand::tests
