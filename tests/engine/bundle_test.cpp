// The bundle as a whole: what goes in comes out, and whatever was damaged on the way is refused with a
// reason.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>

#include "engine/bundle/cbor.h"
#include "engine/bundle/seal.h"
#include "engine/bundle/slice_cbor.h"
#include "tests/support/slices.h"

using namespace beckhand;
using namespace beckhand::bundle;
using namespace beckhand::tests;

namespace {

const DeviceKey key = device_key(std::array<std::uint8_t, 32>{1, 2, 3});

Bytes sealed_slice(const LogSlice& slice) { return *seal(Content::log, *write_slice(slice), key); }

/// As a device takes a bundle: opened, read and merged into a copy. Gives the log afterwards, or says why not.
Result<LogSlice> taken_into(const LogSlice& log, ByteView bytes) {
    const Result<Sealed> opened = unseal(bytes);
    if (!opened) return opened.error();
    const Result<LogSlice> read = read_slice(opened->inside);
    if (!read) return read.error();
    return merge(log, *read);
}

std::string why_not(const LogSlice& log, ByteView bytes) {
    const Result<LogSlice> taken = taken_into(log, bytes);
    return taken ? "" : taken.error().sentence();
}

std::string refusal(const LogEntry& entry) {
    const auto problem = entry_problem(entry);
    return problem ? problem->what : "";
}

LogEntry entry_with(std::string_view kind, const std::string& json) {
    LogEntry entry;
    entry.device = std::string(32, '1');
    entry.number = 1;
    entry.subject = "v1";
    entry.place = 1;
    entry.kind = kind;
    entry.json = json;
    return entry;
}

} // namespace

TEST_CASE("what is put into a bundle comes out of it, entry by entry") {
    const LogSlice slice = small_slice();
    const Result<LogSlice> back = taken_into(LogSlice{}, sealed_slice(slice));
    REQUIRE(back);
    CHECK(digest_of(*back) == digest_of(slice));
    CHECK(back->entries.size() == slice.entries.size());
    for (const auto& [name, entry] : slice.entries) {
        CHECK(back->entries.at(name).json == entry.json);
        CHECK(back->entries.at(name).by == entry.by);
        CHECK(back->entries.at(name).at == entry.at);
    }
}

TEST_CASE("an open visit goes on where it stopped, figure by figure") {
    const Result<LogSlice> back = taken_into(LogSlice{}, sealed_slice(small_slice()));
    REQUIRE(back);
    const std::vector<VisitView> visits = visits_of(*back);
    REQUIRE(visits.size() == 1);
    REQUIRE(visits[0].branches.size() == 1);
    const Visit here = fold(events_of(visits[0].branches[0]));
    const Visit there = fold(small_visit("s1"));
    CHECK(here.next_number == there.next_number);
    CHECK(here.as_found.at("Q").value_si == 0.000123456789); // bit for bit
    CHECK(here.site.drive_bore->si() == inches(2).si());
    CHECK(!here.closed);
    CHECK(!visits[0].standing);
}

TEST_CASE("every single flipped bit is refused with a reason, and the log is as before") {
    const LogSlice log = small_slice();
    const Digest before = digest_of(log);
    Bytes bytes = sealed_slice(small_slice());
    std::size_t refused = 0;
    for (std::size_t bit = 0; bit < bytes.size() * 8; ++bit) {
        bytes[bit / 8] = static_cast<std::uint8_t>(bytes[bit / 8] ^ 1u << bit % 8);
        refused += why_not(log, bytes).size() > 20 ? 1u : 0u;
        bytes[bit / 8] = static_cast<std::uint8_t>(bytes[bit / 8] ^ 1u << bit % 8);
    }
    CHECK(refused == bytes.size() * 8);
    CHECK(digest_of(log) == before);
    CHECK(why_not(log, bytes).empty()); // the control: unharmed it is taken
}

