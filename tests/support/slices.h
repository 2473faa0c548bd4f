// Slices of a log for the tests of the bundle: one small and known, and a site with as many visits as
// wanted, whose answers are those of the shipped pack.
#pragma once

#include <random>
#include <string>

#include "engine/bundle/site_parts.h"
#include "engine/diagnosis/pack.h"

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

inline void add_site(bundle::LogSlice& slice, const std::string& id, const Site& site) {
    for (bundle::Entry& entry : *bundle::entries_of_site(id, site)) {
        slice.add(entry);
    }
}
inline void add_visit(bundle::LogSlice& slice, const std::string& id, const std::vector<Event>& events) {
    for (bundle::Entry& entry : *bundle::entries_of_visit(id, events)) {
        slice.add(entry);
    }
}

inline std::vector<Event> small_visit(const std::string& site_id, std::int64_t ms = 1'700'000'000'000) {
    return {event_at(1, Opened{site_id, mill_site(), "1.0.0", std::string(64, 'a')}, ms),
            event_at(2, Answered{"complaint", "less_at_tank", true}, ms + 9'000),
            event_at(3, Measured{"Q", 0.000123456789, Care::careful}, ms + 61'000),
            event_at(4, Heeded{"pinch"}, ms + 70'000),
            event_at(5, Noted{"Zoë will bring the seals on Friday."}, ms + 90'000)};
}

inline bundle::LogSlice small_slice() {
    bundle::LogSlice slice;
    add_site(slice, "s1", mill_site());
    add_visit(slice, "v1", small_visit("s1"));
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
    const std::string site_id = random_id(random);
    add_site(slice, site_id, mill_site());
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
        add_visit(slice, random_id(random), events);
    }
    return slice;
}

} // namespace beckhand::tests
