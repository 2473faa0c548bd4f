// The chain of hashed entries: what was changed is found, named and left out; entries travel between logs;
// logs of an older version, clocks set back, full storage. All of it is computed anew from the entries alone.
#include <doctest/doctest.h>

#include <algorithm>

#include "engine/records/erasing.h"

#include "tests/engine/store_helpers.h"
#include "tests/faults/disk.h"
#include "tests/faults/driven.h"

namespace beckhand {
namespace {

using namespace tests;

constexpr std::int64_t noon = 1'780'000'000'000;

/// Two visits of three events each, one of them closed, and a site's sheet in two versions.
void fill(Store& store) {
    store.save_site({"s1", a_site("Mühlgraben")}, Instant{noon}, {}, "keeper");
    for (const char* visit : {"v1", "v2"}) {
        REQUIRE(save(store, visit, opening("s1", noon), "Opened").has_value());
        REQUIRE(save(store, visit, event(2, Noted{std::string("note of ") + visit}, noon + 1), "Noted").has_value());
    }
    store.save_site({"s1", a_site("Mill race")}, Instant{noon + 2}, {}, "keeper");
    REQUIRE(save(store, "v1", event(3, Closed{Closing::handed_on}, noon + 3), "Handed on").has_value());
    REQUIRE(save(store, "v2", event(3, Answered{"a", "b"}, noon + 4), "Answered").has_value());
}

/// What lists show, as text.
std::string lists_of(const Store& store) {
    std::ostringstream text;
    for (const SiteRow& site : *store.sites())
        text << site.id << to_json(site.site) << "\n";
    for (const VisitRow& v : *store.visits()) {
        text << v.id << v.site_id << v.site_name << v.opened_at.ms << v.last_at.ms << v.events << v.headline
             << (v.closed ? static_cast<int>(*v.closed) : -1) << v.doubtful_times << "\n";
    }
    return text.str();
}

/// Changes a log's bytes as damage does: past the triggers, leaving SQLite nothing to notice.
void damage(const std::string& path, const std::string& from, const std::string& to) {
    std::string bytes = content(path);
    const std::size_t at = bytes.rfind(from);
    REQUIRE(at != std::string::npos);
    write_file(path, bytes.replace(at, from.size(), to));
}

TEST_CASE("every entry's hash is BLAKE2b over the one before it and its own bytes") {
    // RFC 7693 defines BLAKE2b; of the empty text, 32 bytes, the value of the reference implementation's
    // known answers (BLAKE2b-256).
    const Hash empty = hash_of_bytes("");
    CHECK(empty[0] == 0x0e);
    CHECK(empty[1] == 0x57);
    CHECK(empty[2] == 0x51);
    CHECK(empty[31] == 0xa8);
    Result<Store> store = Store::open(":memory:");
    fill(*store);
    const std::vector<LogEntry> entries = *store->entries();
    REQUIRE(entries.size() == 8);
    Hash last{};
    for (const LogEntry& entry : entries) {
        CHECK(entry.prev == last);
        CHECK(entry.hash == hash_of(entry));
        last = entry.hash;
    }
    // Each member counts: one that did not could be changed unseen.
    for (int member = 0; member < 13; ++member) {
        LogEntry changed = entries[3];
        switch (member) {
        case 0: changed.device[5] = 'z'; break;
        case 1: ++changed.number; break;
        case 2: changed.subject += "x"; break;
        case 3: ++changed.place; break;
        case 4: ++changed.at.ms; break;
        case 5: changed.by += "x"; break;
        case 6: changed.kind += "x"; break;
        case 7: changed.headline += "x"; break;
        case 8: changed.json += " "; break;
        case 9: changed.by_secret += "x"; break;
        case 10: changed.json_secret += "x"; break;
        case 11: changed.after.push_back(Hash{}); break;
        default: changed.prev[7] ^= 1; break;
        }
        CHECK(hash_of(changed) != entries[3].hash);
    }
    // Nor can text move from one member to the next.
    LogEntry moved = entries[3];
    moved.kind += moved.headline.substr(0, 1);
    moved.headline.erase(0, 1);
    CHECK(hash_of(moved) != entries[3].hash);
}

TEST_CASE("an answer changed in the middle is found, named and left out; both sides of it stay readable") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    {
        Result<Store> store = Store::open(path);
        fill(*store);
    }
    damage(path, "note of v1", "nope of v1");
    Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    CHECK(store->events("v1")->size() == 2);
    REQUIRE(store->events("v1").has_value());
    CHECK(says(store->notice()->sentence(), "1 answer of this visit was changed by damage and left out."));
    CHECK(store->events("v2")->size() == 3);
    CHECK(store->entries()->size() == 7); // a damaged entry is not handed on
    const LogCheck check = *store->check();
    CHECK(check.entries == 8);
    REQUIRE(check.broken.size() == 1);
    CHECK(says(check.broken[0], "Entry 3 of device "));
    CHECK(says(check.broken[0], "(event 2, noted, of visit v1) is not what was saved."));
    CHECK(sentence(save(*store, "v2", event(4, Noted{"on"}, noon + 9))) == "saved");
}

TEST_CASE("a list row that damage changed is computed again from the entries") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    std::string before;
    {
        Result<Store> store = Store::open(path);
        fill(*store);
        before = lists_of(*store);
    }
    REQUIRE(by_hand(path, "UPDATE visit SET headline='Sound as a bell' WHERE id='v1'; UPDATE site SET name='X'") ==
            SQLITE_OK);
    Result<Store> store = Store::open(path);
    CHECK(lists_of(*store) == before);
    const LogCheck check = *store->check();
    CHECK(check.broken.empty());
    CHECK_FALSE(check.lists_differed); // reading them had put them right
}

