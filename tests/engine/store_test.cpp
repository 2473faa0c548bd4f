// The log: what is saved is there after a reopening, saving twice is saving once, and a list of visits
// agrees with the visits. What stands in the way is in store_trouble_test.cpp.
#include <doctest/doctest.h>

#include <array>
#include <limits>

#include "tests/engine/store_helpers.h"

namespace beckhand {
namespace {

using namespace tests;

TEST_CASE("what was saved is there after closing and opening again") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    const std::vector<Event> written{
        opening(), event(2, Answered{"beat", "slow"}), event(3, Measured{"fall", 1.0 / 3}),
        event(4, Noted{"水 \xf0\x9f\x92\xa7 e\xcc\x81 \xd7\xa9"}), event(6, TookBack{2})};
    {
        Result<Store> store = Store::open(path);
        REQUIRE(store.has_value());
        Outcome site = Problem{};
        store->save_site({"s1", a_site("Mühlgraben")}, Instant{5}, [&](Outcome o) { site = std::move(o); });
        CHECK(sentence(site) == "saved");
        for (const Event& one : written)
            CHECK(sentence(save(*store, "v1", one, "Läuft nicht")) == "saved");
        store->save_setting("units", "metric", {});
        store->save_setting("units", "us", {});
    }
    CHECK_FALSE(std::filesystem::exists(path + "-wal")); // folded in when it was closed
    const Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    const Result<std::vector<Event>> events = store->events("v1");
    REQUIRE(events.has_value());
    REQUIRE(events->size() == written.size());
    for (std::size_t i = 0; i < written.size(); ++i) {
        CHECK((*events)[i].number == written[i].number);
        CHECK((*events)[i].at == written[i].at);
        CHECK((*events)[i].by == "Zoë");
        CHECK(to_json((*events)[i].what) == to_json(written[i].what));
    }
    REQUIRE(store->sites()->size() == 1);
    CHECK(to_json(store->sites()->front().site) == to_json(a_site("Mühlgraben")));
    const VisitRow row = store->visits()->at(0);
    CHECK(row.id == "v1");
    CHECK(row.site_id == "s1");
    CHECK(row.site_name == "Mühlgraben");
    CHECK(row.opened_at == written.front().at);
    CHECK(row.last_at == written.back().at);
    CHECK(row.events == 5);
    CHECK(row.headline == "Läuft nicht");
    CHECK_FALSE(row.closed.has_value());
    CHECK(*store->open_visit() == "v1");
    CHECK(*store->setting("units") == "us");
    CHECK_FALSE(store->setting("theme")->has_value());
}

TEST_CASE("an empty log has no sites, no visits and nothing to go on with") {
    const Result<Store> store = Store::open(":memory:");
    REQUIRE(store.has_value());
    CHECK(store->sites()->empty());
    CHECK(store->visits()->empty());
    CHECK(store->events("nobody")->empty());
    CHECK_FALSE(store->open_visit()->has_value());
}

TEST_CASE("the log is a STRICT write-ahead file under its own mark") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    CHECK(sentence(save(*store, "v1", opening())) == "saved");
    CHECK(std::filesystem::file_size(path + "-wal") > 0);
    CHECK_FALSE(std::filesystem::exists(path + "-shm")); // one connection holds the log alone
    { const Store closed = std::move(*store); }
    const std::string file = content(path);
    CHECK(file.compare(0, 15, "SQLite format 3") == 0);
    CHECK(file.substr(68, 4) == "BHLG"); // application id, SQLite file format, header offset 68
    CHECK(file[18] == 2);                // WAL, header offset 18
    CHECK(file.substr(60, 4) == std::string("\0\0\0\2", 4)); // user_version, header offset 60
    CHECK(says(file, "STRICT"));
}

TEST_CASE("saving the same event again is not an error and does not double it") {
    Result<Store> store = Store::open(":memory:");
    for (int i = 0; i < 3; ++i) {
        CHECK(sentence(save(*store, "v1", opening())) == "saved");
        CHECK(sentence(save(*store, "v1", event(2, Answered{"beat", "slow"}))) == "saved");
    }
    CHECK(store->events("v1")->size() == 2);
    CHECK(store->visits()->at(0).events == 2);
}

