// The brief of each demo site: dangers above everything, known told from guessed, nothing invented, and a paper
// of at most two pages.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "app/handover/brief_pdf.h"
#include "app/handover/brief_text.h"
#include "app/handover/gather.h"
#include "engine/records/site_fields.h"
#include "tests/engine/store_helpers.h"
#include "tests/support/demo_log.h"

namespace beckhand {
namespace {

using namespace tests;

const Instant today{1'795'600'000'000}; // 25 Nov 2026

BriefSource source_of(const Store& store, const SiteRow& row, Units units = Units::metric) {
    Result<BriefSource> source = gather_brief(store, shipped_pack(), shipped_model(), row, {units, {}, today, "keeper"});
    REQUIRE(source.has_value());
    return std::move(*source);
}

Brief brief_from(const BriefSource& source) { return brief_of(shipped_pack(), shipped_model(), source); }

/// The site's source with a visit open in which this was said.
BriefSource open_after(BriefSource source, const std::vector<Happening>& said) {
    source.open_events = {{1, today, "keeper", Opened{"id", source.site, shipped_pack().version, shipped_pack().hash}}};
    for (const Happening& what : said) {
        source.open_events.push_back({static_cast<int>(source.open_events.size()) + 1, today, "M. K.", what});
    }
    source.open = scene_of(shipped_pack(), shipped_model(), fold(source.open_events), {}, source.units);
    return source;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

int count(const std::string& text, const std::string& part) {
    int found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
}

std::size_t real_pages(const std::string& pdf) {
    return static_cast<std::size_t>(count(pdf, "/Type /Page") - count(pdf, "/Type /Pages"));
}

/// Every stage a visit can stand in, by what was said.
std::vector<std::vector<Happening>> visits_half_way() {
    const std::string cause = "screen_matted";
    return {{},
            {Answered{"creek_level", "flood", true}},
            {Began{}},
            {Began{}, Answered{"complaint", "less_at_tank"}, Answered{"beat_now", "steady"}},
            {Answered{"complaint", "less_at_tank", true}, Began{}, NotMeasured{"T"}, Measured{"Q", 1e-5}},
            {Began{}, FixChosen{cause}},
            {Began{}, FixChosen{cause}, Checked{cause, CheckResult::could_not}},
            {Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes}, StepTicked{cause, 0, true}},
            {Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes}, StepTicked{cause, 0, true}, FixFinished{cause}},
            {Began{}, FixChosen{cause}, Checked{cause, CheckResult::yes}, StepTicked{cause, 0, true}, FixFinished{cause},
             NotMeasured{"Q"}, NotMeasured{"B"}, ProofNotSeen{cause}}};
}

/// The longest of everything: every field filled, long words of a person's own.
Site longest(Site site) {
    for (const SiteField& field : site_fields()) {
        if (!field.si(site)) set_field_number(field, site, 0.5 * (field.least + std::min(field.most, 60.0)));
    }
    for (int i = 0; i < 12; ++i) site.access += " Then along the wall as far as the third gate, which sticks.";
    site.call = "The keeper at the lower barn, or the builder; both know the pump. Ring the bell at the gate.";
    return site;
}

} // namespace

TEST_CASE("a brief begins with its dangers: every stop rule, then the usual cautions, before the next check") {
    const Store store = demo_log();
    for (const SiteRow& row : *store.sites()) {
        const Brief brief = brief_from(source_of(store, row));
        for (const Caution& caution : shipped_pack().cautions) {
            const bool there = std::any_of(brief.cautions.begin(), brief.cautions.end(),
                                           [&](const BriefCaution& c) { return c.id == caution.id && c.say == caution.say; });
            if (caution.stop) CHECK_MESSAGE(there, caution.id);
        }
        for (const char* id : {"stored_pressure", "pinch", "cold_water", "burst_plastic", "not_drinking_water"}) {
            CHECK(std::any_of(brief.cautions.begin(), brief.cautions.end(), [&](const BriefCaution& c) { return c.id == id; }));
        }
        CHECK(std::is_partitioned(brief.cautions.begin(), brief.cautions.end(), [](const BriefCaution& c) { return c.stop; }));
        const std::string text = brief_text(brief);
        for (const BriefCaution& caution : brief.cautions) {
            CHECK(text.find(caution.say) < text.find("\nDo next"));
            if (!caution.defer_to.empty()) CHECK(has(text, "(" + caution.defer_to + ")"));
        }
    }
}

