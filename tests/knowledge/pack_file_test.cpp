// The pack file: what goes in comes out, and nothing but a whole pack is ever let in.
#include <doctest/doctest.h>
#include <sqlite3.h>

#include <cstring>
#include <limits>
#include <random>

#include "engine/diagnosis/pack_file.h"
#include "engine/diagnosis/pack_sound.h"
#include "tests/support/tiny_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

std::vector<std::byte> bytes_of(const Pack& pack) {
    Result<std::vector<std::byte>> bytes = write_pack(pack);
    REQUIRE_MESSAGE(bytes.has_value(), (bytes ? "" : bytes.error().sentence()));
    return std::move(bytes).value();
}

// Opens the file in memory, runs the SQL on it as a stranger could, and gives the file back.
std::vector<std::byte> tampered(const std::vector<std::byte>& bytes, const std::string& sql) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(":memory:", &database) == SQLITE_OK);
    auto* copy = static_cast<unsigned char*>(sqlite3_malloc64(bytes.size()));
    std::memcpy(copy, bytes.data(), bytes.size());
    const auto size = static_cast<sqlite3_int64>(bytes.size());
    REQUIRE(sqlite3_deserialize(database, "main", copy, size, size,
                                SQLITE_DESERIALIZE_FREEONCLOSE | SQLITE_DESERIALIZE_RESIZEABLE) == SQLITE_OK);
    char* message = nullptr;
    const int code = sqlite3_exec(database, sql.c_str(), nullptr, nullptr, &message);
    REQUIRE_MESSAGE(code == SQLITE_OK, (message ? message : ""));
    sqlite3_int64 new_size = 0;
    unsigned char* image = sqlite3_serialize(database, "main", &new_size, 0);
    std::vector<std::byte> out(static_cast<std::size_t>(new_size));
    std::memcpy(out.data(), image, out.size());
    sqlite3_free(image);
    sqlite3_close(database);
    return out;
}

} // namespace

TEST_CASE("a pack read back has every field it was written with") {
    const Pack pack = tiny_pack();
    const std::vector<std::byte> bytes = bytes_of(pack);
    const Result<Pack> back = read_pack(bytes, "tiny.pack");
    REQUIRE_MESSAGE(back.has_value(), (back ? "" : back.error().sentence()));
    CHECK(content_hash(*back) == content_hash(pack));
    CHECK(back->hash == pack.hash);

    // The hash could share a forgotten field with the file, so one field of every kind is looked at.
    CHECK(back->version == "1.0.0");
    CHECK(back->issued == "2026-11-25");
    CHECK(back->scale.slip == pack.scale.slip);
    REQUIRE(back->cautions.size() == 2);
    CHECK(back->cautions[1].stop);
    CHECK(back->cautions[1].defer_to == "Your rules for lone work");
    REQUIRE(back->cautions[1].fires_on.size() == 1);
    CHECK(back->cautions[1].fires_on[0].observation == "screen_face");
    CHECK(back->cautions[1].fires_on[0].answer == "matted");
    REQUIRE(back->first_sights.size() == 1);
    CHECK(back->first_sights[0].say == "The beat is slow");
    CHECK(back->first_sights[0].means.answer == "slow");
    REQUIRE(back->observations.size() == 3);
    const Observation& screen = back->observations[0];
    CHECK(screen.part == "intake");
    CHECK(screen.group == "flows");
    CHECK(screen.place == Place::intake);
    CHECK(screen.tools == std::vector<std::string>{"rake"});
    CHECK(screen.answers[0].normal);
    CHECK(screen.answers[2].cannot);
    CHECK_FALSE(screen.bands.has_value());
    const Observation& beat = back->observations[1];
    CHECK(beat.answers[2].pump == PumpState::running);
    CHECK(beat.answers[0].pump == PumpState::either);
    REQUIRE(beat.bands.has_value());
    CHECK(beat.bands->quantity == "beat_ratio");
    CHECK(beat.bands->edges == std::vector<double>{0.88, 1.12});
    CHECK(beat.bands->bands == std::vector<std::string>{"slow", "same", "fast"});
    CHECK(beat.bands->needs == std::vector<std::string>{"B"});
    REQUIRE(back->measurements.size() == 1);
    CHECK(back->measurements[0].minutes == 1.5);
    CHECK(back->measurements[0].sloppy_relative == 0.08);
    CHECK(back->measurements[0].most == 4);
    REQUIRE(back->causes.size() == 2);
    const Cause& cause = back->causes[0];
    CHECK(cause.id == "screen_matted");
    REQUIRE(cause.seen.size() == 3);
    CHECK(cause.seen[1].answer == "clear");
    CHECK(cause.seen[1].mark == Mark::nearly_excluded);
    CHECK(cause.check.place == Place::intake);
    CHECK(cause.check.cautions == std::vector<std::string>{"cold_water"});
    CHECK(cause.fix.parts == std::vector<std::string>{"spare mesh"});
    REQUIRE(cause.fix.steps.size() == 2);
    CHECK(cause.fix.steps[1].say == "Start the pump by hand.");
    CHECK(cause.fix.steps[1].cautions == std::vector<std::string>{"pinch"});
    CHECK(cause.proof.measure == std::vector<std::string>{"B"});
    CHECK(cause.proof.wait_minutes == 5);
    REQUIRE(cause.in_the_pump.size() == 2);
    CHECK(cause.in_the_pump[0].parameter == "drive.entry_k");
    CHECK(cause.in_the_pump[0].moves == Moves::times);
    CHECK(cause.in_the_pump[0].amount == 1000);
    CHECK(cause.in_the_pump[1].moves == Moves::down_to);
    CHECK(cause.in_the_pump[1].of == "usual_draw");
    CHECK(cause.severity_least == 0.3);
    CHECK(cause.severity_most == 0.8);
    CHECK(back->causes[1].severity_most == 0.9);
    CHECK(back->look_alikes[0].splits_on == "screen_face");
    CHECK(back->chains[0].then == "rubber_worn");
    REQUIRE(back->services.size() == 1);
    CHECK(back->services[0].month == 9);
    CHECK(back->services[0].done_by == std::vector<std::string>{"screen_matted"});
    CHECK(back->services[0].tools == std::vector<std::string>{"rake"});
}