TEST_CASE("another event under a taken number is refused and changes nothing") {
    Result<Store> store = Store::open(":memory:");
    CHECK(sentence(save(*store, "v1", opening())) == "saved");
    const Event kept = event(2, Answered{"beat", "slow"});
    CHECK(sentence(save(*store, "v1", kept, "first")) == "saved");
    Event later = kept;
    later.at.ms += 1;
    Event other_person = kept;
    other_person.by = "someone else";
    for (const Event& other : {event(2, Answered{"beat", "fast"}), later, other_person}) {
        CHECK(says(sentence(save(*store, "v1", other, "second")), "Another answer is already saved"));
    }
    CHECK(says(sentence(save(*store, "v1", opening("s2"))), "Another answer is already saved"));
    CHECK(to_json(store->events("v1")->at(1).what) == to_json(kept.what));
    CHECK(store->visits()->at(0).headline == "first");
    CHECK(store->visits()->at(0).site_id == "s1");
}

TEST_CASE("a visit that was never opened takes no events") {
    Result<Store> store = Store::open(":memory:");
    CHECK(says(sentence(save(*store, "v1", event(2, Noted{"a"}))), "never opened"));
    CHECK(store->visits()->empty());
    CHECK(sentence(save(*store, "v1", opening())) == "saved"); // and the log goes on
}

TEST_CASE("what cannot be kept exactly is refused before it touches the log") {
    Result<Store> store = Store::open(":memory:");
    CHECK(sentence(save(*store, "v1", opening())) == "saved");
    CHECK(says(sentence(save(*store, "v1", event(2, Noted{"broken \xff"}))), "not valid UTF-8"));
    CHECK(says(sentence(save(*store, "v1", event(2, Noted{"a"}), "broken \xc3")), "headline: Some text"));
    CHECK(says(sentence(save(*store, "v\xff", event(2, Noted{"a"}))), "visit id"));
    CHECK(says(sentence(save(*store, "", event(2, Noted{"a"}))), "visit id"));
    CHECK(says(sentence(save(*store, "v1", event(0, Noted{"a"}))), "numbered from 1"));
    Event person = event(2, Noted{"a"});
    person.by = "\x80";
    CHECK(says(sentence(save(*store, "v1", person)), "name of the person"));
    CHECK(says(sentence(save(*store, "v1", event(2, Measured{"q", std::numeric_limits<double>::infinity()}))),
               "not a number"));
    Outcome outcome = Done{};
    store->save_setting("a", "\xff", [&](Outcome o) { outcome = std::move(o); });
    CHECK_FALSE(outcome.has_value());
    outcome = Done{};
    store->save_site({"", a_site("A")}, Instant{}, [&](Outcome o) { outcome = std::move(o); });
    CHECK_FALSE(outcome.has_value());
    outcome = Done{};
    store->save_site({"s1", a_site("A\xff")}, Instant{}, [&](Outcome o) { outcome = std::move(o); });
    CHECK_FALSE(outcome.has_value());
    CHECK(store->events("v1")->size() == 1);
}

TEST_CASE("a note with a zero byte inside is kept whole") {
    Result<Store> store = Store::open(":memory:");
    const std::string text("before\0after", 12);
    CHECK(sentence(save(*store, "v1", opening(), text)) == "saved");
    CHECK(sentence(save(*store, "v1", event(2, Noted{text}), text)) == "saved");
    CHECK(std::get<Noted>(store->events("v1")->at(1).what).text == text);
    CHECK(store->visits()->at(0).headline == text);
}

TEST_CASE("a visit is closed by its closing and open again when that is taken back") {
    Result<Store> store = Store::open(":memory:");
    CHECK(sentence(save(*store, "v1", opening())) == "saved");
    CHECK(sentence(save(*store, "v1", event(2, Closed{Closing::called_help}))) == "saved");
    CHECK(store->visits()->at(0).closed == Closing::called_help);
    CHECK_FALSE(store->open_visit()->has_value());
    CHECK(sentence(save(*store, "v1", event(3, TookBack{2}))) == "saved");
    CHECK_FALSE(store->visits()->at(0).closed.has_value());
    CHECK(*store->open_visit() == "v1");
    CHECK(sentence(save(*store, "v1", event(4, Closed{Closing::proved}))) == "saved");
    CHECK(store->visits()->at(0).closed == Closing::proved);
}