TEST_CASE("every bundle cut short, lengthened, or with a byte lost or doubled is refused with a reason") {
    const LogSlice log = small_slice();
    const Bytes bytes = sealed_slice(small_slice());
    for (std::size_t size = 0; size < bytes.size(); ++size) {
        REQUIRE_MESSAGE(!why_not(log, ByteView(bytes).first(size)).empty(), size);
        Bytes lost = bytes;
        lost.erase(lost.begin() + static_cast<std::ptrdiff_t>(size));
        REQUIRE_MESSAGE(!why_not(log, lost).empty(), size);
        Bytes doubled = bytes;
        doubled.insert(doubled.begin() + static_cast<std::ptrdiff_t>(size), bytes[size]);
        REQUIRE_MESSAGE(!why_not(log, doubled).empty(), size);
    }
    Bytes longer = bytes;
    longer.push_back(0);
    CHECK(why_not(log, longer).find("added") != std::string::npos);
}

TEST_CASE("a check that trusts the signature alone is needed: without it a changed inside would pass") {
    // The control of the two tests above: the same change, sealed anew by another device, is a bundle.
    LogSlice changed = small_slice();
    LogEntry entry = entry_with(site_sheet_kind, R"({"fall_m":9.0})");
    entry.subject = "s1";
    changed.add(entry);
    const Bytes forged = *seal(Content::log, *write_slice(changed), device_key(std::array<std::uint8_t, 32>{9}));
    CHECK(why_not(small_slice(), forged).empty());
    CHECK(unseal(forged)->signer != key.open); // and shown as another's
}

TEST_CASE("a receipt cannot pass for a log, nor a log for a receipt") {
    Bytes bytes = sealed_slice(small_slice());
    bytes[5] = static_cast<std::uint8_t>(Content::receipt);
    CHECK(unseal(bytes).error().what.find("signature") != std::string::npos);
}

TEST_CASE("a small file that would unpack to more than is allowed is refused before it is unpacked") {
    CHECK(!seal(Content::log, Bytes(20u << 20), key)); // zeros: more than 200 to 1
    CHECK(!seal(Content::log, Bytes(most_unpacked + 1, 7), key));
    Bytes bytes = sealed_slice(small_slice());
    bytes[10] = 0x7f; // says it unpacks to 2 GB
    CHECK(unseal(bytes).error().what.find("more than is allowed") != std::string::npos);
    CHECK(!unseal(Bytes(most_packed + 1)));
}

TEST_CASE("CBOR that is deep, endless, long-winded or of another kind is refused without building it") {
    const auto refused = [](const Bytes& bytes) {
        const auto read = from_cbor(bytes);
        return read ? std::string() : read.error().what;
    };
    CHECK(refused(Bytes(1'000'000, 0x81)).find("nested") != std::string::npos);
    CHECK(!refused({0x9b, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff}).empty()); // 2^64 values
    CHECK(refused({0x18, 0x05}).find("one way") != std::string::npos);               // 5 in two bytes
    CHECK(refused({0x58, 0x01, 0x41}).find("one way") != std::string::npos);         // length in two bytes
    CHECK(!refused({0x9f, 0xff}).empty());                                           // indefinite
    CHECK(!refused({0xa0}).empty());                                                 // a map
    CHECK(!refused({0xf9, 0x3c, 0x00}).empty());                                     // a float
    CHECK(!refused({0xc0, 0x60}).empty());                                           // a tag
    CHECK(!refused({0xf6}).empty());                                                 // null
    CHECK(!refused({0x3b, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff}).empty()); // -2^64
    CHECK(refused({0x62, 0xc3, 0x28}).find("UTF-8") != std::string::npos);
    CHECK(!refused({0x00, 0x00}).empty());
    CHECK(!refused({}).empty());
    CHECK(refused({0x00}).empty());
}