TEST_CASE("every bit of a log that changes is found by its hashes, or the file is refused or rescued") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    std::string lists, good;
    std::vector<Hash> hashes;
    {
        Result<Store> store = Store::open(path);
        fill(*store);
        lists = lists_of(*store);
        for (const LogEntry& entry : *store->entries())
            hashes.push_back(entry.hash);
    }
    good = content(path);
    int tried = 0, wrong = 0, seen = 0;
    for (std::size_t bit = 5; bit < good.size() * 8; bit += 977, ++tried) { // a prime: every page and offset
        std::string bad = good;
        bad[bit / 8] = static_cast<char>(bad[bit / 8] ^ (1 << (bit % 8)));
        const std::string one = folder.file("flipped.db");
        for (const char* ending : {"", ".damaged-1", ".damaged-1-wal", "-wal"})
            std::filesystem::remove(one + ending);
        write_file(one, bad);
        Result<Store> store = Store::open(one);
        if (!store) {
            ++seen;
            continue;
        }
        const auto entries = store->entries();
        if (!entries)
            continue;
        // Nothing that reads is anything but what was saved.
        for (const LogEntry& entry : *entries)
            wrong += std::find(hashes.begin(), hashes.end(), entry.hash) == hashes.end();
        if (entries->size() == hashes.size() && store->sites() && store->visits())
            wrong += lists_of(*store) != lists;
        else
            ++seen;
    }
    MESSAGE("bits flipped ", tried, ", shown as good ", wrong, ", seen in entries ", seen);
    CHECK(tried > 300);
    CHECK(wrong == 0);
    CHECK(seen > 10);
}

TEST_CASE("entries of one log come into another once, and lists are the same by either way") {
    Result<Store> from = Store::open(":memory:"), to = Store::open(":memory:"), twice = Store::open(":memory:");
    fill(*from);
    const std::vector<LogEntry> entries = *from->entries();
    Arrived arrived = *to->take_in(entries);
    CHECK(arrived.added == 8);
    arrived = *to->take_in(entries);
    CHECK(arrived.added == 0);
    CHECK(arrived.already_there == 8);
    CHECK(lists_of(*to) == lists_of(*from));
    CHECK_FALSE(to->open_visit()->has_value()); // another device's visit is not this one's to go on with
    // In two parts and the later one first.
    REQUIRE(twice->take_in(std::span(entries).subspan(4)).has_value());
    REQUIRE(twice->take_in(std::span(entries).first(4)).has_value());
    CHECK(lists_of(*twice) == lists_of(*from));
    CHECK(twice->check()->broken.empty());
    CHECK(from->entries_of_site("s1")->size() == 8);
    CHECK(from->entries("v2")->size() == 3);
    const std::vector<Device> devices = *to->devices();
    REQUIRE(devices.size() == 1);
    CHECK(devices[0].id == *from->device());
    CHECK_FALSE(devices[0].own);
    CHECK(devices[0].last_number == 8);
    // The second device goes on with the visit, the first takes that back in.
    CHECK(sentence(save(*to, "v2", event(4, Noted{"seen by both"}, noon + 9))) == "saved");
    REQUIRE(from->take_in(*to->entries()).has_value());
    CHECK(from->events("v2")->size() == 4);
    CHECK(lists_of(*to) == lists_of(*from));
}

