// What is due at a site, from the pack's service and from the site's own history.
#include <cmath>

#include <doctest/doctest.h>

#include "engine/records/due.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

// Days by the Gregorian calendar, from any almanac: 2026-01-01 is day 20454 of 1970.
constexpr std::int64_t day = 86'400'000, new_year_2026 = 20454 * day;
Instant on(double days_of_2026) { return {new_year_2026 + std::llround(days_of_2026 * static_cast<double>(day))}; }

Visit visit_on(double days_of_2026) {
    Visit visit;
    visit.opened_at = on(days_of_2026);
    return visit;
}

Visit repaired_on(double days_of_2026, const char* cause) {
    Visit visit = visit_on(days_of_2026);
    Attempt attempt;
    attempt.cause = cause;
    attempt.finished = true;
    attempt.verdict = Verdict::proved;
    visit.attempts.push_back(attempt);
    return visit;
}

Pack small_pack() {
    Pack pack;
    Service rubber;
    rubber.id = "rubber";
    rubber.name = "Renew the rubber";
    rubber.every_months = 12;
    rubber.done_by = {"worn"};
    rubber.tools = {"spanners", "rag"};
    rubber.parts = {"rubber"};
    Service look;
    look.id = "look";
    look.every_months = 1;
    look.measured = {"Q", "B"};
    look.tools = {"bucket", "rag"};
    Service leaves;
    leaves.id = "leaves";
    leaves.before = "leaf-fall";
    leaves.month = 9;
    leaves.tools = {"rake"};
    pack.services = {rubber, look, leaves};
    Cause worn;
    worn.id = "worn";
    worn.name = "Worn rubber";
    worn.fix.parts = {"rubber"};
    worn.fix.keep = "Renew it.";
    pack.causes = {worn};
    return pack;
}

const Due& named(const std::vector<Due>& list, std::string_view id, bool history = false) {
    for (const Due& due : list) {
        if (due.id == id && (due.by == DueBy::history) == history) return due;
    }
    FAIL("not in the list");
    return list.front();
}

double days_after(Instant at, Instant from) { return static_cast<double>(at.ms - from.ms) / static_cast<double>(day); }

} // namespace

TEST_CASE("nothing is due at a site that nobody has been to") { CHECK(due_at(small_pack(), {}, on(10)).empty()); }

TEST_CASE("work that is not in the log is counted from the first visit, the rest from when it was done") {
    const std::vector<Visit> visits{visit_on(40), visit_on(0)};
    const std::vector<Due> first = due_at(small_pack(), visits, on(50));
    CHECK(!named(first, "rubber").last);
    CHECK(days_after(named(first, "rubber").at, on(0)) == doctest::Approx(365.2425).epsilon(1e-6));
    std::vector<Visit> later = visits;
    later.push_back(repaired_on(100, "worn"));
    CHECK(named(due_at(small_pack(), later, on(120)), "rubber").last->ms == on(100).ms);
    later.push_back(visit_on(200));
    later.back().serviced = {"rubber"};
    CHECK(named(due_at(small_pack(), later, on(220)), "rubber").last->ms == on(200).ms);
}

TEST_CASE("figures that are the service count as done, all of them or none") {
    std::vector<Visit> visits{visit_on(0), visit_on(60)};
    visits[1].as_found["Q"] = {"Q", 1e-4, Care::careful};
    CHECK(!named(due_at(small_pack(), visits, on(70)), "look").last);
    visits[1].as_found["B"] = {"B", 1, Care::careful};
    CHECK(named(due_at(small_pack(), visits, on(70)), "look").last->ms == on(60).ms);
}