TEST_CASE("an entry is only what this program would have kept, or what a newer one did") {
    const auto event = [](const std::string& kind, const std::string& rest) {
        return refusal(entry_with(kind, R"({"kind":")" + kind + "\"" + rest + "}"));
    };
    CHECK(event("answered", R"(,"observation":"a","answer":"b","told":false)").empty());
    CHECK(!event("answered", R"(,"answer":"b","told":false)").empty());
    CHECK(!event("began", " ").empty()); // not as we write it
    CHECK(event("of_a_newer_program", R"(,"x":1)").empty());
    CHECK(!refusal(entry_with("began", "[]")).empty());
    CHECK(!refusal(entry_with("closed", R"({"kind":"began"})")).empty()); // says two things
    LogEntry entry = entry_with("began", R"({"kind":"began"})");
    CHECK(refusal(entry).empty());
    entry.by = "Z\x1b[2J";
    CHECK(!refusal(entry).empty());
    entry.by = "\xe2\x80\xaegnal";
    CHECK(!refusal(entry).empty());
    entry.by = "Zoë";
    CHECK(refusal(entry).empty());
    for (const std::string& id : {std::string("../../etc/passwd x"), std::string(65, 'a'), std::string("v1~0"), std::string()}) {
        entry.subject = id;
        CHECK(!refusal(entry).empty());
    }
    entry.subject = "v1";
    entry.device = "d1";
    CHECK(!refusal(entry).empty());
    entry.device = std::string(32, '1');
    entry.json_erased = Hash{};
    CHECK(!refusal(entry).empty()); // erased and still there
    entry.json.clear();
    CHECK(!refusal(entry).empty()); // only the words of a note can be erased
    entry.kind = "noted";
    CHECK(refusal(entry).empty());
    const auto sheet = [](const std::string& json) { return refusal(entry_with(site_sheet_kind, json)); };
    CHECK(sheet(R"({"fall_m":2.5})").empty());
    CHECK(!sheet(R"({"fall_m":2500.0})").empty()); // no such fall
    CHECK(!sheet(R"({"fall_m":2.50})").empty());   // not as we write it
    CHECK(!sheet(R"(["fall_m"])").empty());
    CHECK(sheet(R"({})").empty());                 // nobody knows anything any more
    CHECK(sheet(R"({"fall_m":2.5,"of_a_newer_program":[1]})").empty());
    CHECK(!sheet(R"({"fall_m":2500.0,"of_a_newer_program":[1]})").empty());
}

TEST_CASE("an event of a newer program is passed on untouched") {
    LogSlice slice;
    slice.add(entry_with("of_a_newer_program", R"({"kind":"of_a_newer_program","x":1.50})"));
    const Result<LogSlice> back = taken_into(LogSlice{}, sealed_slice(slice));
    REQUIRE(back);
    CHECK(back->entries.begin()->second.json == R"({"kind":"of_a_newer_program","x":1.50})");
    CHECK(digest_of(*back) == digest_of(slice));
}

TEST_CASE("a fingerprint is four groups of four digits, and another for another key") {
    const std::string one = fingerprint(key.open);
    CHECK(one.size() == 19);
    CHECK(std::count(one.begin(), one.end(), ' ') == 3);
    CHECK(one != fingerprint(device_key(std::array<std::uint8_t, 32>{1, 2, 4}).open));
}

TEST_CASE("a visit with more branches than any has is refused: what it means would take their product to say") {
    LogSlice slice;
    const Digest first = slice.add(entry_with("began", R"({"kind":"began"})"));
    for (std::size_t branch = 0; branch < most_branches + 1; ++branch) {
        CHECK(write_slice(slice).has_value());
        LogEntry entry = entry_with("began", R"({"kind":"began"})");
        entry.number = 2;
        entry.place = 2;
        entry.at.ms = static_cast<std::int64_t>(branch);
        entry.after = {first};
        slice.add(entry);
    }
    CHECK(!write_slice(slice));
}