TEST_CASE("an entry from elsewhere that is not what was saved brings nothing of its file in") {
    Result<Store> from = Store::open(":memory:"), to = Store::open(":memory:");
    fill(*from);
    std::vector<LogEntry> entries = *from->entries();
    entries[5].headline += "!";
    const auto arrived = to->take_in(entries);
    REQUIRE_FALSE(arrived.has_value());
    CHECK(says(arrived.error().sentence(), "its hash does not fit"));
    CHECK(to->entries()->empty());
}

TEST_CASE("two entries of one number: both are kept and shown as branches, in any order, and the copied device is said") {
    Result<Store> from = Store::open(":memory:"), to = Store::open(":memory:");
    fill(*from);
    std::vector<LogEntry> entries = *from->entries();
    REQUIRE(to->take_in(entries).has_value());
    LogEntry cloned = entries[4];
    cloned.by = "somebody else";
    cloned.hash = hash_of(cloned);
    CHECK(to->take_in(std::span(&cloned, 1))->disputed == 1);
    CHECK(to->take_in(std::span(&cloned, 1))->already_there == 1);
    CHECK(to->check()->disputed == 1);
    CHECK(to->check()->broken.empty());
    CHECK(to->entries()->size() == 9);
    const std::vector<VisitRow> visits = *to->visits();
    REQUIRE(visits.size() == 3); // one of them twice
    CHECK(std::count_if(visits.begin(), visits.end(), [](const VisitRow& v) { return v.branches == 2; }) == 2);
    Result<Store> other = Store::open(":memory:");
    REQUIRE(other->take_in(std::span(&cloned, 1)).has_value());
    REQUIRE(other->take_in(entries).has_value());
    CHECK(lists_of(*other) == lists_of(*to));
    // The device that finds itself copied writes on under another name.
    const std::string was = *from->device();
    CHECK(from->take_in(std::span(&cloned, 1))->disputed == 1);
    CHECK(*from->device() != was);
    CHECK(sentence(save(*from, "v2", event(4, Noted{"on"}, noon + 9))) == "saved");
    CHECK(from->entries()->size() == 10);
}

