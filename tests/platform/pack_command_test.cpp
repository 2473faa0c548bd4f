// A pack on its way to another device: signed, checked, taken, used from the next start on, and gone back from; and the
// visits that an earlier pack decided, still read with it.
#include <doctest/doctest.h>

#include <array>
#include <filesystem>
#include <fstream>

#include "app/app.h"
#include "engine/bundle/seal.h"
#include "engine/diagnosis/pack_file.h"
#include "platform/desktop/pack_shelf.h"
#include "platform/desktop/session.h"
#include "tests/support/program.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using namespace tests;

const bundle::DeviceKey sender = bundle::device_key(std::array<std::uint8_t, 32>{7});
const bundle::DeviceKey stranger = bundle::device_key(std::array<std::uint8_t, 32>{8});

/// The shipped pack under another version, with one word of its own.
Pack pack_called(const std::string& version) {
    Pack pack = shipped_pack();
    pack.version = version;
    pack.causes.front().name = "Named in " + version;
    pack.changes.insert(pack.changes.begin(), {version, "2026-12-01", "Another name."});
    pack.hash = content_hash(pack);
    return pack;
}

bundle::Bytes sealed(const Pack& pack, const bundle::DeviceKey& key) {
    const auto bytes = write_pack(pack);
    REQUIRE(bytes.has_value());
    return *bundle::seal(bundle::Content::pack, {reinterpret_cast<const std::uint8_t*>(bytes->data()), bytes->size()}, key);
}

std::string text_of(const bundle::Bytes& bytes) { return {bytes.begin(), bytes.end()}; }

std::string take(const std::string& more = "") { return "--data data pack take new.sealed " + more; }

TEST_CASE("a pack is signed, taken once its key is confirmed, and used from then on") {
    const Desk desk;
    const std::string pack = "'" + std::string(PACK_FILE) + "'";
    desk.write("new.sealed", text_of(sealed(pack_called("9.0.0"), sender)));
    const std::string digits = bundle::fingerprint(sender.open);

    const Ran refused = desk.run(take(), "n\n");
    CHECK(refused.code == 1);
    CHECK(holds(refused.out, digits));
    CHECK(holds(refused.err, "Nothing was taken."));
    CHECK_FALSE(holds(desk.run("--data data pack list").out, "9.0.0"));

    CHECK(desk.run(take(), "y\n").code == 0);
    CHECK(holds(desk.run("--data data pack list").out, "* 9.0.0"));
    CHECK(holds(desk.run("--data data pack show").out, "Pack 9.0.0"));
    CHECK(holds(desk.run(take()).out, "in use already"));
    // Back to the program's own, and on again.
    CHECK(desk.run("--data data pack use " + shipped_pack().version).code == 0);
    CHECK(holds(desk.run("--data data pack show").out, "Pack " + shipped_pack().version));
    CHECK(desk.run("--data data pack use newest").code == 0);
    CHECK(holds(desk.run("--data data pack show").out, "Pack 9.0.0"));
    CHECK(desk.run("--data data pack use 7.7.7").code == 2);
    // The next one of the same sender needs no digits, an older one a word.
    desk.write("new.sealed", text_of(sealed(pack_called("9.1.0"), sender)));
    CHECK(desk.run(take()).code == 0);
    CHECK(holds(desk.run("--data data pack list").out, "* 9.1.0"));
    desk.write("new.sealed", text_of(sealed(pack_called("8.0.0"), sender)));
    CHECK(holds(desk.run(take()).err, "no newer than 9.1.0"));
    CHECK(desk.run(take("--older")).code == 0);
    CHECK(holds(desk.run("--data data pack list").out, "* 9.1.0"));
    CHECK(holds(desk.run("--data data pack list").out, "  8.0.0"));
    // Whoever went back to an older one still is not handed one that is no news.
    CHECK(desk.run("--data data pack use 8.0.0").code == 0);
    desk.write("new.sealed", text_of(sealed(pack_called("8.5.0"), sender)));
    CHECK(holds(desk.run(take()).err, "no newer than 9.1.0"));
    CHECK(holds(desk.run("--data data pack list").out, "* 8.0.0"));
}

