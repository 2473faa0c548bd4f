// Merging: three devices that write, hand over, forget to, hand over old bundles, and set their clocks
// wrong. However it went, all end with the same log, nothing is lost, and what was shown is what came.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <random>
#include <set>

#include "engine/bundle/preview.h"
#include "engine/bundle/slice_cbor.h"
#include "tests/support/slices.h"

using namespace beckhand;
using namespace beckhand::bundle;
using namespace beckhand::tests;

namespace {

int wanted_histories() {
    const char* const wanted = std::getenv("BECKHAND_MERGES");
    return wanted ? std::max(1, std::atoi(wanted)) : 5'000;
}

struct Writes {
    Writer writer;
    LogSlice log = {};
    std::vector<LogSlice> given = {};   // bundles made earlier, to be handed over late
};

Writes device(char digit) {
    Writes made;
    made.writer.device = std::string(32, digit);
    made.writer.random = std::mt19937(static_cast<std::mt19937::result_type>(digit));
    return made;
}

struct History {
    std::mt19937 random;
    std::array<Writes, 3> devices{device('1'), device('2'), device('3')};
    std::set<Digest> written = {};
    LogSlice (*put_together)(const LogSlice&, const LogSlice&) = merge;
    bool shown_was_right = true, kept_all = true, never_weaker = true;

    unsigned below(unsigned most) { return static_cast<unsigned>(random() % most); }