TEST_CASE("an erased person is gone from the log, the chain holds, the wish travels, and nothing brings them back") {
    Result<Store> from = Store::open(":memory:"), to = Store::open(":memory:");
    fill(*from);
    const std::vector<LogEntry> whole = *from->entries();
    REQUIRE(to->take_in(whole).has_value());
    const std::string lists = lists_of(*from);
    const Arrived erased = *from->erase_person("Zoë", Instant{noon + 20});
    CHECK(erased.added == 1);
    CHECK(erased.erased == 6);
    CHECK(from->check()->broken.empty());
    CHECK(lists_of(*from) == lists);
    for (const LogEntry& entry : *from->entries()) {
        CHECK(entry.by != "Zoë");
        CHECK(entry.json.find("note of") == std::string::npos);
    }
    CHECK(std::get<Noted>(from->events("v1")->at(1).what).text.empty());
    CHECK(from->erase_person("Zoë", Instant{noon + 30})->added == 0);
    CHECK(from->take_in(whole)->added == 0); // an old copy
    CHECK(from->events("v1")->at(0).by.empty());
    CHECK(to->take_in(*from->entries())->erased == 6);
    CHECK(to->events("v2")->at(0).by.empty());
    CHECK(to->check()->broken.empty());
    // What is written under the name later goes with the next arrival.
    CHECK(sentence(save(*to, "v2", event(4, Noted{"back again"}, noon + 40))) == "saved");
    CHECK(to->take_in(whole)->erased == 1);
    // A mark is not to be guessed: without the secret the name does not give it.
    const LogEntry one = from->entries()->at(1);
    REQUIRE(one.by_erased.has_value());
    CHECK(*one.by_erased != mark_of("Zoë", ""));
    CHECK(*one.by_erased == mark_of_by(whole[1]));
    LogEntry guessed = whole[1];
    guessed.by_secret.clear();
    CHECK(*one.by_erased != mark_of_by(guessed));
    CHECK(whole[1].by_secret.size() == 16);
    CHECK(whole[1].by_secret == whole[2].by_secret); // in one visit, and still
    CHECK(mark_of_by(whole[1]) != mark_of_by(whole[2]));
    CHECK(whole[1].by_secret != whole[3].by_secret); // in another
    CHECK(whole[2].json_secret.size() == 16);
    // Other hands cannot change a name, nor bring one back.
    const ScratchFolder folder;
    REQUIRE(from->save_to(folder.file("log.db")).has_value());
    CHECK(by_hand(folder.file("log.db"), "UPDATE entry SET by_whom='x' WHERE by_whom='keeper'") != SQLITE_OK);
    CHECK(by_hand(folder.file("log.db"), "UPDATE entry SET by_erased=NULL, by_whom='Zoë'") != SQLITE_OK);
    CHECK(by_hand(folder.file("log.db"), "UPDATE entry SET json='', json_secret=x'', json_erased=x'00' "
                                         "WHERE kind='answered'") != SQLITE_OK);
}