TEST_CASE("the command that signs makes a pack that the command that takes accepts") {
    const Desk desk;
    std::ofstream(desk.file("newer.pack"), std::ios::binary) << [] {
        const auto bytes = *write_pack(pack_called("9.0.0"));
        return std::string(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    }();
    const Ran made = desk.run("pack seal newer.pack new.sealed --key my.key");
    REQUIRE(made.code == 0);
    CHECK(holds(made.out, "A new key is in my.key"));
    const std::string digits = made.out.substr(made.out.rfind('\n', made.out.size() - 2) + 1);
    CHECK(desk.run(take("--trust '0000 0000 0000 0000'")).code == 1);
    CHECK(desk.run(take("--trust '" + digits.substr(0, digits.size() - 1) + "'")).code == 0);
    CHECK(holds(desk.run("pack seal newer.pack again.sealed --key my.key").out, digits)); // the same key again
    CHECK(holds(desk.run("take-in new.sealed").err, "This is a pack"));
}

TEST_CASE("a pack with any bit changed, cut short, or signed over by another key is refused") {
    const Desk desk;
    const bundle::Bytes whole = sealed(pack_called("9.0.0"), sender);
    const std::string file = desk.file("new.sealed");
    const auto read = [&](const bundle::Bytes& bytes) {
        desk.write("new.sealed", text_of(bytes));
        return read_sealed_pack(file);
    };
    REQUIRE(read(whole).has_value());
    // Each bit of the outside, and bits all through the inside.
    const std::size_t step = (whole.size() - bundle::header_size) / 300;
    std::size_t tried = 0;
    for (std::size_t at = 0; at < whole.size(); at += at < bundle::header_size ? 1 : step) {
        for (const int bit : {0, 3, 7}) {
            bundle::Bytes changed = whole;
            changed[at] = static_cast<std::uint8_t>(changed[at] ^ (1U << bit));
            CHECK_FALSE(read(changed).has_value());
            ++tried;
        }
    }
    CHECK(tried > 1000);
    CHECK_FALSE(read({whole.begin(), whole.end() - 1}).has_value());
    CHECK_FALSE(read({}).has_value());
    // Another's name on this signature.
    bundle::Bytes other = whole;
    std::copy(stranger.open.begin(), stranger.open.end(), other.begin() + 14);
    CHECK_FALSE(read(other).has_value());
    // Soundly signed, and no sound pack: refused by the same guard as any pack file.
    const std::string words = "not a pack at all";
    CHECK_FALSE(read(*bundle::seal(bundle::Content::pack, bundle::view(words), sender)).has_value());
    CHECK_FALSE(read(*bundle::seal(bundle::Content::receipt, bundle::view(words), sender)).has_value());
}

TEST_CASE("a key that nobody confirmed never decides, whatever lies in the folder") {
    const Desk desk;
    const Pack pack = pack_called("9.0.0");
    const std::string data = desk.file("data");
    std::filesystem::create_directories(data + "/packs");
    desk.write("data/packs/" + pack.hash + ".sealed", text_of(sealed(pack, stranger)));
    auto shelf = PackShelf::open(data);
    REQUIRE(shelf.has_value());
    CHECK(shelf->in_use().hash == shipped_pack().hash);
    desk.write("data/packs/in_use", pack.hash + "\n");
    shelf = PackShelf::open(data);
    CHECK(shelf->in_use().hash == shipped_pack().hash);
    CHECK(shelf->troubles().size() == 1);
    REQUIRE(shelf->trust(stranger.open).has_value());
    shelf = PackShelf::open(data);
    CHECK(shelf->in_use().hash == pack.hash);
}

TEST_CASE("a pack that is damaged or gone leaves the one inside the program, with a sentence") {
    const Desk desk;
    const std::string data = desk.file("data");
    desk.write("new.sealed", text_of(sealed(pack_called("9.0.0"), sender)));
    REQUIRE(desk.run(take("--trust '" + bundle::fingerprint(sender.open) + "'")).code == 0);
    const std::string hash = pack_called("9.0.0").hash;
    REQUIRE(desk.run("--data data pack use 9.0.0").code == 0);
    const std::string file = "data/packs/" + hash + ".sealed";
    const std::string whole = text_of(sealed(pack_called("9.0.0"), sender));
    desk.write(file, whole.substr(0, whole.size() / 2));
    auto shelf = PackShelf::open(data);
    REQUIRE(shelf.has_value());
    CHECK(shelf->in_use().hash == shipped_pack().hash);
    REQUIRE(shelf->troubles().size() == 2);
    CHECK(holds(shelf->troubles()[0].sentence(), "It is left out."));
    CHECK(holds(shelf->troubles()[1].sentence(), "The pack inside the program is used."));
    // The program starts and says so.
    CHECK(holds(desk.run("--data data log check").out, "The pack inside the program is used."));
    std::filesystem::remove(desk.file(file));
    shelf = PackShelf::open(data);
    CHECK(shelf->in_use().hash == shipped_pack().hash);
    // Whole again, under another pack's name: not believed either.
    desk.write("data/packs/" + std::string(64, 'a') + ".sealed", whole);
    CHECK(holds(PackShelf::open(data)->troubles()[0].sentence(), "not the one that its name says"));
}

TEST_CASE("an open visit keeps the pack that it was begun with, and its record is read with it") {
    const Desk desk;
    Options options;
    options.data = desk.file("data");
    std::string visit;
    {
        auto session = Session::open(options);
        REQUIRE(session.has_value());
        App& app = (*session)->app();
        app.act(EditSite{});
        app.act(EditText{"name", "Quillabeck"});
        app.act(SaveDraft{});
        app.act(StartVisit{app.state().sites.front().id});
        app.act(Say{Answered{"beat_now", "stopped_open", true}});
        visit = app.state().visit_id;
    }
    desk.write("new.sealed", text_of(sealed(pack_called("9.0.0"), sender)));
    REQUIRE(desk.run(take("--trust '" + bundle::fingerprint(sender.open) + "'")).code == 0);
    {
        auto session = Session::open(options);
        REQUIRE(session.has_value());
        App& app = (*session)->app();
        CHECK((*session)->pack().version == "9.0.0");
        REQUIRE(app.state().screen == Screen::visit); // it goes on where it stopped
        CHECK(app.pack().hash == shipped_pack().hash);
        CHECK(app.state().scene.visit.pack_hash == shipped_pack().hash);
        app.act(Say{Closed{Closing::left_as_is}});
        // A new visit is the new pack's.
        app.act(StartVisit{app.state().sites.front().id});
        CHECK(app.pack().version == "9.0.0");
        CHECK(app.state().scene.visit.pack_version == "9.0.0");
        app.act(ReadRecord{visit});
        CHECK(app.pack().hash == shipped_pack().hash);
        app.act(Show{Screen::visit});
        CHECK(app.pack().version == "9.0.0");
    }
    // The program's own pack of the time is kept for its visits, should a later program bring another.
    CHECK(std::filesystem::exists(desk.file("data/packs/" + shipped_pack().hash + ".pack")));
    CHECK((*Session::open(options))->pack_of(shipped_pack().hash).version == shipped_pack().version);
}

TEST_CASE("an open visit of a pack that is not here says so, and goes on") {
    const Desk desk;
    Options options;
    options.data = desk.file("data");
    std::filesystem::create_directories(options.data);
    {
        auto store = Store::open(options.data + "/" + log_name);
        REQUIRE(store.has_value());
        SiteRow row;
        row.id = "s1";
        row.site.name = "Quillabeck";
        store->save_site(row, Instant{1}, [](const Outcome& saved) { REQUIRE(saved.has_value()); });
        const Event opened{1, Instant{2}, "keeper", Opened{"s1", row.site, "0.9.0", std::string(64, 'f')}};
        store->commit("v1", opened, "", [](const Outcome& saved) { REQUIRE(saved.has_value()); });
    }
    auto session = Session::open(options);
    REQUIRE(session.has_value());
    const State& state = (*session)->app().state();
    CHECK(state.screen == Screen::visit);
    REQUIRE(state.notice.has_value());
    CHECK(holds(state.notice->sentence(), "begun with pack 0.9.0, which is not here"));
}

TEST_CASE("the difference of two packs names the cases and the visits that end differently") {
    const Desk desk;
    Pack newer = pack_called("9.0.0");
    for (Cause& cause : newer.causes) {
        if (cause.id == "screen_matted") cause.per_1000 = 0.001;
    }
    std::filesystem::create_directories(desk.file("cases"));
    std::ofstream(desk.file("newer.pack"), std::ios::binary) << [&] {
        const auto bytes = *write_pack(newer);
        return std::string(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    }();
    const std::string two = "pack diff '" + std::string(PACK_FILE) + "' newer.pack --cases '" SOURCE_FOLDER "/tests/cases'";
    const Ran without = desk.run(two);
    REQUIRE(without.code == 0);
    CHECK(holds(without.out, "minor: cause screen_matted: per 1000 74 -> 0.001."));
    CHECK(holds(without.out, "a minor step is due."));
    CHECK(holds(without.out, "strainer_starved.toml: screen_matted -> "));
    CHECK(holds(without.out, " of 8 end"));
    CHECK_FALSE(holds(without.out, "Visits of the log"));

    REQUIRE(desk.run("demo --fill").code == 0);
    const Ran with = desk.run(two);
    CHECK(with.code == 0);
    CHECK(holds(with.out, "Visits of the log: "));
    const Ran same = desk.run("pack diff '" + std::string(PACK_FILE) + "' '" + std::string(PACK_FILE) + "'");
    CHECK(holds(same.out, "Nothing that is said or counted changed."));
    CHECK(holds(same.out, "Visits of the log: 0 of "));
}

} // namespace
} // namespace beckhand
