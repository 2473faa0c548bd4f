// Two devices as two data folders: the commands that hand over, take in, answer with a receipt, export and
// erase, run as a person runs them.
#include <doctest/doctest.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "engine/bundle/slice_cbor.h"
#include "engine/records/store.h"
#include "platform/desktop/bundle_log.h"
#include "platform/desktop/session.h"
#include "tests/faults/scratch.h"
#include "tests/support/slices.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

struct Ran { int code = 0; std::string text; };

Ran run(const std::string& data, const std::string& words) {
    const std::string line = std::string(PROGRAM) + " --data " + data + " " + words + " < /dev/null 2>&1";
    FILE* const pipe = popen(line.c_str(), "r");
    Ran ran;
    std::array<char, 512> part{};
    while (std::fgets(part.data(), part.size(), pipe)) ran.text += part.data();
    ran.code = WEXITSTATUS(pclose(pipe));
    return ran;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// Everything that the files of a folder hold, for a search for what must not be there.
std::string all_of(const std::string& folder) {
    std::string text;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
        if (entry.is_regular_file()) text += content(entry.path().string());
    }
    return text;
}

void fill(const std::string& data, const Site& site, const std::vector<Event>& events) {
    std::filesystem::create_directories(data);
    auto store = Store::open(data + "/" + log_name);
    REQUIRE(store);
    store->save_site(SiteRow{"s1", site}, Instant{1}, [](const Outcome& o) { REQUIRE(o.has_value()); });
    for (const Event& event : events) {
        store->commit("v1", event, "Less at the tank", [](const Outcome& o) { REQUIRE(o.has_value()); });
    }
}

bundle::Digest digest_in(const std::string& data) {
    auto store = Store::open(data + "/" + log_name);
    REQUIRE(store);
    return bundle::digest_of(*slice_of(*store, *read_beside(*store)));
}

std::vector<Event> events_in(const std::string& data, const std::string& visit) {
    auto store = Store::open(data + "/" + log_name);
    REQUIRE(store);
    return *store->events(visit);
}

} // namespace

TEST_CASE("a site goes to another device, an open visit goes on there, and a receipt comes back") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), two = scratch.file("two"), stick = scratch.file("stick.bundle");
    fill(one, mill_site(), small_visit("s1"));
    CHECK(run(one, "hand-over 'Mill Lane' --to " + stick).code == 0);
    CHECK(has(run(one, "hand-over").text, "offered, no receipt yet"));

    const Ran looked = run(two, "take-in " + stick); // nobody says yes
    CHECK(has(looked.text, "New site: Mill Lane"));
    CHECK(has(looked.text, "not known here"));
    CHECK(has(looked.text, "Nothing was changed"));
    CHECK(events_in(two, "v1").empty());

    const Ran taken = run(two, "take-in " + stick + " --yes --trust Anna");
    CHECK_MESSAGE(taken.code == 0, taken.text);
    CHECK(events_in(two, "v1").size() == 5);
    CHECK(digest_in(one) == digest_in(two));
    CHECK(has(run(two, "hand-over").text, "received from"));
    const Ran again = run(two, "take-in " + stick + " --yes");
    CHECK(has(again.text, "Nothing in it is new here."));
    CHECK(has(again.text, "Signed by Anna"));

    CHECK(run(one, "take-in " + stick + ".receipt").code == 0);
    CHECK(has(run(one, "hand-over").text, "receipt back from"));
    CHECK(run(one, "take-in " + stick + ".receipt").code == 2); // answers nothing any more
}

TEST_CASE("two people go on with one visit and change one figure: both are kept on both sides") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), two = scratch.file("two");
    const std::string there = scratch.file("there.bundle"), back = scratch.file("back.bundle");
    std::vector<Event> here = small_visit("s1"), yonder = here;
    here.push_back(event_at(6, Answered{"onset", "slowly", false}, 1'700'000'200'000));
    yonder.push_back(event_at(6, Answered{"onset", "overnight", false}, 1'700'000'300'000, "MB"));
    yonder.push_back(event_at(7, Noted{"Went home."}, 1'700'000'400'000, "MB"));
    Site other = mill_site();
    other.fall = metres(3.5);
    other.drive_rating = bar(6);
    fill(one, mill_site(), here);
    fill(two, other, yonder);
    CHECK(run(one, "hand-over 'Mill Lane' --to " + there).code == 0);
    const Ran taken = run(two, "take-in " + there + " --yes");
    CHECK_MESSAGE(taken.code == 0, taken.text);
    CHECK(has(taken.text, "both are kept"));
    CHECK(has(taken.text, "fall_m"));
    CHECK(run(two, "hand-over 'Mill Lane' --to " + back).code == 0);
    CHECK(run(one, "take-in " + back + " --yes").code == 0);
    CHECK(digest_in(one) == digest_in(two));
    CHECK(events_in(one, "v1").size() == 6); // each side's own goes on where it was
    CHECK(events_in(two, "v1").size() == 7);
    for (const std::string& side : {one, two}) {
        auto store = Store::open(side + "/" + log_name);
        REQUIRE(store);
        CHECK(store->visits()->size() == 2);
        CHECK(store->sites()->front().site.drive_rating->si() == bar(6).si()); // the lower one governs
    }
    CHECK(run(two, "take-in " + there + " --yes").code == 0);
    CHECK(digest_in(one) == digest_in(two));
}

