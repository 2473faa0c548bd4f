// Merging as it happens: three devices, each with its log in a file, that write, hand a site over as a sealed
// bundle in a file, take such files in late, twice or out of order, erase a person, and are started anew in
// between. bundle_merge_test.cpp does the same with slices alone, many more times.
// BECKHAND_STORE_MERGES=1000 for the long form.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <random>
#include <set>

#include "engine/bundle/hand_over.h"
#include "engine/bundle/slice_cbor.h"
#include "tests/engine/store_helpers.h"
#include "tests/support/slices.h"

namespace beckhand {
namespace {

using namespace tests;
using namespace bundle;

int wanted_histories() {
    const char* const wanted = std::getenv("BECKHAND_STORE_MERGES");
    return wanted ? std::max(1, std::atoi(wanted)) : 30;
}

struct Hand { // a device in somebody's hand
    std::string log;                  // its file
    std::optional<Store> store = {};
    DeviceKey key = {};
    std::vector<std::string> given = {}; // files handed out
    int opened = 0;                   // visits that it began
};

std::set<Digest> names_in(const LogSlice& log) {
    std::set<Digest> names;
    for (const auto& [name, entry] : log.entries) names.insert(name);
    return names;
}

std::string list_text(const Store& store) {
    std::vector<std::string> lines;
    const auto visits = store.visits();
    const auto sites = store.sites();
    for (const VisitRow& row : *visits) {
        lines.push_back(row.id + " " + row.site_id + " " + row.headline + " " + std::to_string(row.events) + " " +
                        std::to_string(row.branches) + (row.closed ? " closed" : ""));
    }
    for (const SiteRow& row : *sites) {
        lines.push_back(row.id + " " + *kept_json(row.site) + " " + std::to_string(row.differences.size()));
    }
    std::sort(lines.begin(), lines.end()); // clocks differ, and lists of one device go by its own order first
    std::string text;
    for (const std::string& line : lines) text += line + "\n";
    return text;
}

struct History {
    std::mt19937 random;
    ScratchFolder folder;
    std::array<Hand, 3> devices = {};
    std::set<Digest> written = {};
    bool may_take_in = true; // the control leaves out that what came is kept
    int taken = 0, unlike_shown = 0, lost = 0, refused = 0, not_whole = 0;

    explicit History(unsigned seed) : random(seed) {
        for (std::size_t i = 0; i < devices.size(); ++i) {
            devices[i].log = folder.file("log" + std::to_string(i) + ".sqlite");
            std::array<std::uint8_t, 32> own{};
            own[0] = static_cast<std::uint8_t>(i + 1);
            devices[i].key = device_key(own);
            start(devices[i]);
        }
        // A visit that all of them know, and that anyone may go on with.
        refused += save(*devices[0].store, "v0", opening("s0")).has_value() ? 0 : 1;
        give(devices[0], "s0");
        for (Hand& device : devices) take(device, devices[0].given.back());
        note_written(devices[0]);
    }

    unsigned below(unsigned most) { return static_cast<unsigned>(random() % most); }

    void start(Hand& device) {
        device.store.reset();
        device.store.emplace(*Store::open(device.log, [this] {
            std::array<std::uint8_t, 16> id{};
            for (std::uint8_t& byte : id) byte = static_cast<std::uint8_t>(random());
            return id;
        }));
    }

    [[nodiscard]] static LogSlice log_of(const Hand& device) { return *slice_of(*device.store); }

    void note_written(const Hand& device) {
        const std::set<Digest> now = names_in(log_of(device));
        written.insert(now.begin(), now.end());
    }

    void write_sheet(Hand& device) {
        const std::string id = "s" + std::to_string(below(2));
        Site site = mill_site("Site " + id);
        const auto known = device.store->sites();
        for (const SiteRow& row : *known) {
            if (row.id == id) site = row.site;
        }
        if (below(2) == 0) site.fall = metres(1 + below(9));
        else site.access = "Danger " + std::to_string(below(20));
        bool saved = false;
        device.store->save_site({id, site}, Instant{clock()}, [&](const Outcome& done) { saved = done.has_value(); },
                                by());
        refused += saved ? 0 : 1;
    }

    void write_event(Hand& device) {
        const auto rows = device.store->visits();
        Event event;
        std::string visit;
        if (rows->empty() || below(4) == 0) {
            const auto mine = static_cast<std::size_t>(&device - devices.data());
            visit = "v" + std::to_string(mine) + "-" + std::to_string(++device.opened);
            event = opening("s" + std::to_string(below(2)));
        } else {
            visit = (*rows)[below(static_cast<unsigned>(rows->size()))].id;
            static const std::array<Happening, 6> events{
                Heeded{"pinch"},     Answered{"beat_now", "steady", false}, Measured{"Q", 0.0002, Care::careful},
                Noted{"A was here"}, Closed{Closing::called_help},          Closed{Closing::proved}};
            event.number = device.store->events(visit)->back().number + 1;
            event.what = events[below(6)];
        }
        event.at = Instant{clock()};
        event.by = by();
        refused += save(*device.store, visit, event, "Stopped " + std::to_string(below(3))).has_value() ? 0 : 1;
    }

