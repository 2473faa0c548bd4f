// The demo scenario: sound figures, a whole year in the log, the same log each time it is made.
#include <doctest/doctest.h>

#include <algorithm>

#include <sstream>

#include "app/terminal/demo.h"
#include "engine/hydraulics/expectation.h"
#include "engine/hydraulics/yield.h"
#include "engine/records/event_json.h"
#include "engine/records/site_fields.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_pack;

const Demo& shipped_demo() {
    static const Demo demo = [] {
        const std::string path = SOURCE_FOLDER "/assets/demo.toml";
        const Result<std::string> text = read_text_file(path);
        REQUIRE(text.has_value());
        const Result<Demo> read = read_demo(*text, "demo.toml", shipped_pack());
        REQUIRE_MESSAGE(read.has_value(), (read ? "" : read.error().sentence()));
        return *read;
    }();
    return demo;
}

Store empty_log() {
    Result<Store> store = Store::open(":memory:");
    REQUIRE(store.has_value());
    return std::move(*store);
}

template <class Value>
Value there(Result<Value> result) {
    REQUIRE(result.has_value());
    return std::move(result).value();
}

/// Every site, visit and event of a log as text.
std::string whole_log(const Store& store) {
    std::string text;
    for (const SiteRow& row : there(store.sites()))
        text += row.id + " " + to_json(row.site) + "\n";
    // By id: a list shows visits in the order of saving, which a fill that was cut short changes.
    std::vector<VisitRow> visits = there(store.visits());
    std::sort(visits.begin(), visits.end(), [](const VisitRow& a, const VisitRow& b) { return a.id < b.id; });
    for (const VisitRow& row : visits) {
        text += row.id + " " + row.site_id + " " + row.headline + " " + std::to_string(row.last_at.ms) + "\n";
        for (const Event& event : there(store.events(row.id))) {
            text += std::to_string(event.number) + " " + std::to_string(event.at.ms) + " " + event.by + " " +
                    to_json(event.what) + "\n";
        }
    }
    return text;
}

TEST_CASE("the demo has three sites whose healthy records a sound pump could give") {
    REQUIRE(shipped_demo().sites.size() == 3);
    for (const SiteRow& row : shipped_demo().sites) {
        CAPTURE(row.site.name);
        const Outcome plausible = check_plausible(row.site);
        CHECK(plausible.has_value());
        const HealthyRecord& record = row.site.record;
        const auto yield =
            yield_of(*record.delivered, *row.site.lift, *record.waste + *record.delivered, *row.site.fall);
        REQUIRE(yield.has_value());
        CHECK(*yield >= 0.40);
        CHECK(*yield <= 0.65);
        // Held against what the site alone lets expect, without its record.
        Site bare = row.site;
        bare.record = {};
        const Expectation expected = expect(bare);
        REQUIRE(expected.delivered.has_value());
        CHECK(*record.delivered >= expected.delivered->least);
        CHECK(*record.delivered <= expected.delivered->most);
        CHECK(*record.waste >= expected.waste->least);
        CHECK(*record.waste <= expected.waste->most);
        CHECK(*record.beat >= expected.beat->least);
        CHECK(*record.beat <= expected.beat->most);
        CHECK(*record.running >= *expected.pressure_stopped);
        CHECK(*record.running <= *expected.pressure_stopped * 1.1);
        for (const Limit& limit : check_site(row.site)) {
            CAPTURE(limit.id);
            CHECK(limit.state != LimitState::broken);
        }
    }
}

TEST_CASE("no visit of the demo lifts more work than falls") {
    for (const DemoVisit& visit : shipped_demo().visits) {
        const auto delivered = visit.file.measured.find("Q"), waste = visit.file.measured.find("W");
        if (delivered == visit.file.measured.end() || waste == visit.file.measured.end())
            continue;
        CAPTURE(visit.site);
        const FlowRate q = FlowRate::from_si(delivered->second.value_si);
        const auto yield = yield_of(q, *visit.file.site.lift, q + FlowRate::from_si(waste->second.value_si),
                                    *visit.file.site.fall);
        REQUIRE(yield.has_value());
        CHECK(*yield > 0.2);
        CHECK(*yield < 0.65);
    }
}

