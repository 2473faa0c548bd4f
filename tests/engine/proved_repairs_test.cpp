// What a log has proved: every repair once for its visit, without those taken back, and the same list in every log
// that holds the same entries.
#include <doctest/doctest.h>

#include <map>
#include <random>
#include <set>

#include "tests/engine/store_helpers.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

using Pairs = std::multiset<std::pair<std::string, std::string>>; // visit and cause

Store memory() { return std::move(*Store::open(":memory:")); }

std::vector<ProvedRepair> proved_in(const Store& store) {
    Result<std::vector<ProvedRepair>> repairs = store.proved_repairs();
    REQUIRE(repairs.has_value());
    return std::move(*repairs);
}

Pairs pairs_in(const Store& store) {
    Pairs pairs;
    for (const ProvedRepair& repair : proved_in(store)) pairs.insert({repair.visit_id, repair.cause});
    return pairs;
}

/// The same from each visit read whole and folded, branch by branch.
Pairs folded(const Store& store) {
    std::set<std::pair<std::string, std::string>> once;
    for (const VisitRow& row : *store.visits()) {
        for (const Attempt& attempt : fold(*store.events(row.id)).attempts) {
            if (attempt.verdict == Verdict::proved) once.insert({row.id.substr(0, row.id.find('~')), attempt.cause});
        }
    }
    return {once.begin(), once.end()};
}

bool same(const std::vector<ProvedRepair>& a, const std::vector<ProvedRepair>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const ProvedRepair& x, const ProvedRepair& y) {
        return x.visit_id == y.visit_id && x.site_id == y.site_id && x.cause == y.cause && x.at == y.at;
    });
}

void say(Store& store, const std::string& visit, int number, Happening what, std::int64_t ms = 0) {
    REQUIRE(sentence(save(store, visit, event(number, std::move(what), ms))) == "saved");
}

/// Opened, turned to the cause, and gone through its fix: three events.
void up_to_verdict(Store& store, const std::string& visit, const std::string& cause, const std::string& site = "s1") {
    REQUIRE(save(store, visit, opening(site)));
    say(store, visit, 2, FixChosen{cause});
    say(store, visit, 3, FixFinished{cause});
}

void merge_both(Store& a, Store& b) {
    REQUIRE(a.take_in(*b.entries()).has_value());
    REQUIRE(b.take_in(*a.entries()).has_value());
}

} // namespace

TEST_CASE("a proved repair is told with its site and time, latest first; other verdicts are not") {
    Store store = memory();
    CHECK(proved_in(store).empty());
    up_to_verdict(store, "v1", "screen_matted", "s1");
    say(store, "v1", 4, Judged{"screen_matted", Verdict::proved}, 1'700'000'500'000);
    up_to_verdict(store, "v2", "healthy_as_designed", "s2");
    say(store, "v2", 4, Judged{"healthy_as_designed", Verdict::proved}, 1'700'000'900'000);
    int visit = 3;
    for (const Verdict verdict : {Verdict::better, Verdict::not_it, Verdict::not_proved}) {
        const std::string id = "v" + std::to_string(visit++);
        up_to_verdict(store, id, "rubber_worn");
        say(store, id, 4, Judged{"rubber_worn", verdict});
    }
    const auto repairs = proved_in(store);
    REQUIRE(repairs.size() == 2);
    CHECK(repairs[0].visit_id == "v2");
    CHECK(repairs[0].site_id == "s2");
    CHECK(repairs[0].cause == "healthy_as_designed");
    CHECK(repairs[1].at == Instant{1'700'000'500'000});
    CHECK(pairs_in(store) == folded(store));
}

TEST_CASE("what was taken back does not count, and what was judged again after it does") {
    Store store = memory();
    up_to_verdict(store, "v1", "screen_matted");
    say(store, "v1", 4, Judged{"screen_matted", Verdict::proved});
    REQUIRE(proved_in(store).size() == 1);
    say(store, "v1", 5, TookBack{4});
    CHECK(proved_in(store).empty());
    say(store, "v1", 6, Judged{"screen_matted", Verdict::proved});
    CHECK(proved_in(store).size() == 1);
    up_to_verdict(store, "v2", "screen_matted");
    say(store, "v2", 4, TookBack{3}); // of another visit: the number alone takes nothing back there
    CHECK(pairs_in(store) == Pairs{{"v1", "screen_matted"}});
    CHECK(pairs_in(store) == folded(store));
}

TEST_CASE("a cause proved twice at a visit counts once, two causes count twice") {
    Store store = memory();
    up_to_verdict(store, "v1", "screen_matted");
    say(store, "v1", 4, Judged{"screen_matted", Verdict::proved}, 1'700'000'500'000);
    say(store, "v1", 5, FixChosen{"rubber_worn"});
    say(store, "v1", 6, Judged{"rubber_worn", Verdict::proved});
    say(store, "v1", 7, FixChosen{"screen_matted"});
    say(store, "v1", 8, Judged{"screen_matted", Verdict::proved}, 1'700'000'900'000);
    CHECK(pairs_in(store) == Pairs{{"v1", "rubber_worn"}, {"v1", "screen_matted"}});
    CHECK(proved_in(store).front().at == Instant{1'700'000'500'000}); // from when it was first proved
}

