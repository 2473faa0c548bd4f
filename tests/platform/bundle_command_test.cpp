// Two devices as two data folders: the commands that hand over, take in, answer with a receipt, export and
// erase, run as a person runs them.
#include <doctest/doctest.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "app/app.h"
#include "engine/bundle/hand_over.h"
#include "engine/bundle/slice_cbor.h"
#include "engine/records/store.h"
#include "platform/desktop/second_folder.h"
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

/// Goes on with what is there: another sheet and more events.
void go_on(const std::string& data, const Site& site, const std::vector<Event>& events) {
    fill(data, site, events);
}

bundle::Digest digest_in(const std::string& data) {
    auto store = Store::open(data + "/" + log_name);
    REQUIRE(store);
    return bundle::digest_of(*bundle::slice_of(*store));
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
    const std::string one = scratch.file("one"), two = scratch.file("two"), first = scratch.file("first.bundle");
    const std::string there = scratch.file("there.bundle"), back = scratch.file("back.bundle");
    Site base = mill_site(), other = base;
    base.fall = metres(2);
    fill(one, base, small_visit("s1"));
    REQUIRE(run(one, "hand-over 'Mill Lane' --to " + first).code == 0);
    REQUIRE(run(two, "take-in " + first + " --yes").code == 0);
    other.fall = metres(3.5);
    other.drive_rating = bar(6);
    go_on(one, mill_site(), {event_at(6, Answered{"onset", "slowly", false}, 1'700'000'200'000)});
    go_on(two, other, {event_at(6, Answered{"onset", "overnight", false}, 1'700'000'300'000, "MB"),
                       event_at(7, Noted{"Went home."}, 1'700'000'400'000, "MB")});
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
        const auto visits = *store->visits();
        REQUIRE(visits.size() == 2);
        CHECK(visits[0].branches == 2);
        CHECK(visits[0].id != visits[1].id);
        CHECK(store->events(visits[0].id)->size() + store->events(visits[1].id)->size() == 13);
        REQUIRE(store->sites()->front().differences.size() == 1); // of the rating only one side changed it
        CHECK(store->sites()->front().differences[0].field == "fall_m");
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

TEST_CASE("an open visit that was handed over goes on where it stopped, in the app of the other device") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), two = scratch.file("two"), stick = scratch.file("stick.bundle");
    Options here, there;
    here.data = one;
    there.data = two;
    std::string visit_id;
    std::optional<std::size_t> asked;
    Stage stage{};
    {
        auto session = Session::open(here);
        REQUIRE(session);
        Store& store = (*session)->store();
        store.save_site(SiteRow{"s1", mill_site()}, Instant{1}, {});
        App& app = (*session)->app();
        app.act(ShowSite{"s1"});
        app.act(StartVisit{"s1"});
        app.act(Say{Answered{"complaint", "less_at_tank", true}});
        app.act(Say{Began{}});
        visit_id = app.state().visit_id;
        asked = app.state().scene.observation;
        stage = app.state().scene.stage;
        REQUIRE(app.state().events.size() == 3);
    }
    REQUIRE(run(one, "hand-over 'Mill Lane' --to " + stick).code == 0);
    REQUIRE(run(two, "take-in " + stick + " --yes").code == 0);
    auto session = Session::open(there);
    REQUIRE(session);
    App& app = (*session)->app();
    CHECK(app.state().screen == Screen::sites); // it is not this device's own visit
    app.act(ShowSite{"s1"});
    app.act(ResumeVisit{visit_id});
    CHECK(app.state().screen == Screen::visit);
    CHECK(app.state().scene.stage == stage);
    CHECK(app.state().scene.observation == asked);
    app.act(Say{Noted{"Gone on with by the other one."}});
    CHECK(app.state().events.size() == 4);
    CHECK((*session)->store().visits()->size() == 1); // and is no fork
}

TEST_CASE("a lost log comes back whole out of the second folder") {
    const ScratchFolder scratch;
    const std::string one = scratch.file("one"), two = scratch.file("two"), card = scratch.file("card");
    std::vector<Event> events = small_visit("s1");
    fill(one, mill_site(), events);
    CHECK(run(one, "--second " + card + " log").code == 0);
    CHECK(SecondFolder::files_in(card).empty()); // the visit is open
    {
        Options options;
        options.data = one;
        auto session = Session::open(options); // the folder is remembered
        REQUIRE(session);
        (*session)->store().commit("v1", event_at(6, Closed{Closing::handed_on}, 1'700'000'200'000), "Handed on", {});
    }
    REQUIRE(SecondFolder::files_in(card).size() == 1);
    const bundle::Digest before = digest_in(one);
    std::filesystem::remove_all(one);
    const Ran looked = run(one, "restore " + card);
    CHECK(has(looked.text, "1 new visit."));
    CHECK(has(looked.text, "Nothing was changed."));
    const Ran restored = run(one, "restore " + card + " --yes");
    CHECK_MESSAGE(restored.code == 0, restored.text);
    CHECK(digest_in(one) == before);
    CHECK(events_in(one, "v1").size() == 6);
    CHECK(run(one, "log check").code == 0);
    // A damaged copy is named and keeps nothing else from coming back.
    std::ofstream(card + "/zz.visit") << "something else";
    const Ran partly = run(two, "restore " + card + " --yes");
    CHECK(partly.code == 1);
    CHECK(has(partly.text, "zz.visit"));
    CHECK(digest_in(two) == before);
    CHECK(run(two, "restore " + scratch.file("nowhere")).code == 2);
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
    CHECK(run(one, "log check").code == 0); // every chain still holds
    CHECK(run(two, "log check").code == 0);
    CHECK(!has(all_of(one), "Xaver Q"));
    CHECK(digest_in(one) == digest_in(two));
    CHECK(events_in(one, "v1").size() == 5);
}