TEST_CASE("a damaged file is refused with a reason, and the log is the same to the byte") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), stick = scratch.file("stick.bundle");
    fill(one, mill_site(), small_visit("s1"));
    REQUIRE(run(one, "hand-over 'Mill Lane' --to " + stick).code == 0);
    std::string bytes = content(stick);
    bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 4);
    std::ofstream(stick, std::ios::binary) << bytes;
    const std::string before = content(one + "/" + log_name);
    const Ran refused = run(one, "take-in " + stick + " --yes");
    CHECK(refused.code == 2);
    CHECK(has(refused.text, "damaged or changed"));
    CHECK(content(one + "/" + log_name) == before);
}

TEST_CASE("a taking in that was written down and cut off after any event is finished when the log is next opened") {
    const bundle::LogSlice offered = small_slice();
    const std::vector<Event> events = small_visit("s1");
    for (std::size_t done = 0; done <= events.size(); ++done) {
        const ScratchFolder scratch;
        const std::string one = scratch.file("one");
        fill(one, mill_site("Another"), {events.begin(), events.begin() + static_cast<std::ptrdiff_t>(done)});
        {
            auto store = Store::open(one + "/" + log_name);
            REQUIRE(store);
            store->save_setting("taking in", bundle::hex(*bundle::write_slice(offered)), {});
        }
        CHECK(run(one, "log").code == 0);
        CHECK(events_in(one, "v1").size() == events.size());
        auto store = Store::open(one + "/" + log_name);
        REQUIRE(store);
        CHECK((*store->setting("taking in"))->empty());
        const bundle::LogSlice now = *slice_of(*store, *read_beside(*store));
        for (const auto& [name, entry] : offered.entries) CHECK(now.entries.count(name) == 1);
    }
}

TEST_CASE("export writes everything as tables and as JSON") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), out = scratch.file("out");
    fill(one, mill_site("=Mill \"Lane\", upper"), small_visit("s1"));
    CHECK(run(one, "export " + out).code == 0);
    CHECK(has(content(out + "/sites.csv"), "\"'=Mill \"\"Lane\"\", upper\""));
    CHECK(has(content(out + "/visits.csv"), "2023-11-14T22:13:20.000Z"));
    CHECK(has(content(out + "/events.csv"), "0.000123456789"));
    CHECK(has(content(out + "/everything.json"), "\"fall_m\": 3.2"));
}

TEST_CASE("an erased person is in no file of the log, nor after an old bundle is taken in again, nor at the receiver's") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), two = scratch.file("two");
    const std::string old_one = scratch.file("old.bundle"), fresh = scratch.file("fresh.bundle");
    std::vector<Event> events = small_visit("s1");
    for (Event& event : events) event.by = "Xaver Q";
    fill(one, mill_site(), events);
    REQUIRE(run(one, "hand-over 'Mill Lane' --to " + old_one).code == 0);
    REQUIRE(run(two, "take-in " + old_one + " --yes").code == 0);
    CHECK(has(all_of(one), "Xaver Q")); // the control
    CHECK(has(all_of(two), "seals on Friday"));
    CHECK(run(one, "erase 'Xaver Q' --yes").code == 0);
    CHECK(!has(all_of(one), "Xaver Q"));
    CHECK(!has(all_of(one), "seals on Friday"));
    REQUIRE(run(one, "hand-over 'Mill Lane' --to " + fresh).code == 0);
    CHECK(!has(content(fresh), "Xaver Q"));
    const Ran taken = run(two, "take-in " + fresh + " --yes");
    CHECK_MESSAGE(taken.code == 0, taken.text);
    CHECK(!has(all_of(two), "Xaver Q"));
    CHECK(!has(all_of(two), "seals on Friday"));
    CHECK(run(one, "take-in " + old_one + " --yes").code == 0);
    CHECK(!has(all_of(one), "Xaver Q"));
    CHECK(digest_in(one) == digest_in(two));
    CHECK(events_in(one, "v1").size() == 5);
}