TEST_CASE("two logs that took each other in count the same, a visit that two went on with once for each cause") {
    Store mine = memory(), theirs = memory();
    up_to_verdict(mine, "shared", "screen_matted");
    REQUIRE(theirs.take_in(*mine.entries()).has_value());
    say(mine, "shared", 4, Judged{"screen_matted", Verdict::proved}, 1'700'000'500'000);
    say(theirs, "shared", 4, Judged{"screen_matted", Verdict::proved}, 1'700'000'400'000);
    up_to_verdict(mine, "v2", "rubber_worn", "s2");
    say(mine, "v2", 4, Judged{"rubber_worn", Verdict::proved});
    up_to_verdict(theirs, "v3", "rubber_worn", "s3");
    say(theirs, "v3", 4, Judged{"rubber_worn", Verdict::proved});
    merge_both(mine, theirs);
    CHECK(pairs_in(mine) == Pairs{{"shared", "screen_matted"}, {"v2", "rubber_worn"}, {"v3", "rubber_worn"}});
    CHECK(same(proved_in(mine), proved_in(theirs)));
    for (const ProvedRepair& repair : proved_in(mine)) {
        if (repair.visit_id == "shared") CHECK(repair.at == Instant{1'700'000'400'000});
    }
    REQUIRE(mine.take_in(*theirs.entries()).has_value()); // again changes nothing
    CHECK(proved_in(mine).size() == 3);
}

TEST_CASE("what is taken back on one branch stands on the other, under the same number") {
    Store mine = memory(), theirs = memory();
    up_to_verdict(mine, "shared", "screen_matted");
    REQUIRE(theirs.take_in(*mine.entries()).has_value());
    say(mine, "shared", 4, Judged{"screen_matted", Verdict::proved}, 1'700'000'500'000);
    say(mine, "shared", 5, TookBack{4});
    merge_both(mine, theirs);
    CHECK(proved_in(theirs).empty());

    Store other = memory();
    up_to_verdict(other, "forked", "rubber_worn");
    Store beside = memory();
    REQUIRE(beside.take_in(*other.entries()).has_value());
    say(other, "forked", 4, Judged{"rubber_worn", Verdict::proved}, 1'700'000'500'000);
    say(other, "forked", 5, TookBack{4});
    say(beside, "forked", 4, Judged{"rubber_worn", Verdict::proved}, 1'700'000'600'000);
    merge_both(other, beside);
    CHECK(pairs_in(other) == Pairs{{"forked", "rubber_worn"}});
    CHECK(same(proved_in(other), proved_in(beside)));
    CHECK(pairs_in(other) == folded(other));
}

TEST_CASE("over random visits the quick pass and the visits read whole agree, before and after two logs are merged") {
    std::mt19937 random(20'267);
    const auto below = [&](int most) { return static_cast<int>(random() % static_cast<unsigned>(most)); };
    const std::array<std::string, 3> causes{"screen_matted", "rubber_worn", "healthy_as_designed"};
    std::array<Store, 2> logs{memory(), memory()};
    const auto go_on = [&](Store& store, const std::string& visit) {
        const Result<std::vector<Event>> events = store.events(visit);
        REQUIRE(events.has_value());
        const Visit now = fold(*events);
        const Attempt* const open = now.current_attempt();
        Happening what = FixChosen{causes[static_cast<std::size_t>(below(3))]};
        const std::optional<TookBack> back = take_back(now);
        if (events->empty()) what = Opened{"s" + std::to_string(below(3)), a_site("Mühlgraben"), "1", "hash"};
        else if (back && below(4) == 0) what = *back;
        else if (open) what = Judged{open->cause, below(2) == 0 ? Verdict::proved : Verdict::better};
        say(store, visit, now.next_number, what, 1'700'000'000'000 + below(1'000'000));
    };
    std::size_t most = 0, forks = 0;
    for (int round = 0; round < 12; ++round) {
        for (int i = 0; i < 25; ++i) go_on(logs[static_cast<std::size_t>(below(2))], "v" + std::to_string(below(6)));
        for (const Store& log : logs) CHECK(pairs_in(log) == folded(log));
        if (round % 3 != 2) continue;
        merge_both(logs[0], logs[1]);
        CHECK(same(proved_in(logs[0]), proved_in(logs[1])));
        most = std::max(most, proved_in(logs[0]).size());
        for (const VisitRow& row : *logs[0].visits()) forks += row.branches > 1;
    }
    CHECK(most > 6);
    CHECK(forks > 0);
}

TEST_CASE("a verdict that damage has changed counts for nothing") {
    const ScratchFolder folder;
    const std::string path = folder.file("log.sqlite");
    {
        Store store = std::move(*Store::open(path));
        up_to_verdict(store, "v1", "screen_matted");
        say(store, "v1", 4, Judged{"screen_matted", Verdict::proved});
        REQUIRE(proved_in(store).size() == 1);
    }
    REQUIRE(by_hand(path, "DROP TRIGGER words_only_erased;"
                          "UPDATE entry SET json=replace(json,'screen_matted','rubber_worn') WHERE kind='judged'") == 0);
    const Result<Store> store = Store::open(path);
    REQUIRE(store.has_value());
    CHECK(proved_in(*store).empty());
}
