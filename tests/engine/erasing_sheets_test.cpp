// A person's name on the sheets of sites: the sheets that hold it go, a new one says all else that they said, and
// what no erasing reaches is named.
#include <doctest/doctest.h>

#include <algorithm>

#include "engine/bundle/entry.h"
#include "engine/records/erasing.h"
#include "tests/engine/store_helpers.h"

namespace beckhand {
namespace {

using namespace tests;

Site helped_site(const char* call) {
    Site site = a_site("Millrace");
    site.access = "Over the stile.";
    site.call = call;
    site.drive_rating = bar(6);
    return site;
}

void put(Store& store, const Site& site, std::int64_t ms) {
    store.save_site({"s1", site}, Instant{ms}, [](const Outcome& saved) { REQUIRE(saved.has_value()); }, "keeper");
}

Site held(const Store& store) {
    const std::vector<SiteRow> sites = *store.sites();
    REQUIRE(sites.size() == 1);
    return sites.front().site;
}

bool any_says(const Store& store, const std::string& word) {
    const std::vector<LogEntry> entries = *store.entries();
    return std::any_of(entries.begin(), entries.end(), [&](const LogEntry& e) {
        return says(e.json, word) || says(e.headline, word) || says(e.by, word);
    });
}

} // namespace

TEST_CASE("a name on a site's sheets goes, in old versions too, and every figure stays") {
    auto store = Store::open(":memory:"), other = Store::open(":memory:");
    put(*store, helped_site("Orla, 0123"), 1);
    Site changed = helped_site("Orla, 0123 456");
    changed.fall = metres(2.5);
    put(*store, changed, 2);
    REQUIRE(other->take_in(*store->entries()).has_value());
    const Arrived erased = *store->erase_person("Orla", Instant{3});
    CHECK(erased.added == 2); // the wish and the new sheet
    CHECK(erased.erased == 2);
    CHECK_FALSE(any_says(*store, "Orla"));
    Site wanted = changed;
    wanted.call = "(erased), 0123 456";
    CHECK(to_json(held(*store)) == to_json(wanted));
    CHECK(store->sites()->front().differences.empty());
    CHECK(store->check()->broken.empty());
    CHECK_FALSE(store->check()->lists_differed);
    for (const LogEntry& entry : *store->entries()) CHECK_FALSE(bundle::entry_problem(entry).has_value());
    CHECK(store->erase_person("Orla", Instant{4})->added == 0); // there is nothing left to do
    // It travels: the other device loses the same sheets and gains the new one; an old copy brings nothing back.
    const std::vector<LogEntry> before = *other->entries();
    REQUIRE(other->take_in(*store->entries()).has_value());
    CHECK_FALSE(any_says(*other, "Orla"));
    CHECK(to_json(held(*other)) == to_json(wanted));
    REQUIRE(store->take_in(before).has_value());
    CHECK_FALSE(any_says(*store, "Orla"));
    CHECK(to_json(held(*store)) == to_json(wanted));
}

TEST_CASE("only the name as a word is taken; sheets without it stay as they are") {
    auto store = Store::open(":memory:");
    put(*store, helped_site("Orlando at the mill"), 1);
    CHECK(store->erase_person("Orla", Instant{2})->erased == 0);
    CHECK(held(*store).call == "Orlando at the mill");
    CHECK(without_name(helped_site("Orla, Orlando, Orla"), "Orla").call == "(erased), Orlando, (erased)");
}

TEST_CASE("what another device changed on an erased sheet is not lost but shown beside the new one") {
    auto here = Store::open(":memory:"), there = Store::open(":memory:");
    put(*here, helped_site("Orla"), 1);
    REQUIRE(there->take_in(*here->entries()).has_value());
    Site changed = helped_site("Orla");
    changed.fall = metres(2.5);
    put(*there, changed, 2);
    REQUIRE(here->erase_person("Orla", Instant{3}).has_value());
    REQUIRE(there->take_in(*here->entries()).has_value());
    REQUIRE(here->take_in(*there->entries()).has_value());
    for (const Store* store : {&*here, &*there}) {
        const SiteRow row = store->sites()->front();
        const auto falls = std::find_if(row.differences.begin(), row.differences.end(),
                                        [](const SiteDifference& d) { return d.field == "fall_m"; });
        REQUIRE(falls != row.differences.end());
        CHECK(falls->values.size() == 2);
    }
    CHECK(any_says(*here, "Orla")); // written by the other device meanwhile: erased when it is asked for again
    CHECK(here->erase_person("Orla", Instant{4})->erased == 1);
    CHECK_FALSE(any_says(*here, "Orla"));
    CHECK(held(*here).fall.has_value());
}

TEST_CASE("what visits, headlines and a site's own name say of a person is named, once each") {
    auto store = Store::open(":memory:");
    put(*store, a_site("Orla's spring"), 1);
    REQUIRE(save(*store, "v1", event(1, Opened{"s1", helped_site("Orla, 0123"), "1", "h"}), "Handed on to Orla").has_value());
    REQUIRE(save(*store, "v1", event(2, Noted{"Orla has the key."}), "Handed on to Orla").has_value());
    REQUIRE(store->erase_person("Orla", Instant{3}).has_value());
    const std::vector<NamedPlace> left = places_left(*store->entries(), "Orla");
    REQUIRE(left.size() == 3);
    const auto has = [&](const std::string& text) {
        return std::any_of(left.begin(), left.end(), [&](const NamedPlace& place) { return place.text == text; });
    };
    CHECK(has("Orla's spring"));
    CHECK(has("Handed on to Orla"));
    CHECK(has("Orla, 0123"));
    // A visit that begins now takes neither the way nor who to call with it.
    const Opened opened = opening_of("s1", helped_site("Orla, 0123"), "1", "h");
    CHECK(opened.site.call.empty());
    CHECK(opened.site.access.empty());
    CHECK(opened.site.name == "Millrace");
    CHECK(opened.site.fall.has_value());
}

TEST_CASE("a log in which sheets could not be erased yet learns it when it is opened") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.db");
    {
        auto store = Store::open(path);
        put(*store, helped_site("Orla"), 1);
    }
    REQUIRE(by_hand(path, "DROP TRIGGER words_only_erased; CREATE TRIGGER words_only_erased BEFORE UPDATE OF json ON entry "
                          "WHEN old.kind NOT IN ('noted','offered','received') BEGIN SELECT RAISE(ABORT, 'no'); END") == SQLITE_OK);
    const char* const by_other_hands = "UPDATE entry SET json='', json_secret=x'', json_erased=x'00' WHERE kind='site_sheet'";
    CHECK(by_hand(path, by_other_hands) != SQLITE_OK); // the control
    {
        auto store = Store::open(path);
        REQUIRE(store->erase_person("Orla", Instant{2}).has_value());
        CHECK_FALSE(any_says(*store, "Orla"));
    }
    CHECK_FALSE(says(content(path), "Orla"));
    CHECK(by_hand(path, "UPDATE entry SET json='x' WHERE kind='site_sheet'") != SQLITE_OK);
}

} // namespace beckhand