TEST_CASE("the demo log is a year of visits, each closed, each fault proved") {
    Store store = empty_log();
    const Outcome filled = fill_log(shipped_demo(), shipped_pack(), store);
    REQUIRE_MESSAGE(filled.has_value(), (filled ? "" : filled.error().sentence()));
    CHECK_FALSE(there(store.open_visit()).has_value());
    const std::vector<VisitRow> rows = there(store.visits());
    CHECK(rows.size() == shipped_demo().visits.size() - 1); // one is kept for showing
    int faults = 0;
    for (const VisitRow& row : rows) {
        CAPTURE(row.id);
        const Visit visit = fold(there(store.events(row.id)));
        REQUIRE(row.closed.has_value());
        faults += !visit.attempts.empty();
        CHECK(*row.closed == (visit.attempts.empty() ? Closing::left_as_is : Closing::proved));
        CHECK(row.last_at.ms - row.opened_at.ms < 6 * 3'600'000);
    }
    CHECK(faults == 7);
    for (const SiteRow& site : shipped_demo().sites) {
        const std::size_t shown = site.site.name == "Quillabeck" ? 1 : 0;
        CHECK(there(store.visits(site.id)).size() + shown == 8);
    }
}

TEST_CASE("one fault of the demo is better first and proved by a second fix") {
    Store store = empty_log();
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    int found = 0;
    for (const VisitRow& row : there(store.visits())) {
        const Visit visit = fold(there(store.events(row.id)));
        const bool better = std::any_of(visit.attempts.begin(), visit.attempts.end(),
                                        [](const Attempt& a) { return a.verdict == Verdict::better; });
        found += better && visit.attempts.back().verdict == Verdict::proved;
    }
    CHECK(found == 1);
}

TEST_CASE("the delivered flow of one site declines until its worn rubber is renewed") {
    Store store = empty_log();
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    std::vector<double> flows;
    double after = 0;
    std::vector<VisitRow> rows = there(store.visits());
    for (auto row = rows.rbegin(); row != rows.rend() && after == 0; ++row) {
        if (row->site_name != "Vessenhope")
            continue;
        const Visit visit = fold(there(store.events(row->id)));
        if (visit.as_found.count("Q") > 0)
            flows.push_back(visit.as_found.at("Q").value_si);
        if (!visit.attempts.empty())
            after = visit.attempts.back().proof.at("Q").value_si;
    }
    REQUIRE(flows.size() >= 5);
    for (std::size_t i = 1; i < flows.size(); ++i)
        CHECK(flows[i] < flows[i - 1]);
    CHECK(flows.back() < 0.8 * flows.front());
    CHECK(after >= 0.95 * flows.front());
}

TEST_CASE("the same demo gives the same log, and filling it again changes nothing") {
    Store store = empty_log();
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    const std::string once = whole_log(store);
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    CHECK(whole_log(store) == once);
    Store other = empty_log();
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), other).has_value());
    CHECK(whole_log(other) == once);
}

TEST_CASE("a fill that was cut short goes on to the same log") {
    Store whole = empty_log();
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), whole).has_value());
    // The rows list the newest first; take the longest visit and leave half of it.
    const std::vector<VisitRow> rows = there(whole.visits());
    const VisitRow* longest = &rows.front();
    for (const VisitRow& row : rows) {
        if (row.events > longest->events)
            longest = &row;
    }
    Store part = empty_log();
    for (const SiteRow& site : shipped_demo().sites)
        part.save_site(site, Instant{1}, {});
    const std::vector<Event> events = there(whole.events(longest->id));
    for (std::size_t i = 0; i < events.size() / 2; ++i)
        part.commit(longest->id, events[i], "half", {});
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), part).has_value());
    CHECK(whole_log(part) == whole_log(whole));
}

TEST_CASE("a log that an older pack filled is shown the demo again and stays as it is") {
    Pack older = shipped_pack();
    older.hash = std::string(64, '0');
    Store store = empty_log();
    std::ostringstream transcript;
    REQUIRE(fill_log(shipped_demo(), older, store).has_value());
    REQUIRE(play_demo(shipped_demo(), older, store, transcript).has_value());
    const std::string before = whole_log(store);
    std::ostringstream again;
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    REQUIRE(play_demo(shipped_demo(), shipped_pack(), store, again).has_value());
    CHECK(whole_log(store) == before);
    CHECK(again.str().find("Proved.") != std::string::npos);
}

TEST_CASE("a site that somebody changed stays as they left it") {
    Store store = empty_log();
    SiteRow changed = shipped_demo().sites.front();
    changed.site.access = "By boat.";
    store.save_site(changed, Instant{1}, {});
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    bool found = false;
    for (const SiteRow& row : there(store.sites()))
        found = found || row.site.access == "By boat.";
    CHECK(found);
}

TEST_CASE("filling leaves whoever is at work in place") {
    Store store = empty_log();
    store.save_setting("by", "helper", {});
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    CHECK(there(store.setting("by")) == std::optional<std::string>("helper"));
}

