// Parts used up at a visit: how they add up, how they are taken back, and what a person's erasing takes.
#include <doctest/doctest.h>

#include "engine/bundle/export.h"
#include "engine/bundle/hand_over.h"
#include "engine/records/event_json.h"
#include "tests/engine/store_helpers.h"

namespace beckhand {
namespace {

using namespace tests;

Visit after(std::vector<Happening> said) {
    std::vector<Event> events{opening()};
    for (Happening& what : said) events.push_back(event(static_cast<int>(events.size()) + 1, std::move(what)));
    return fold(events);
}

} // namespace

TEST_CASE("parts used add up by name, and each use can be taken back") {
    const std::vector<Happening> said{PartUsed{"bolt", 4}, PartUsed{"gasket sheet"}, PartUsed{"bolt"}};
    CHECK(after(said).parts_used == std::map<std::string, int>{{"bolt", 5}, {"gasket sheet", 1}});
    std::vector<Happening> back = said;
    back.push_back(*take_back(after(said)));
    CHECK(after(back).parts_used.at("bolt") == 4);
    back.push_back(TookBack{2});
    CHECK(after(back).parts_used == std::map<std::string, int>{{"gasket sheet", 1}});
}

TEST_CASE("what can be no use of a part is not counted and leaves nothing to take back") {
    const Visit visit = after({PartUsed{"", 1}, PartUsed{"bolt", 0}, PartUsed{"bolt", -3}, PartUsed{"bolt", most_parts_used},
                               PartUsed{"bolt", 1}, PartUsed{"plug", 2147483647}});
    CHECK(visit.parts_used == std::map<std::string, int>{{"bolt", most_parts_used}});
    CHECK(visit.undoable.size() == 1);
}

TEST_CASE("parts used stand in the export, and a name in free words goes with the person") {
    auto store = Store::open(":memory:");
    REQUIRE(save(*store, "v1", opening()).has_value());
    REQUIRE(save(*store, "v1", event(2, PartUsed{"bolt", 4})).has_value());
    REQUIRE(save(*store, "v1", event(3, PartUsed{"Orla's old plug"})).has_value());
    const auto parts = [&] {
        for (const bundle::ExportFile& file : export_all(*bundle::slice_of(*store))) {
            if (file.name == "parts.csv") return file.text;
        }
        return std::string();
    };
    CHECK(says(parts(), "\"bolt\",4"));
    CHECK(says(parts(), "Orla")); // the control
    REQUIRE(store->erase_person("Orla", Instant{5}).has_value());
    CHECK(says(parts(), "\"bolt\",4"));
    CHECK_FALSE(says(parts(), "Orla"));
    CHECK(fold(*store->events("v1")).parts_used.size() == 1);
    CHECK(store->check()->broken.empty());
}

} // namespace beckhand