TEST_CASE("the cautions of the next check stand beside it too") {
    const std::string title = find_caution(shipped_pack(), "pinch")->title;
    const Store store = demo_log();
    int seen = 0;
    const std::vector<SiteRow> sites = store.sites().value();
    for (const SiteRow& row : sites) {
        const Brief brief = brief_from(source_of(store, row));
        const std::vector<std::string>& ids = brief.next.cautions;
        if (std::find(ids.begin(), ids.end(), "pinch") == ids.end()) continue;
        ++seen;
        CHECK(has(mind_words(brief), title));
        const std::string text = brief_text(brief);
        const std::size_t next = text.find("\nDo next\n");
        REQUIRE(next != std::string::npos);
        const std::size_t mind = text.find(title, next);
        CHECK(mind < text.find("\n  - ", next)); // before what each result would mean
    }
    CHECK(seen > 0);
}

TEST_CASE("a brief after a visit that put nothing right tells what it found, also once the site was offered to somebody") {
    Store store = demo_log();
    const SiteRow row = store.sites()->front();
    const auto saved = [&](const std::string& visit, const std::vector<Happening>& what) {
        int number = 0;
        for (const Happening& one : what) REQUIRE(save(store, visit, {++number, {today.ms + number}, "keeper", one}).has_value());
    };
    const Opened opened = opening_of(row.id, row.site, shipped_pack().version, shipped_pack().hash);
    const auto told = [&] {
        const std::string text = brief_text(brief_from(source_of(store, row)));
        return has(text, "The last visit put nothing right (") && has(text, "Checked, and it is not this: Intake strainer matted over") &&
               has(text, "Partly covered") && has(text, "Note: The grating is new.");
    };
    CHECK_FALSE(told());
    saved("given-up", {opened, Began{}, Answered{"screen_face", "part_covered"}, FixChosen{"screen_matted"},
                       Checked{"screen_matted", CheckResult::no}, Noted{"The grating is new."}, Closed{Closing::handed_on}});
    CHECK(told());
    saved("offered", {opened, Offered{"M. K."}});
    CHECK(told());
}

TEST_CASE("nothing in a brief is invented: its figures are those of the sheet, and what is measured is in the log") {
    const Store store = demo_log();
    for (const Units units : {Units::metric, Units::us}) {
        for (const SiteRow& row : *store.sites()) {
            const BriefSource source = source_of(store, row, units);
            const Brief brief = brief_from(source);
            const std::string text = brief_text(brief);
            CHECK(has(text, row.site.access));
            CHECK(has(text, "Fall " + format_length(*row.site.fall, units) + ", lift " + format_length(*row.site.lift, units)));
            CHECK(has(text, "Beat: " + format_beat(*row.site.record.beat)));
            CHECK(has(text, "Waste flow: " + format_flow(*row.site.record.waste, units)));
            CHECK(has(text, "Delivered at the tank: " + format_flow(*row.site.record.delivered, units)));
            int measured = 0;
            for (const BriefLine& line : brief.section("known")->lines) {
                CHECK(line.ground == Ground::known);
                if (line.from.rfind("measured", 0) != 0) continue;
                ++measured;
                bool in_log = false;
                for (const auto& events : source.visits) {
                    for (const Event& event : events) {
                        const auto* const taken = std::get_if<Measured>(&event.what);
                        if (taken == nullptr) continue;
                        const Measurement& how = *find_measurement(shipped_pack(), taken->measurement);
                        in_log = in_log || (line.text == how.name + ": " + format_measured(how, taken->value_si, units) + "." &&
                                            has(line.from, when_and_who(event, {})));
                    }
                }
                CHECK_MESSAGE(in_log, line.text, line.from);
            }
            CHECK(measured > 0);
        }
    }
}

TEST_CASE("what nobody measured is a guess and says what from; what was is known and says when and by whom") {
    const Store store = demo_log();
    SiteRow row = store.sites().value().front();
    row.site.record = {};
    const Brief brief = brief_from(source_of(store, row));
    for (const BriefLine& line : brief.section("run")->lines) {
        CHECK(line.ground == Ground::guessed);
        CHECK_FALSE(line.from.empty());
    }
    for (const BriefSection& section : brief.sections) {
        for (const BriefLine& line : section.lines) CHECK((line.ground == Ground::rule) == line.from.empty());
    }
    // A site of which nothing is known has a brief too.
    BriefSource bare;
    bare.site.name = "Bare";
    const std::string text = brief_text(brief_from(bare));
    CHECK(has(text, "Nobody has written down how it runs"));
    CHECK(has(text, "The way is not written down"));
    CHECK(has(text, "Who to call is not written down"));
    CHECK(has(text, "Nothing was seen or measured yet"));
}