TEST_CASE("a season's work is due on its first day, once a year, and half a year later in the south") {
    const std::vector<Visit> visits{visit_on(0)};
    // 2026-09-01 is day 243 counted from 0, 2027-09-01 is 365 later, 2026-03-01 is 59.
    CHECK(named(due_at(small_pack(), visits, on(100)), "leaves").at == on(243));
    CHECK(named(due_at(small_pack(), visits, on(260)), "leaves").at == on(243)); // overdue
    CHECK(named(due_at(small_pack(), visits, on(320)), "leaves").at == on(243 + 365)); // past
    CHECK(named(due_at(small_pack(), visits, on(20), true), "leaves").at == on(59));
    CHECK(named(due_at(small_pack(), std::vector<Visit>{visit_on(250)}, on(260)), "leaves").at == on(243)); // a new site, and the season runs
    std::vector<Visit> done = visits;
    done.push_back(visit_on(230));
    done.back().serviced = {"leaves"};
    CHECK(named(due_at(small_pack(), done, on(250)), "leaves").at == on(243 + 365));
}

TEST_CASE("a cause repaired twice within two years is due again at its own interval") {
    std::vector<Visit> visits{repaired_on(0, "worn"), repaired_on(150, "worn")};
    const std::vector<Due> list = due_at(small_pack(), visits, on(160));
    const Due& back = named(list, "worn", true);
    CHECK(back.times.size() == 2);
    CHECK(days_after(back.at, on(150)) == doctest::Approx(150).epsilon(0.001));
    CHECK(back.say == "Renew it.");
    // One of them long ago, or not the cause after all: no history.
    CHECK(due_at(small_pack(), visits, on(900)).size() == 3);
    visits[0].attempts.front().verdict = Verdict::not_it;
    CHECK(due_at(small_pack(), visits, on(160)).size() == 3);
}

TEST_CASE("a part used up at two visits within two years is used often; once, or long ago, it is not") {
    std::vector<Visit> visits{visit_on(150), visit_on(0), visit_on(100)};
    visits[0].parts_used = {{"gasket sheet", 1}, {"bolt", 6}};
    visits[1].parts_used = {{"gasket sheet", 2}, {"plug", 1}};
    visits[2].parts_used = {{"gasket sheet", 1}, {"bolt", 2}};
    const std::vector<PartUsedOften> often = parts_used_often(visits, on(160));
    REQUIRE(often.size() == 2); // the plug was used once
    CHECK(often[0].part == "bolt"); // eight of them
    CHECK(often[0].count == 8);
    CHECK(often[1].part == "gasket sheet");
    CHECK(often[1].count == 4);
    CHECK(often[1].times == std::vector<Instant>{on(0), on(100), on(150)});
    CHECK(parts_used_often(visits, on(150 + 24 * 30.5)).empty()); // all of them long ago
}

TEST_CASE("south of the equator every season of the pack comes half a year later") {
    Pack pack;
    for (int month = 1; month <= 12; ++month) {
        Service service;
        service.id = std::to_string(month);
        service.month = month;
        pack.services.push_back(service);
    }
    const std::vector<Visit> visits{visit_on(-400)};
    // Asked for within the range in which a day is neither done nor past, both calendars name the same twelve days.
    for (int month = 1; month <= 12; ++month) {
        const int there = month <= 6 ? month + 6 : month - 6;
        CHECK(named(due_at(pack, visits, on(5), true), std::to_string(month)).at ==
              named(due_at(pack, visits, on(5), false), std::to_string(there)).at);
    }
}

TEST_CASE("the list runs by date, and what to carry names each thing once") {
    const std::vector<Due> list = due_at(small_pack(), std::vector<Visit>{visit_on(0)}, on(10));
    for (std::size_t i = 1; i < list.size(); ++i) CHECK(list[i - 1].at <= list[i].at);
    CHECK(to_carry(list, on(40)) == std::vector<std::string>{"bucket", "rag"});
    CHECK(to_carry(list, on(400)) == std::vector<std::string>{"bucket", "rag", "rake", "spanners", "rubber"});
    CHECK(to_carry(list, on(5)).empty());
}

TEST_CASE("the shipped service says for each work what to carry and what to mind") {
    for (const Service& service : tests::shipped_pack().services) {
        CAPTURE(service.id);
        CHECK(!service.tools.empty());
        CHECK(!service.cautions.empty());
        CHECK(!service.sources.empty());
    }
    CHECK(tests::shipped_pack().services.size() >= 10);
}

} // namespace beckhand