    std::int64_t clock() { return static_cast<std::int64_t>(below(2'000'000'000)) * 1'000; } // 1970 to 2033
    std::string by() { return std::string(1, static_cast<char>('A' + below(3))); }

    void give(Hand& device, const std::string& site) {
        const auto bytes = sealed_site(*device.store, site, device.key);
        if (!bytes) return void(++refused);
        const std::string file = folder.file("bundle" + std::to_string(random()));
        write_file(file, std::string(bytes->begin(), bytes->end()));
        device.given.push_back(file);
    }

    void take(Hand& device, const std::string& file) {
        const std::string text = content(file);
        const auto sealed = unseal(view(text));
        const auto offered = sealed ? read_slice(sealed->inside) : Result<LogSlice>(sealed.error());
        if (!offered) return void(++refused);
        ++taken;
        const LogSlice before = log_of(device);
        const Preview shown = preview(before, *offered, Instant{0});
        if (may_take_in) refused += bundle::take_in(*device.store, *sealed, *offered, shown, device.key, Instant{0}) ? 0 : 1;
        const LogSlice after = log_of(device);
        std::size_t differences = 0, forks = 0;
        for (const SiteView& site : sites_of(after)) {
            for (const FieldValues& field : site.fields) differences += field.live.size() > 1 ? 1u : 0u;
        }
        for (const VisitView& visit : visits_of(after)) forks += visit.branches.size() > 1 ? 1u : 0u;
        const bool as_shown = shown.digest == digest_of(after) &&
                              shown.new_entries == after.entries.size() - before.entries.size() &&
                              shown.differences.size() == differences && shown.forks.size() == forks &&
                              shown.new_visits == visits_of(after).size() - visits_of(before).size();
        unlike_shown += as_shown ? 0 : 1;
        for (const LogSlice* const side : {&before, &*offered}) {
            for (const auto& [name, entry] : side->entries) lost += after.entries.count(name) == 1 ? 0 : 1;
        }
    }

    void step() {
        Hand& device = devices[below(3)];
        switch (below(8)) {
        case 0: write_sheet(device); break;
        case 1: case 2: case 3: write_event(device); break;
        case 4: give(device, "s" + std::to_string(below(2))); break;
        case 5: case 6: // perhaps an old one, perhaps for the second time, perhaps its own
            if (const Hand& from = devices[below(3)]; !from.given.empty())
                take(device, from.given[below(static_cast<unsigned>(from.given.size()))]);
            break;
        default:
            if (below(6) == 0) refused += device.store->erase_person("A", Instant{clock()}) ? 0 : 1;
            else start(device);
        }
        note_written(device);
    }

    /// Everyone hands everything to everyone, in an order of its own.
    void meet() {
        std::array<std::pair<std::size_t, std::size_t>, 6> pairs{{{0, 1}, {1, 0}, {0, 2}, {2, 0}, {1, 2}, {2, 1}}};
        for (int round = 0; round < 2; ++round) {
            std::shuffle(pairs.begin(), pairs.end(), random);
            for (const auto& [from, to] : pairs) {
                for (const char* const site : {"s0", "s1"}) {
                    give(devices[from], site);
                    take(devices[to], devices[from].given.back());
                }
            }
        }
        for (Hand& device : devices) {
            start(device);
            const auto check = device.store->check();
            not_whole += check && check->broken.empty() && !check->lists_differed ? 0 : 1;
        }
    }
};

} // namespace

TEST_CASE("random histories of three devices with logs and bundles in files end in one log and lose nothing") {
    const int histories = wanted_histories();
    int divergent = 0, other_lists = 0, lost = 0, unlike_shown = 0, refused = 0, not_whole = 0, with_forks = 0, taken = 0;
    for (int seed = 1; seed <= histories; ++seed) {
        History history(static_cast<unsigned>(seed));
        const unsigned steps = 10 + history.below(25);
        for (unsigned i = 0; i < steps; ++i) history.step();
        history.meet();
        const LogSlice log = History::log_of(history.devices[0]);
        for (const Hand& device : history.devices) {
            divergent += digest_of(History::log_of(device)) == digest_of(log) ? 0 : 1;
            other_lists += list_text(*device.store) == list_text(*history.devices[0].store) ? 0 : 1;
        }
        for (const Digest& name : history.written) lost += log.entries.count(name) == 1 ? 0 : 1;
        lost += history.lost;
        unlike_shown += history.unlike_shown;
        refused += history.refused;
        not_whole += history.not_whole;
        taken += history.taken;
        const std::vector<VisitView> visits = visits_of(log);
        with_forks += std::any_of(visits.begin(), visits.end(), [](const VisitView& v) { return v.branches.size() > 1; });
    }
    CHECK(divergent == 0);
    CHECK(other_lists == 0);
    CHECK(lost == 0);
    CHECK(unlike_shown == 0);
    CHECK(refused == 0);
    CHECK(not_whole == 0);
    CHECK(with_forks > histories / 10); // or the histories would prove nothing about forks
    MESSAGE(histories << " histories, " << taken << " bundles taken in, " << with_forks << " with a forked visit");
}

TEST_CASE("the control: a device that says it took a bundle in and keeps nothing of it is found out") {
    int lost = 0, unlike_shown = 0, divergent = 0;
    for (unsigned seed = 1; seed <= 5; ++seed) {
        History history(seed);
        history.may_take_in = false;
        for (unsigned i = 0; i < 25; ++i) history.step();
        history.meet();
        lost += history.lost;
        unlike_shown += history.unlike_shown;
        divergent += digest_of(History::log_of(history.devices[0])) == digest_of(History::log_of(history.devices[1])) ? 0 : 1;
    }
    CHECK(lost > 0);
    CHECK(unlike_shown > 0);
    CHECK(divergent > 0);
}

} // namespace beckhand
