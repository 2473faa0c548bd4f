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

struct Device {
    std::string id;
    LogSlice log;
    std::uint64_t count = 0;
    std::vector<LogSlice> given;   // bundles made earlier, to be handed over late
};

struct History {
    std::mt19937 random;
    std::array<Device, 3> devices{Device{"d1", {}, 0, {}}, Device{"d2", {}, 0, {}}, Device{"d3", {}, 0, {}}};
    std::set<Digest> written = {};
    LogSlice (*put_together)(const LogSlice&, const LogSlice&) = merge;
    bool shown_was_right = true, kept_all = true, never_weaker = true;

    unsigned below(unsigned most) { return static_cast<unsigned>(random() % most); }

    void write(Device& device, Entry entry) {
        entry.device = device.id;
        entry.number = ++device.count;
        entry.at.ms = static_cast<std::int64_t>(below(2'000'000'000)) * 1'000; // clocks that jump: 1970 to 2033
        entry.by = std::string(1, static_cast<char>('A' + below(3)));
        entry.by_salt = std::to_string(below(1'000));
        written.insert(device.log.add(entry));
    }

    void write_figure(Device& device) {
        static const std::array<std::string, 3> fields{"access", "drive_rating_bar", "fall_m"};
        Entry entry;
        entry.about = About::site;
        entry.id = "s" + std::to_string(below(2));
        entry.field = fields[below(3)];
        const std::string number = std::to_string(1 + below(20)) + ".5";
        entry.json = entry.field == "access" ? "{\"access\":\"danger " + number + "\"}"
                                             : "{\"" + entry.field + "\":" + number + "}";
        for (const SiteView& site : sites_of(device.log)) {
            for (const FieldValues& field : site.fields) {
                if (site.id != entry.id || field.field != entry.field) continue;
                for (const Entry* const seen : field.live) entry.after.push_back(name_of(*seen));
            }
        }
        write(device, entry);
    }

    void write_event(Device& device) {
        Entry entry;
        entry.id = "v" + std::to_string(below(3));
        entry.place = 1;
        for (const VisitView& visit : visits_of(device.log)) {
            if (visit.id != entry.id) continue;
            const auto& branch = visit.branches[below(static_cast<unsigned>(visit.branches.size()))];
            entry.after = {name_of(*branch.back())};
            entry.place = branch.back()->place + 1;
        }
        static const std::array<std::string, 5> events{
            R"({"kind":"heeded","caution":"pinch"})", R"({"kind":"heeded","caution":"cold"})",
            R"({"kind":"closed","how":"called_help"})", R"({"kind":"noted","text":"A was here"})",
            R"({"kind":"began"})"};
        entry.json = entry.place == 1 ? R"({"kind":"opened","site_id":"s0","site":{},"pack_version":"1","pack_hash":"h"})"
                                      : events[below(5)];
        write(device, entry);
    }

    void take_in(Device& device, const LogSlice& offered, bool look) {
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

    /// What warned before still warns, unless an entry that had seen it took its place.
    void check_not_weaker(const LogSlice& side, const LogSlice& merged) {
        std::set<Digest> replaced;
        for (const auto& [name, entry] : merged.entries) {
            if (entry.about == About::site) replaced.insert(entry.after.begin(), entry.after.end());
        }
        const std::vector<SiteView> sites = sites_of(merged);
        for (const SiteView& was : sites_of(side)) {
            const auto is = std::find_if(sites.begin(), sites.end(), [&](const SiteView& s) { return s.id == was.id; });
            for (const FieldValues& field : was.fields) {
                for (const Entry* const value : field.live) {
                    if (replaced.count(name_of(*value)) == 1) continue;
                    Site said;
                    (void)put_part(said, value->json);
                    if (field.field == "drive_rating_bar")
                        never_weaker = never_weaker && *is->site.drive_rating <= *said.drive_rating;
                    if (field.field == "access")
                        never_weaker = never_weaker && std::count(is->dangers.begin(), is->dangers.end(), said.access) > 0;
                }
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
        Device& device = devices[below(3)];
        switch (below(8)) {
        case 0: case 1: write_figure(device); break;
        case 2: case 3: write_event(device); break;
        case 4: device.given.push_back(device.log); break;
        case 5: // an old bundle, perhaps for the second time, perhaps one's own
            if (Device& from = devices[below(3)]; !from.given.empty())
                take_in(device, from.given[below(static_cast<unsigned>(from.given.size()))], false);
            break;
        case 6: take_in(device, devices[below(3)].log, below(4) == 0); break;
        default:
            if (below(12) == 0) device.log = erase_person(device.log, "A", Instant{1});
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

/// As many programs merge: of two values of a field the one with the later clock stays.
LogSlice newest_wins(const LogSlice& one, const LogSlice& other) {
    std::map<std::string, Entry> newest;
    for (const LogSlice* const side : {&one, &other}) {
        for (const auto& [name, entry] : side->entries) {
            Entry& held = newest[entry.id + "/" + entry.field + "/" + std::to_string(entry.place)];
            if (held.id.empty() || held.at < entry.at) held = entry;
        }
    }
    LogSlice both;
    for (const auto& [place, entry] : newest) both.add(entry);
    return both;
}

LogSlice with_figure(const std::string& device, const std::string& field, const std::string& json) {
    LogSlice slice;
    Entry entry;
    entry.about = About::site;
    entry.id = "s1";
    entry.field = field;
    entry.json = json;
    entry.device = device;
    entry.number = 1;
    slice.add(entry);
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
    LogSlice log = merge(with_figure("d1", "fall_m", R"({"fall_m":2.5})"), with_figure("d2", "fall_m", R"({"fall_m":3.5})"));
    const Preview shown = preview(with_figure("d1", "fall_m", R"({"fall_m":2.5})"), log, Instant{0});
    REQUIRE(shown.differences.size() == 1);
    CHECK(shown.differences[0].values.size() == 2);
    const std::vector<std::string> lines = sentences(shown);
    CHECK(std::any_of(lines.begin(), lines.end(), [](const std::string& line) {
        return line.find("2.5") != std::string::npos && line.find("3.5") != std::string::npos;
    }));
    Entry decided;
    decided.about = About::site;
    decided.id = "s1";
    decided.field = "fall_m";
    decided.json = R"({"fall_m":3.0})";
    for (const auto& [name, entry] : log.entries) decided.after.push_back(name);
    log.add(decided);
    CHECK(sites_of(log)[0].fields[0].live.size() == 1);
    CHECK(sites_of(log)[0].site.fall->si() == 3.0);
}

TEST_CASE("of two pressure ratings the lower governs, an unknown one before any, and every danger is shown") {
    const auto rated = [](const std::string& one, const std::string& two) {
        return sites_of(merge(with_figure("d1", "drive_rating_bar", one), with_figure("d2", "drive_rating_bar", two)))[0].site;
    };
    CHECK(rated(R"({"drive_rating_bar":10})", R"({"drive_rating_bar":6})").drive_rating->si() == bar(6).si());
    CHECK(rated(R"({"drive_rating_bar":6})", R"({"drive_rating_bar":10})").drive_rating->si() == bar(6).si());
    CHECK(!rated(R"({"drive_rating_bar":6})", R"({})").drive_rating);
    const LogSlice ways = merge(with_figure("d1", "access", R"({"access":"Bull in the field."})"), with_figure("d2", "access", R"({})"));
    CHECK(sites_of(ways)[0].dangers == std::vector<std::string>{"Bull in the field."});
    CHECK(sites_of(ways)[0].site.access == "Bull in the field.");
}

TEST_CASE("a visit gone on with on two devices keeps both branches; a call for help on one of them stands") {
    std::vector<Event> here = small_visit("s1"), there = here;
    here.push_back(event_at(6, Closed{Closing::proved}, 1'700'000'200'000));
    there.push_back(event_at(6, Closed{Closing::called_help}, 1'700'000'300'000));
    LogSlice one, two;
    add_visit(one, "v1", here);
    add_visit(two, "v1", there);
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

TEST_CASE("erasing takes a name and the person's notes everywhere, stays through merges, and breaks no chain") {
    const LogSlice kept = small_slice();
    const LogSlice erased = erase_person(kept, "EK", Instant{7});
    const LogSlice old_copy = merge(kept, erased), other_way = merge(erased, kept);
    CHECK(digest_of(old_copy) == digest_of(erased));
    CHECK(digest_of(other_way) == digest_of(erased));
    const Bytes bytes = *write_slice(erased);
    const std::string text(bytes.begin(), bytes.end());
    CHECK(text.find("EK") == std::string::npos);
    CHECK(text.find("seals on Friday") == std::string::npos);
    const Bytes before = *write_slice(kept);
    CHECK(std::string(before.begin(), before.end()).find("seals on Friday") != std::string::npos); // the control
    for (const auto& [name, entry] : erased.entries) CHECK(name_of(entry) == name);
    CHECK(visits_of(erased)[0].branches[0].size() == 5);
    const LogSlice named = erase_person(kept, "Zoë", Instant{7}); // in a note of somebody else
    const Bytes without = *write_slice(named);
    CHECK(std::string(without.begin(), without.end()).find("ZoÃ«") == std::string::npos);
    CHECK(std::string(without.begin(), without.end()).find("EK") != std::string::npos);
}

TEST_CASE("a device that gave one number to two entries is shown, and both entries are kept") {
    const LogSlice one = with_figure("d1", "fall_m", R"({"fall_m":2.5})"), two = with_figure("d1", "fall_m", R"({"fall_m":3.5})");
    CHECK(preview(one, two, Instant{0}).doubled == std::vector<std::string>{"d1"});
    CHECK(preview(one, one, Instant{0}).doubled.empty());
}