TEST_CASE("the visit that is shown goes from a weak pour to a raked strainer and its proof") {
    Store store = empty_log();
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), store).has_value());
    std::ostringstream out;
    const Outcome played = play_demo(shipped_demo(), shipped_pack(), store, out);
    REQUIRE_MESSAGE(played.has_value(), (played ? "" : played.error().sentence()));
    const VisitRow newest = there(store.visits()).front();
    CHECK(newest.closed == Closing::proved);
    const Visit visit = fold(there(store.events(newest.id)));
    REQUIRE(!visit.attempts.empty());
    CHECK(visit.attempts.back().cause == "screen_matted");
    CHECK(visit.answer_to("beat_now")->answer == "stopped_open");
    CHECK(visit.attempts.back().proof.size() == 2);
    const std::string transcript = out.str();
    for (const char* word :
         {"What do you see or hear first?", "It looks like this", "Rake", "Proved."}) {
        CAPTURE(word);
        CHECK(transcript.find(word) != std::string::npos);
    }
    // Showing it again shows the same and adds nothing.
    const std::string log = whole_log(store);
    std::ostringstream again;
    REQUIRE(play_demo(shipped_demo(), shipped_pack(), store, again).has_value());
    CHECK(again.str() == transcript);
    CHECK(whole_log(store) == log);
}

// --- demo files that are wrong ---

constexpr const char* small_site =
    "[[site]]\nid = \"7c1e5a90d3b24f6881a2c4e6f8091b3d\"\nname = \"Quillabeck\"\n";

void refuses(const std::string& text, int line, const std::string& what) {
    CAPTURE(text);
    const Result<Demo> demo = read_demo(text, "slip.toml", shipped_pack());
    REQUIRE_FALSE(demo.has_value());
    CAPTURE(demo.error().sentence());
    CHECK(demo.error().where == "slip.toml:" + std::to_string(line));
    CHECK(demo.error().what.find(what) != std::string::npos);
    CHECK_FALSE(demo.error().todo.empty());
}

TEST_CASE("a demo that is wrong is refused with its line") {
    const std::string site = small_site;
    const std::string visit =
        "[[visit]]\nsite = \"Quillabeck\"\nat = 2026-01-02T10:00:00Z\nby = \"keeper\"\n";
    refuses("[[site]]\nid = \"12\"\nname = \"Quillabeck\"\n" + visit, 1, "32 hex digits");
    refuses(site + "fall_n = 2\n" + visit, 4, "\"fall_n\" is not a key");
    refuses(site + "[[visit]]\nsite = \"Elsewhere\"\nat = 2026-01-02T10:00:00Z\nby = \"keeper\"\n", 4,
            "not the name of a site");
    refuses(site + "[[visit]]\nsite = \"Quillabeck\"\nby = \"keeper\"\n", 4, "no date");
    refuses(site + visit + "routine = \"yes\"\n", 8, "\"routine\" is of another kind");
    refuses(site + visit + "[visit.answers]\nbeat_nov = \"steady\"\n", 9, "not an observation");
    refuses(site + visit + "play = true\nroutine = true\n", 4, "cannot be the one");
    refuses(site + visit + "weather = \"wet\"\n", 4, "not used");
    refuses(site + visit + "play = true\n" + visit, 9, "begin at the same time");
    refuses(site + site + visit, 4, "same name");
}

TEST_CASE("a demo shows one visit, neither none nor two") {
    const Result<Demo> none =
        read_demo(std::string(small_site) +
                      "[[visit]]\nsite = \"Quillabeck\"\nat = 2026-01-02T10:00:00Z\nby = \"keeper\"\n",
                  "d.toml", shipped_pack());
    REQUIRE_FALSE(none.has_value());
    CHECK(none.error().what == "Exactly one visit is to be shown live.");
}

TEST_CASE("a date with its offset is the same moment") {
    const auto opened_at = [](const std::string& date) {
        const Result<Demo> demo = read_demo(
            std::string(small_site) +
                "[[visit]]\nsite = \"Quillabeck\"\nby = \"keeper\"\nplay = true\nat = " + date + "\n",
            "d.toml", shipped_pack());
        REQUIRE(demo.has_value());
        return demo->visits.front().at.ms;
    };
    CHECK(opened_at("2026-01-02T10:00:00Z") == 1767348000000); // date -u -d 2026-01-02T10:00:00Z +%s
    CHECK(opened_at("2026-01-02T12:00:00+02:00") == opened_at("2026-01-02T10:00:00Z"));
    CHECK(opened_at("2026-01-02T10:00:00") == opened_at("2026-01-02T10:00:00Z"));
}

} // namespace
} // namespace beckhand