    void write(Writes& device, LogEntry entry) {
        entry.at.ms = static_cast<std::int64_t>(below(2'000'000'000)) * 1'000; // clocks that jump: 1970 to 2033
        entry.by = std::string(1, static_cast<char>('A' + below(3)));
        written.insert(device.writer.write(device.log, std::move(entry)));
    }

    /// One figure changed on the sheet as this device sees it.
    void write_figure(Writes& device) {
        LogEntry entry;
        entry.subject = "s" + std::to_string(below(2));
        entry.place = 1;
        entry.kind = site_sheet_kind;
        Site site;
        std::set<Hash> ends;
        for (const SiteView& known : sites_of(device.log)) {
            if (known.id == entry.subject) site = known.site;
        }
        for (const auto& [name, sheet] : device.log.entries) {
            if (sheet.subject != entry.subject) continue;
            entry.place = std::max(entry.place, sheet.place + 1);
            ends.insert(name);
        }
        for (const auto& [name, sheet] : device.log.entries) {
            if (sheet.subject != entry.subject) continue;
            for (const Hash& before : sheet.after) ends.erase(before);
        }
        entry.after.assign(ends.begin(), ends.end());
        const unsigned number = 1 + below(20);
        switch (below(3)) {
        case 0: site.access = "danger " + std::to_string(number); break;
        case 1: site.drive_rating = bar(number); break;
        default: site.fall = metres(number);
        }
        entry.json = *kept_json(site);
        write(device, std::move(entry));
    }

    void write_event(Writes& device) {
        LogEntry entry;
        entry.subject = "v" + std::to_string(below(3));
        entry.place = 1;
        for (const VisitView& visit : visits_of(device.log)) {
            if (visit.id != entry.subject) continue;
            const auto& branch = visit.branches[below(static_cast<unsigned>(visit.branches.size()))];
            entry.after = {branch.back()->hash};
            entry.place = branch.back()->place + 1;
        }
        static const std::array<Happening, 5> events{Heeded{"pinch"}, Heeded{"cold"}, Closed{Closing::called_help},
                                                     Noted{"A was here"}, Began{}};
        const Happening what = entry.place == 1 ? Happening(Opened{"s0", Site{}, "1", "h"}) : events[below(5)];
        entry.kind = kind_of(what);
        entry.json = *kept_json(what);
        write(device, std::move(entry));
    }

    void take_in(Writes& device, const LogSlice& offered, bool look) {
        const LogSlice before = device.log;
        device.log = put_together(before, offered);
        for (const LogSlice* const side : {&before, &offered}) {
            for (const auto& [name, entry] : side->entries) {
                kept_all = kept_all && device.log.entries.count(name) == 1;
            }
        }
        if (!look) return;
        const Preview shown = preview(before, offered, Instant{0});
        std::size_t differences = 0, forks = 0;
        for (const SiteView& site : sites_of(device.log)) {
            for (const FieldValues& field : site.fields) differences += field.live.size() > 1 ? 1u : 0u;
        }
        for (const VisitView& visit : visits_of(device.log)) forks += visit.branches.size() > 1 ? 1u : 0u;
        shown_was_right = shown_was_right && shown.digest == digest_of(device.log) &&
                          shown.new_entries == device.log.entries.size() - before.entries.size() &&
                          shown.differences.size() == differences && shown.forks.size() == forks &&
                          shown.new_visits == visits_of(device.log).size() - visits_of(before).size();
        check_not_weaker(before, device.log);
        check_not_weaker(offered, device.log);
    }

    /// What warned before still warns, unless a sheet of the other side that had seen it took its place.
    void check_not_weaker(const LogSlice& side, const LogSlice& merged) {
        std::set<Hash> seen;
        for (const auto& [name, entry] : merged.entries) {
            if (side.entries.count(name) == 0) seen.insert(entry.after.begin(), entry.after.end());
        }
        const std::vector<SiteView> sites = sites_of(merged);
        for (const SiteView& was : sites_of(side)) {
            const auto is = std::find_if(sites.begin(), sites.end(), [&](const SiteView& s) { return s.id == was.id; });
            bool replaced = false;
            for (const auto& [name, entry] : side.entries) {
                replaced = replaced || (entry.subject == was.id && seen.count(name) == 1);
            }
            if (replaced || is == sites.end()) {
                never_weaker = never_weaker && is != sites.end();
                continue;
            }
            if (was.site.drive_rating)
                never_weaker = never_weaker && (!is->site.drive_rating || *is->site.drive_rating <= *was.site.drive_rating);
            for (const std::string& danger : was.dangers) {
                never_weaker = never_weaker && is->site.access.find(danger) != std::string::npos;
            }
        }
        const std::vector<VisitView> visits = visits_of(merged);
        for (const VisitView& was : visits_of(side)) {
            const auto is = std::find_if(visits.begin(), visits.end(), [&](const VisitView& v) { return v.id == was.id; });
            for (const std::string& caution : was.heeded) {
                never_weaker = never_weaker && std::count(is->heeded.begin(), is->heeded.end(), caution) == 1;
            }
        }
    }

    void step() {
        Writes& device = devices[below(3)];
        switch (below(8)) {
        case 0: case 1: write_figure(device); break;
        case 2: case 3: write_event(device); break;
        case 4: device.given.push_back(device.log); break;
        case 5: // an old bundle, perhaps for the second time, perhaps one's own
            if (Writes& from = devices[below(3)]; !from.given.empty())
                take_in(device, from.given[below(static_cast<unsigned>(from.given.size()))], false);
            break;
        case 6: take_in(device, devices[below(3)].log, below(4) == 0); break;
        default:
            if (below(12) == 0) erase(device);
        }
    }

    /// The wish is an entry of the device that was asked.
    void erase(Writes& device) {
        LogEntry wish;
        wish.device = device.writer.device;
        wish.number = ++device.writer.number;
        wish.prev = device.writer.last;
        const LogSlice before = device.log;
        device.log = erase_person(before, "A", wish);
        for (const auto& [name, entry] : device.log.entries) {
            if (before.entries.count(name) == 0) device.writer.last = name;
        }
    }

    /// Everyone hands over to everyone, in an order of its own.
    void meet() {
        std::array<std::pair<int, int>, 6> pairs{{{0, 1}, {1, 0}, {0, 2}, {2, 0}, {1, 2}, {2, 1}}};
        for (int round = 0; round < 2; ++round) {
            std::shuffle(pairs.begin(), pairs.end(), random);
            for (const auto& [from, to] : pairs) {
                take_in(devices[static_cast<std::size_t>(to)], devices[static_cast<std::size_t>(from)].log, false);
            }
        }
    }
};

/// As many programs merge: of two entries of one place the one with the later clock stays.
LogSlice newest_wins(const LogSlice& one, const LogSlice& other) {
    std::map<std::string, LogEntry> newest;
    for (const LogSlice* const side : {&one, &other}) {
        for (const auto& [name, entry] : side->entries) {
            LogEntry& held = newest[entry.subject + "/" + std::to_string(entry.place)];
            if (held.subject.empty() || held.at < entry.at) held = entry;
        }
    }
    LogSlice both;
    for (const auto& [place, entry] : newest) both.add(entry);
    return both;
}

LogSlice with_sheet(char digit, const std::string& json) {
    LogSlice slice;
    Writes by = device(digit);
    by.writer.write_sheet(slice, "s1", json);
    return slice;
}

} // namespace

TEST_CASE("random histories of three devices end in one log, lose nothing, and did what was shown") {
    const int histories = wanted_histories();
    int divergent = 0, lost = 0, unsound = 0, unshown = 0, weaker = 0, not_idempotent = 0, with_forks = 0, unkept = 0;
    for (int seed = 1; seed <= histories; ++seed) {
        History history{std::mt19937(static_cast<unsigned>(seed))};
        const unsigned steps = 5 + history.below(25);
        for (unsigned i = 0; i < steps; ++i) history.step();
        history.meet();
        const LogSlice& log = history.devices[0].log;
        const Digest digest = digest_of(log);
        divergent += digest_of(history.devices[1].log) == digest && digest_of(history.devices[2].log) == digest ? 0 : 1;
        for (const Digest& name : history.written) lost += log.entries.count(name) == 1 ? 0 : 1;
        not_idempotent += digest_of(merge(log, log)) == digest ? 0 : 1;
        unkept += history.kept_all ? 0 : 1;
        unshown += history.shown_was_right ? 0 : 1;
        weaker += history.never_weaker ? 0 : 1;
        const std::vector<VisitView> visits = visits_of(log);
        with_forks += std::any_of(visits.begin(), visits.end(), [](const VisitView& v) { return v.branches.size() > 1; });
        if (seed % 50 != 0) continue; // through a real bundle
        const Result<Bytes> inside = write_slice(log);
        const Result<LogSlice> back = inside ? read_slice(*inside) : Result<LogSlice>(inside.error());
        unsound += back && digest_of(*back) == digest ? 0 : 1;
    }
    CHECK(divergent == 0);
    CHECK(lost == 0);
    CHECK(unkept == 0);
    CHECK(not_idempotent == 0);
    CHECK(unshown == 0);
    CHECK(weaker == 0);
    CHECK(unsound == 0);
    CHECK(with_forks > histories / 20); // or the histories would prove nothing about forks
    MESSAGE(histories << " histories, " << with_forks << " with a forked visit");
}

TEST_CASE("the control: with a merge in which the later clock wins, the same histories lose and weaken") {
    int lost = 0, weaker = 0, unshown = 0;
    for (unsigned seed = 1; seed <= 100; ++seed) {
        History history{std::mt19937(seed)};
        history.put_together = newest_wins;
        for (unsigned i = 0; i < 25; ++i) history.step();
        history.meet();
        for (const Digest& name : history.written) lost += history.devices[0].log.entries.count(name) == 1 ? 0 : 1;
        weaker += history.never_weaker ? 0 : 1;
        unshown += history.shown_was_right ? 0 : 1;
    }
    CHECK(lost > 0);
    CHECK(weaker > 0);
    CHECK(unshown > 0);
}

TEST_CASE("two values of one field are both kept and shown; a value set by someone who saw both replaces them") {
    LogSlice log = merge(with_sheet('1', R"({"fall_m":2.5})"), with_sheet('2', R"({"fall_m":3.5,"lift_m":20.0})"));
    const Preview shown = preview(with_sheet('1', R"({"fall_m":2.5})"), log, Instant{0});
    REQUIRE(shown.differences.size() == 1); // the lift is only on one sheet
    CHECK(shown.differences[0].values.size() == 2);
    const std::vector<std::string> lines = sentences(shown);
    CHECK(std::any_of(lines.begin(), lines.end(), [](const std::string& line) {
        return line.find("2.5") != std::string::npos && line.find("3.5") != std::string::npos;
    }));
    Writes third = device('3');
    std::vector<Hash> seen;
    for (const auto& [name, entry] : log.entries) seen.push_back(name);
    // Who only carries on what is counted with has decided nothing.
    const Site counted = sites_of(log)[0].site;
    Site carried = counted;
    carried.name = "Mill Lane";
    const Hash carries = third.writer.write_sheet(log, "s1", *kept_json(carried), seen, 2);
    REQUIRE(sites_of(log)[0].fields[0].field == "fall_m");
    CHECK(sites_of(log)[0].fields[0].live.size() == 2);
    CHECK(sites_of(log)[0].site.name == "Mill Lane");
    carried.fall = metres(3.0);
    third.writer.write_sheet(log, "s1", *kept_json(carried), {carries}, 3);
    CHECK(sites_of(log)[0].fields[0].live.size() == 1);
    CHECK(sites_of(log)[0].site.fall->si() == 3.0);
    CHECK(sites_of(log)[0].site.lift->si() == 20.0);
}

TEST_CASE("of two pressure ratings the lower governs, an unknown one before any, and every danger is shown") {
    const auto rated = [](const std::string& one, const std::string& two) {
        LogSlice log;
        Writes first = device('1'), second = device('2'), third = device('3');
        const Hash base = third.writer.write_sheet(log, "s1", R"({"drive_rating_bar":16.0})");
        first.writer.write_sheet(log, "s1", one, {base}, 2);
        second.writer.write_sheet(log, "s1", two, {base}, 2);
        return sites_of(log)[0].site;
    };
    CHECK(rated(R"({"drive_rating_bar":10.0})", R"({"drive_rating_bar":6.0})").drive_rating->si() == bar(6).si());
    CHECK(rated(R"({"drive_rating_bar":6.0})", R"({"drive_rating_bar":10.0})").drive_rating->si() == bar(6).si());
    CHECK(!rated(R"({"drive_rating_bar":6.0})", R"({})").drive_rating);
    const LogSlice ways = merge(with_sheet('1', R"({"access":"Bull in the field."})"),
                                with_sheet('2', R"({"access":"The bridge is rotten."})"));
    CHECK(sites_of(ways)[0].dangers.size() == 2);
    CHECK(sites_of(ways)[0].site.access.find("Bull in the field.") != std::string::npos);
    CHECK(sites_of(ways)[0].site.access.find("The bridge is rotten.") != std::string::npos);
}

TEST_CASE("a visit gone on with on two devices keeps both branches; a call for help on one of them stands") {
    std::vector<Event> here = small_visit("s1"), there = here;
    here.push_back(event_at(6, Closed{Closing::proved}, 1'700'000'200'000));
    there.push_back(event_at(6, Closed{Closing::called_help}, 1'700'000'300'000));
    // Both took over the first five from the first device.
    LogSlice shared;
    Writer writer;
    writer.write_visit(shared, "v1", small_visit("s1"));
    LogSlice one = shared, two = shared;
    const auto go_on = [&](LogSlice& log, char digit, const Event& event) {
        LogEntry entry;
        entry.subject = "v1";
        entry.place = event.number;
        entry.at = event.at;
        entry.kind = kind_of(event.what);
        entry.json = *kept_json(event.what);
        entry.after = {writer.last};
        device(digit).writer.write(log, entry);
    };
    go_on(one, '2', here.back());
    go_on(two, '3', there.back());
    const LogSlice both = merge(one, two);
    CHECK(both.entries.size() == 7);
    const std::vector<VisitView> visits = visits_of(both);
    REQUIRE(visits.size() == 1);
    CHECK(visits[0].branches.size() == 2);
    CHECK(visits[0].standing == Closing::called_help);
    CHECK(preview(one, two, Instant{0}).forks.size() == 1);
    const LogSlice longer = merge(one, LogSlice{});
    CHECK(visits_of(longer)[0].standing == Closing::proved);
}

LogEntry wish_of(const LogSlice& log) {
    LogEntry wish;
    wish.device = std::string(32, '1');
    wish.number = static_cast<std::int64_t>(log.entries.size()) + 1;
    return wish;
}

TEST_CASE("erasing takes a name and the person's notes everywhere, stays through merges, and breaks no chain") {
    const LogSlice kept = small_slice();
    const LogSlice erased = erase_person(kept, "EK", wish_of(kept));
    const LogSlice old_copy = merge(kept, erased), other_way = merge(erased, kept);
    CHECK(digest_of(old_copy) == digest_of(erased));
    CHECK(digest_of(other_way) == digest_of(erased));
    const Bytes bytes = *write_slice(erased);
    const std::string text(bytes.begin(), bytes.end());
    CHECK(text.find("EK") == std::string::npos);
    CHECK(text.find("seals on Friday") == std::string::npos);
    const Bytes before = *write_slice(kept);
    CHECK(std::string(before.begin(), before.end()).find("seals on Friday") != std::string::npos); // the control
    for (const auto& [name, entry] : erased.entries) CHECK(hash_of(entry) == name);
    CHECK(visits_of(erased)[0].branches[0].size() == 5);
    const LogSlice named = erase_person(kept, "Zoë", wish_of(kept)); // in a note of somebody else
    const Bytes without = *write_slice(named);
    CHECK(std::string(without.begin(), without.end()).find("ZoÃ«") == std::string::npos);
    CHECK(std::string(without.begin(), without.end()).find("EK") != std::string::npos);
}

TEST_CASE("a device that gave one number to two entries is shown, and both entries are kept") {
    const LogSlice one = with_sheet('1', R"({"fall_m":2.5})"), two = with_sheet('1', R"({"fall_m":3.5})");
    CHECK(preview(one, two, Instant{0}).doubled == std::vector<std::string>{std::string(32, '1')});
    CHECK(preview(one, one, Instant{0}).doubled.empty());
    CHECK(merge(one, two).entries.size() == 2);
}