TEST_CASE("lists saved event by event are the lists computed anew") {
    Result<Store> store = Store::open(":memory:");
    fill(*store);
    REQUIRE(save(*store, "v3", opening("s2", 5'000), "Clock never set").has_value());
    REQUIRE(save(*store, "v1", event(4, TookBack{3}, noon - 900'000), "Open again").has_value());
    const std::string before = lists_of(*store);
    const LogCheck check = *store->check();
    CHECK_FALSE(check.lists_differed);
    CHECK(lists_of(*store) == before);
}

TEST_CASE("a clock set back moves nothing in the order, and the visit's times are marked doubtful") {
    Result<Store> store = Store::open(":memory:");
    REQUIRE(save(*store, "v1", opening("s1", noon)).has_value());
    REQUIRE(save(*store, "v1", event(2, Noted{"a"}, noon + 5'000)).has_value());
    REQUIRE(save(*store, "v2", opening("s1", 1'000)).has_value()); // 1970: the battery was empty
    REQUIRE(save(*store, "v3", opening("s1", noon - 10LL * 365 * 86'400'000)).has_value());
    REQUIRE(save(*store, "v4", opening("s1", noon + 60'000)).has_value()); // set right again
    REQUIRE(save(*store, "v4", event(2, Noted{"b"}, noon + 59'000)).has_value()); // by a second: nothing
    const std::vector<VisitRow> visits = *store->visits();
    REQUIRE(visits.size() == 4);
    for (std::size_t i = 0; i < 4; ++i)
        CHECK(visits[i].id == "v" + std::to_string(4 - i));
    CHECK_FALSE(visits[0].doubtful_times);
    CHECK(visits[1].doubtful_times);
    CHECK(visits[2].doubtful_times);
    CHECK_FALSE(visits[3].doubtful_times);
    CHECK_FALSE(store->check()->lists_differed);
}

TEST_CASE("a log of schema 1 is brought up to date on opening, with every event, site and setting") {
    for (const std::string& name : {std::string("schema_1"), std::string("schema_1_killed")}) {
        CAPTURE(name);
        const ScratchFolder folder;
        const std::string path = folder.file("log.db");
        const std::string data = std::string(SOURCE_FOLDER) + "/tests/faults/data/" + name + ".sqlite";
        write_file(path, content(data));
        if (std::filesystem::exists(data + "-wal"))
            write_file(path + "-wal", content(data + "-wal"));
        for (int opening = 0; opening < 2; ++opening) {
            Result<Store> store = Store::open(path);
            REQUIRE_MESSAGE(store.has_value(), (store ? "" : store.error().sentence()));
            CHECK_FALSE(store->notice().has_value());
            CHECK(store->entries()->size() == 17);
            CHECK(store->sites()->size() == 2);
            CHECK(store->sites()->at(1).site.drive_bore.has_value());
            CHECK(*store->setting("units") == "us");
            const std::string third(32, '3');
            CHECK(*store->open_visit() == third);
            const auto first = *store->events(std::string(32, '1'));
            REQUIRE(first.size() == 7);
            CHECK(std::get<Measured>(first[3].what).value_si == 0.1 / 3);
            CHECK(first[1].by == "Zoë");
            const std::vector<VisitRow> visits = *store->visits();
            REQUIRE(visits.size() == 3);
            CHECK(visits[0].headline == "Stopped open");
            CHECK(visits[1].closed == Closing::handed_on);
            CHECK(visits[2].closed == Closing::proved);
            CHECK_FALSE(visits[0].doubtful_times);
            CHECK(store->check()->broken.empty());
        }
        Result<Store> store = Store::open(path);
        CHECK(sentence(save(*store, std::string(32, '3'), event(5, Noted{"on"}, noon))) == "saved");
    }
}

TEST_CASE("with the storage full the visit in progress is finished in the reserve, and a sentence says so") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    Disk disk;
    disk.keeps_reserve = true;
    Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    CHECK(disk.image().at(path + ".reserve").size() == 1024 * 1024);
    REQUIRE(saves(*store, "visit-0", driven_event(0, 1)));
    disk.most_bytes = disk.bytes_used() + 20'000;
    int finished = 0;
    bool told = false;
    for (int visit = 0; visit < 4; ++visit) { // four whole visits fit into it
        for (int number = visit == 0 ? 2 : 1; number <= events_per_driven_visit; ++number) {
            REQUIRE(saves(*store, "visit-" + std::to_string(visit), driven_event(visit, number)));
            if (const auto notice = store->notice())
                told = says(notice->sentence(), "in the room that Beckhand keeps in reserve");
        }
        ++finished;
    }
    CHECK(finished == 4);
    CHECK(told);
    // Then it is full indeed.
    std::string said = "saved";
    for (int number = 1; said == "saved" && number < 5'000; ++number)
        said = sentence(save(*store, "more", number == 1 ? opening() : event(number, Noted{std::string(500, 'x')})));
    CHECK(says(said, "The storage is full: this could not be saved."));
    disk.most_bytes = SIZE_MAX;
    CHECK(sentence(save(*store, "another", opening())) == "saved");
    CHECK(store->check()->broken.empty());
}

TEST_CASE("a log kept in memory is saved into a new one") {
    const ScratchFolder folder;
    Result<Store> store = Store::open(":memory:");
    fill(*store);
    CHECK(sentence(store->save_to(folder.file("kept.db"))) == "saved");
    Result<Store> kept = Store::open(folder.file("kept.db"));
    CHECK(lists_of(*kept) == lists_of(*store));
    CHECK(*kept->open_visit() == "v2"); // and is gone on with
    CHECK(sentence(save(*kept, "v2", event(4, Noted{"on"}, noon + 9))) == "saved");
    CHECK(kept->check()->broken.empty());
    CHECK_FALSE(store->save_to(folder.file("nowhere/kept.db")).has_value());
}

TEST_CASE("whoever keeps copies is told of each visit that was closed, once it is on the disk") {
    Result<Store> store = Store::open(":memory:");
    std::vector<std::string> closed;
    store->on_closed([&](const std::string& visit) {
        CHECK(store->visits()->at(0).closed.has_value() == true);
        closed.push_back(visit);
    });
    REQUIRE(save(*store, "v1", opening("s1", noon)).has_value());
    CHECK(closed.empty());
    REQUIRE(save(*store, "v1", event(2, Closed{Closing::proved}, noon)).has_value());
    CHECK(closed == std::vector<std::string>{"v1"});
}

} // namespace
} // namespace beckhand