TEST_CASE("the next check says what yes, no and cannot would mean, at every stage of a visit") {
    const Store store = demo_log();
    const BriefSource site = source_of(store, store.sites().value().front());
    for (const auto& said : visits_half_way()) {
        const BriefSource source = open_after(site, said);
        CAPTURE(static_cast<int>(source.open->stage));
        const Brief brief = brief_from(source);
        CHECK_FALSE(brief.next.what.empty());
        REQUIRE(brief.next.results.size() >= 3);
        for (const BriefMeaning& meaning : brief.next.results) {
            CHECK_FALSE(meaning.result.empty());
            CHECK_FALSE(meaning.means.empty());
        }
        CHECK(brief.next.results.back().result == "Cannot tell, or cannot be done");
        for (const std::string& id : brief.next.cautions) {
            CHECK(std::any_of(brief.cautions.begin(), brief.cautions.end(), [&](const BriefCaution& c) { return c.id == id; }));
        }
    }
    const Cause& cause = *find_cause(shipped_pack(), "screen_matted");
    const Brief check = brief_from(open_after(site, {Began{}, FixChosen{cause.id}}));
    CHECK(check.next.what == cause.check.say);
    CHECK(check.next.results[0].result == "Yes: " + cause.check.yes);
    CHECK(check.next.results[1].result == "No: " + cause.check.no);
    CHECK_FALSE(has(check.next.results[1].means, cause.name)); // checked and not it: another is likeliest then
    CHECK(has(brief_text(check), "A visit is open and goes on where it stopped"));
}

TEST_CASE("a stop rule that holds stands first and is the next thing to do") {
    const Store store = demo_log();
    const BriefSource site = source_of(store, store.sites().value().front());
    const Brief now = brief_from(open_after(site, {Answered{"creek_level", "flood", true}}));
    CHECK(now.cautions.front().id == "flood_water");
    CHECK(now.cautions.front().holds_now);
    CHECK(has(now.next.what, find_caution(shipped_pack(), "flood_water")->title));
    const Brief kept = brief_from(open_after(site, {Answered{"creek_level", "flood", true}, Heeded{"flood_water"}, Began{}}));
    CHECK(has(kept.section("leave")->lines.front().text, "Keep away"));
    CHECK(kept.cautions.front().holds_now);
}

TEST_CASE("the paper of the longest site has two pages at most, with every danger and the read-back on it") {
    const Store store = demo_log();
    for (const Units units : {Units::metric, Units::us}) {
        for (const SiteRow& row : *store.sites()) {
            SiteRow full = row;
            full.site = longest(row.site);
            const BriefSource site = source_of(store, full, units);
            for (const auto& said : visits_half_way()) {
                const Brief brief = brief_from(open_after(site, said));
                const Result<BriefPaper> paper = brief_paper(brief, full.site);
                REQUIRE(paper.has_value());
                CHECK(paper->bytes.rfind("%PDF-", 0) == 0);
                CHECK(paper->pages <= most_paper_pages);
                CHECK(real_pages(paper->bytes) == static_cast<std::size_t>(paper->pages));
                CHECK_FALSE(paper->cut);
                CHECK(paper->letter_pt >= 8.5);
                CHECK(has(paper->bytes, units == Units::us ? "0 0 612 792" : "0 0 595"));
                for (const BriefCaution& caution : brief.cautions) {
                    CHECK_MESSAGE(has(paper->bytes, caution.title), caution.title);
                    CHECK(paper->bytes.find(caution.title) < paper->bytes.find("DO NEXT"));
                }
                CHECK(has(paper->bytes, "Read back"));
                CHECK(has(paper->bytes, "The keeper at the lower barn"));
            }
        }
    }
}

TEST_CASE("more words than two pages hold are cut and said to be, and the dangers are not among them") {
    const Store store = demo_log();
    BriefSource source = source_of(store, store.sites().value().front());
    std::vector<Happening> said;
    for (int i = 0; i < 200; ++i) said.push_back(Noted{std::string(300, 'a' + static_cast<char>(i % 26)) + " and so on"});
    source.site.access = std::string(20'000, 'x');
    source = open_after(source, said);
    const Brief brief = brief_from(source);
    const Result<BriefPaper> paper = brief_paper(brief, source.site);
    REQUIRE(paper.has_value());
    CHECK(paper->pages == most_paper_pages);
    CHECK(paper->cut);
    CHECK(has(paper->bytes, "There is more than fits"));
    for (const BriefCaution& caution : brief.cautions) CHECK(has(paper->bytes, caution.title));
    CHECK(has(paper->bytes, "Read back"));
}

// Codes from the Unicode Consortium's table CP1252.TXT.
TEST_CASE("letters beyond ASCII come out on paper where its fonts have them, and as a question mark where not") {
    CHECK(paper_letters("4 \u00b0C, \u00bd in, 3\u20135 \u201cm\u201d \u20ac") == "4 \xb0" "C, \xbd in, 3\x96" "5 \x93m\x94 \x80");
    CHECK(paper_letters("\u6c34") == "?");
    CHECK(paper_letters("a\xff") == "a?");
    CHECK(paper_letters("cut \xe2\x82") == "cut ?");
    CHECK(paper_letters("two\nlines") == "two lines");
}

} // namespace beckhand
