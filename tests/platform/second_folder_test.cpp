// The second folder, and a session whose data folder takes no files.
#include <doctest/doctest.h>

#include <sstream>

#include "platform/desktop/second_folder.h"
#include "platform/desktop/session.h"
#include "tests/engine/store_helpers.h"

namespace beckhand {
namespace {

using namespace tests;

/// The entries of a visit as bytes: enough to tell one state of it from another.
MakeCopy copies_of(const Store& store) {
    return [&store](const std::string& visit) -> Result<std::vector<std::uint8_t>> {
        const auto entries = store.entries(visit);
        if (!entries) return entries.error();
        std::vector<std::uint8_t> bytes;
        for (const LogEntry& entry : *entries)
            for (const std::uint8_t byte : entry.hash) bytes.push_back(byte);
        return bytes;
    };
}

TEST_CASE("each finished visit goes into the second folder, and again when it has changed") {
    const ScratchFolder folder;
    Result<Store> store = Store::open(":memory:");
    const SecondFolder second(folder.file("copies"), copies_of(*store));
    store->on_closed([&](const std::string& visit) { CHECK(sentence(second.copy(visit)) == "saved"); });
    CHECK(save(*store, "v1", opening()).has_value());
    CHECK(save(*store, "v2", opening()).has_value());
    CHECK_FALSE(std::filesystem::exists(second.file_of("v1")));
    CHECK(save(*store, "v1", event(2, Closed{})).has_value());
    CHECK(std::filesystem::file_size(second.file_of("v1")) == 64);
    CHECK_FALSE(std::filesystem::exists(second.file_of("v1") + ".part"));
    CHECK(second.behind(*store->visits()).empty());
    CHECK(save(*store, "v1", event(3, TookBack{2})).has_value());
    CHECK(save(*store, "v1", event(4, Closed{})).has_value());
    CHECK(std::filesystem::file_size(second.file_of("v1")) == 128);
    // The card was out, or its copy is damaged: made again.
    write_file(second.file_of("v1"), "something else");
    CHECK(second.behind(*store->visits()) == std::vector<std::string>{"v1"});
    CHECK(sentence(second.catch_up(*store->visits())) == "saved");
    CHECK(second.behind(*store->visits()).empty());
}

TEST_CASE("a second folder that is not there has its sentence and harms nothing") {
    const ScratchFolder folder;
    write_file(folder.file("a file"), "x");
    Result<Store> store = Store::open(":memory:");
    const SecondFolder second(folder.file("a file/copies"), copies_of(*store));
    CHECK(says(sentence(second.copy("v1")), "The copy of this visit could not be written."));
    CHECK(says(second.file_of("../../etc/x"), folder.path().string()));
    CHECK_FALSE(says(second.file_of("../../etc/x"), ".."));
}

TEST_CASE("where nothing can be written the visit goes on in memory, is said so, and is saved elsewhere") {
    const ScratchFolder folder;
    write_file(folder.file("taken"), "a file where the folder should be");
    Options options;
    options.data = folder.file("taken");
    auto session = Session::open(options);
    REQUIRE(session.has_value());
    CHECK((*session)->only_in_memory());
    REQUIRE((*session)->app().state().notice.has_value());
    CHECK(says((*session)->app().state().notice->sentence(), "KEPT IN MEMORY ONLY"));
    (*session)->app().act(ReadTrouble{});
    CHECK_FALSE((*session)->app().state().notice.has_value());
    Site site = a_site("Mühlgraben");
    (*session)->store().save_site({"s1", site}, Instant{1}, {});
    REQUIRE(save((*session)->store(), "v1", opening()).has_value());
    std::istringstream folders(folder.file("taken") + "\n" + folder.file("kept") + "\n");
    std::ostringstream told;
    CHECK(offer_to_save(**session, folders, told));
    CHECK(says(told.str(), "Saved."));
    options.data = folder.file("kept");
    auto again = Session::open(options);
    REQUIRE(again.has_value());
    CHECK_FALSE((*again)->only_in_memory());
    CHECK((*again)->store().events("v1")->size() == 1);
}

TEST_CASE("a log that is open elsewhere is refused, not gone on with in memory") {
    const ScratchFolder folder;
    Options options;
    options.data = folder.path().string();
    const auto first = Session::open(options);
    REQUIRE(first.has_value());
    const auto second = Session::open(options);
    REQUIRE_FALSE(second.has_value());
    CHECK(says(second.error().sentence(), "already open"));
}

} // namespace
} // namespace beckhand