TEST_CASE("the same pack gives the same bytes, and a changed one another hash") {
    const Pack pack = tiny_pack();
    CHECK(bytes_of(pack) == bytes_of(pack));
    CHECK(bytes_of(*read_pack(bytes_of(pack), "a")) == bytes_of(pack));

    Pack changed = pack;
    changed.causes[1].fix.steps[0].cautions.clear();
    CHECK(content_hash(changed) != content_hash(pack));
    changed = pack;
    changed.causes[0].seen[0].mark = Mark::likelier;
    CHECK(content_hash(changed) != content_hash(pack));
    // A text that moves from one field into its neighbour is another pack.
    changed = pack;
    changed.causes[0].check.yes = "The beat ";
    changed.causes[0].check.no = "quickens" + changed.causes[0].check.no;
    CHECK(content_hash(changed) != content_hash(pack));
    changed = pack;
    changed.causes[0].in_the_pump[0].moves = Moves::towards;
    CHECK(content_hash(changed) != content_hash(pack));
    changed = pack;
    changed.first_sights[0].means.answer = "fast";
    CHECK(content_hash(changed) != content_hash(pack));
    changed = pack;
    changed.hash = "whatever stands here";
    CHECK(content_hash(changed) == content_hash(pack));
    CHECK(content_hash(pack).size() == 64);
}

TEST_CASE("a pack the engine could not work with is neither written nor read") {
    const Pack pack = tiny_pack();
    Pack bad = pack;
    bad.causes[0].seen[0].answer = "no_such_answer";
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.causes[0].per_1000 = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.observations[1].bands->edges = {1.12, 0.88};
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.causes[1].id = "screen_matted";
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.causes[0].in_the_pump[0].parameter = "drive.nothing";
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.causes[0].in_the_pump[0] = {"drive.length_m", Moves::times, 1e-6, ""};
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.causes[0].in_the_pump.clear();
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.causes[0].severity_most = 2;
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.observations[0].answers.pop_back();
    CHECK_FALSE(write_pack(bad).has_value());
    bad = pack;
    bad.cautions[0].say = "\x1b[2J"; // would clear a terminal
    CHECK_FALSE(write_pack(bad).has_value());
    CHECK_FALSE(write_pack(Pack{}).has_value());
    CHECK_FALSE(unsound(pack).has_value());
}

TEST_CASE("plain text is UTF-8 that cannot steer a terminal or turn the line round") {
    CHECK(is_plain_text("Hochwasser über 15 °C\n\t\xf0\x9f\x92\xa7"));
    CHECK_FALSE(is_plain_text("\xc0\x80"));         // overlong (RFC 3629, section 3)
    CHECK_FALSE(is_plain_text("\xed\xa0\x80"));     // surrogate (RFC 3629, section 3)
    CHECK_FALSE(is_plain_text("\xf4\x90\x80\x80")); // above U+10FFFF (RFC 3629, section 3)
    CHECK_FALSE(is_plain_text("\xe2\x82"));         // cut short
    CHECK_FALSE(is_plain_text("\xe2\x80\xae"
                              "abc")); // U+202E right-to-left override
    CHECK_FALSE(is_plain_text("bell\a"));
}