TEST_CASE("a closing folds the write-ahead file into the log") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    Result<Store> store = Store::open(path);
    CHECK(sentence(save(*store, "v1", opening())) == "saved");
    CHECK(std::filesystem::file_size(path + "-wal") > 0);
    CHECK(sentence(save(*store, "v1", event(2, Closed{}))) == "saved");
    CHECK(std::filesystem::file_size(path + "-wal") == 0);
}

TEST_CASE("the program goes on with the visit that was worked on last, whatever the clock said") {
    Result<Store> store = Store::open(":memory:");
    CHECK(sentence(save(*store, "v1", opening("s1", 2'000'000))) == "saved");
    CHECK(sentence(save(*store, "v2", opening("s2", 1'000'000))) == "saved");
    CHECK(*store->open_visit() == "v2");
    CHECK(sentence(save(*store, "v1", event(2, Noted{"a"}, 500'000))) == "saved");
    CHECK(*store->open_visit() == "v1");
}

TEST_CASE("visits are listed newest first, of one site or of all, by the site's present name") {
    Result<Store> store = Store::open(":memory:");
    CHECK(sentence(save(*store, "v1", opening("s1", 1'000))) == "saved");
    CHECK(sentence(save(*store, "v2", opening("s2", 3'000))) == "saved");
    CHECK(sentence(save(*store, "v3", opening("s1", 2'000))) == "saved");
    store->save_site({"s2", a_site("zweiter")}, Instant{1}, {});
    store->save_site({"s2", a_site("Beck House")}, Instant{2}, {});
    store->save_site({"s3", a_site("alder")}, Instant{3}, {});
    const std::vector<VisitRow> all = *store->visits();
    REQUIRE(all.size() == 3);
    CHECK(all[0].id == "v3"); // saved last, though its clock says that it was before v2
    CHECK(all[0].site_name == "Mühlgraben"); // no sheet of its own: the name at opening
    CHECK(all[1].id == "v2");
    CHECK(all[1].site_name == "Beck House");
    CHECK(all[2].id == "v1");
    CHECK(store->visits("s1")->size() == 2);
    CHECK(store->visits("nowhere")->empty());
    REQUIRE(store->sites()->size() == 2);
    CHECK(store->sites()->at(0).id == "s3");
}

TEST_CASE("a completion may save again") {
    Result<Store> store = Store::open(":memory:");
    bool inner = false;
    store->commit("v1", opening(), "", [&](Outcome) {
        store->commit("v1", event(2, Noted{"a"}), "", [&](Outcome o) { inner = o.has_value(); });
    });
    CHECK(inner);
    CHECK(store->events("v1")->size() == 2);
}

TEST_CASE("events can be neither changed nor removed, not even by another tool") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    {
        Result<Store> store = Store::open(path);
        CHECK(sentence(save(*store, "v1", opening())) == "saved");
    }
    CHECK(by_hand(path, "UPDATE entry SET json='{}'") == SQLITE_CONSTRAINT);
    CHECK(by_hand(path, "DELETE FROM entry") == SQLITE_CONSTRAINT);
    CHECK(by_hand(path, "INSERT INTO entry VALUES('d', 'two', 'v1', 2, 0, '', '', x'', '', x'', NULL, '', x'', NULL, x'', x'')") ==
          SQLITE_CONSTRAINT); // STRICT
    CHECK(Store::open(path)->events("v1")->size() == 1);
}

TEST_CASE("an id is the 32 hex digits of its 16 bytes") {
    std::array<std::uint8_t, 16> bytes{};
    for (std::size_t i = 0; i < bytes.size(); ++i)
        bytes[i] = static_cast<std::uint8_t>(i * 17);
    CHECK(new_id(bytes) == "00112233445566778899aabbccddeeff");
}

} // namespace
} // namespace beckhand