TEST_CASE("a pack cut off anywhere is refused") {
    const std::vector<std::byte> bytes = bytes_of(tiny_pack());
    std::size_t refused = 0;
    for (std::size_t length = 0; length < bytes.size(); ++length) {
        const Result<Pack> back = read_pack(std::span(bytes).first(length), "cut.pack");
        if (!back && !back.error().what.empty()) {
            ++refused;
        }
    }
    CHECK(refused == bytes.size());

    // Cut at a page border and with the page count made to fit, so that SQLite gets to see what is left.
    for (std::size_t pages = 1; pages * 4096 < bytes.size(); ++pages) {
        std::vector<std::byte> cut(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(pages * 4096));
        cut[30] = static_cast<std::byte>(pages >> 8U);
        cut[31] = static_cast<std::byte>(pages & 0xffU);
        CHECK_FALSE(read_pack(cut, "cut.pack").has_value());
    }
}

TEST_CASE("a pack with a flipped bit is refused, or is still the same pack") {
    const Pack pack = tiny_pack();
    const std::vector<std::byte> bytes = bytes_of(pack);
    std::mt19937 random(20261125);
    std::size_t refused = 0, harmless = 0;
    for (int i = 0; i < 2000; ++i) {
        std::vector<std::byte> flipped = bytes;
        // A quarter of the flips go into the first page, where the file format keeps its own fields.
        const std::size_t range = i % 4 == 0 ? 4096 : bytes.size();
        flipped[random() % range] ^= std::byte{1} << (random() % 8);
        const Result<Pack> back = read_pack(flipped, "flipped.pack");
        if (back) {
            ++harmless; // free space in a page, or a field of the header that nothing depends on
            CHECK(content_hash(*back) == pack.hash);
        } else {
            ++refused;
        }
    }
    CHECK(refused + harmless == 2000);
    CHECK(refused > 100);
}

TEST_CASE("bytes that are no pack at all are refused with a sentence") {
    const Result<Pack> nothing = read_pack({}, "empty.pack");
    REQUIRE_FALSE(nothing.has_value());
    CHECK(nothing.error().sentence().find("empty.pack: This is not a pack file.") == 0);

    std::mt19937 random(7);
    for (int i = 0; i < 200; ++i) {
        std::vector<std::byte> noise(random() % 20000);
        for (std::byte& byte : noise) {
            byte = static_cast<std::byte>(random() & 0xffU);
        }
        // Half of them with a true beginning, so that SQLite itself gets to see the rest.
        if (i % 2 == 0 && noise.size() > 100) {
            const std::vector<std::byte> bytes = bytes_of(tiny_pack());
            std::copy(bytes.begin(), bytes.begin() + 100, noise.begin());
        }
        CHECK_FALSE(read_pack(noise, "noise.pack").has_value());
    }
}

TEST_CASE("a pack made by a newer program is refused and says so") {
    const std::vector<std::byte> bytes = bytes_of(tiny_pack());
    const Result<Pack> newer =
        read_pack(tampered(bytes, "PRAGMA user_version = " + std::to_string(pack_schema + 1)), "newer.pack");
    REQUIRE_FALSE(newer.has_value());
    CHECK(newer.error().what.find("made by a newer program") != std::string::npos);
    CHECK(newer.error().todo.find("Update the program") != std::string::npos);
}

TEST_CASE("a pack made for an older program is refused and says so") {
    const Result<Pack> older =
        read_pack(tampered(bytes_of(tiny_pack()), "PRAGMA user_version = 1"), "older.pack");
    REQUIRE_FALSE(older.has_value());
    CHECK(older.error().what.find("made for an older program") != std::string::npos);
}

TEST_CASE("a pack changed by hand is refused, whatever was changed") {
    const std::vector<std::byte> bytes = bytes_of(tiny_pack());
    REQUIRE(read_pack(tampered(bytes, "SELECT 1"), "same.pack").has_value());
    const char* const changes[] = {
        "UPDATE cause SET per_1000 = 75 WHERE position = 0",
        "UPDATE seen SET mark = 'nonsense'",
        "UPDATE in_the_pump SET moves = 'nonsense'",
        "UPDATE in_the_pump SET amount = 1e300",
        "DELETE FROM list WHERE name = 'fix_cautions'",
        "DELETE FROM fix_step",
        "UPDATE meta SET value = '1.0.1' WHERE name = 'version'",
        "DELETE FROM meta",
        "CREATE VIEW more AS SELECT 1",
        "CREATE TABLE more (x)",
        "CREATE TRIGGER more AFTER INSERT ON cause BEGIN DELETE FROM cause; END",
        "DROP TABLE chain; CREATE VIEW chain AS SELECT '' AS owner, 0 AS position, 'a' AS first, 'b' AS "
        "brings",
        "PRAGMA application_id = 1",
        "PRAGMA user_version = 0",
        "PRAGMA journal_mode = WAL; UPDATE cause SET name = 'x'",
    };
    for (const char* sql : changes) {
        CAPTURE(sql);
        CHECK_FALSE(read_pack(tampered(bytes, sql), "changed.pack").has_value());
    }
}
