// The fold of a visit: what holds after a list of events, whatever the list. No outside source: these are
// the rules that engine/diagnosis/visit.h states.
#include <doctest/doctest.h>

#include <limits>
#include <random>

#include "engine/diagnosis/visit.h"
#include "engine/records/event_json.h"

namespace beckhand {
namespace {

Event event(int number, Happening what) {
    Event made;
    made.number = number;
    made.at.ms = std::int64_t{1'000} * number;
    made.by = "caretaker";
    made.what = std::move(what);
    return made;
}

std::vector<Event> numbered(std::vector<Happening> what) {
    std::vector<Event> events;
    for (Happening& one : what)
        events.push_back(event(static_cast<int>(events.size()) + 1, std::move(one)));
    return events;
}

Opened opened() {
    Opened o;
    o.site_id = "site-1";
    o.site.name = "Upper spring";
    o.site.fall = metres(4.2);
    o.pack_version = "1";
    o.pack_hash = "abc";
    return o;
}

Measured measured(const char* id, double value) {
    Measured m;
    m.measurement = id;
    m.value_si = value;
    return m;
}

/// Everything that a Visit says but for the next number, as text: two visits are the same when this is.
std::string told(const Visit& v) {
    std::string text =
        v.site_id + to_json(v.site) + v.pack_version + v.pack_hash + std::to_string(v.opened_at.ms);
    const auto put = [&](const std::string& part) { text += "|" + part; };
    for (const Answered& a : v.answers)
        put(to_json(Happening(a)));
    for (const auto& [id, m] : v.as_found)
        put(id + to_json(Happening(m)));
    for (const auto& [id, yes] : v.not_measured)
        put("not " + id + std::to_string(yes));
    for (const Attempt& a : v.attempts) {
        put("attempt " + a.cause);
        put(a.check ? std::to_string(static_cast<int>(*a.check)) : "-");
        for (const auto& [step, done] : a.steps)
            put(std::to_string(step) + (done ? "done" : "skipped"));
        put(a.finished ? "finished" : "-");
        for (const auto& [id, m] : a.proof)
            put(id + to_json(Happening(m)));
        for (const auto& [id, yes] : a.not_measured)
            put("not " + id + std::to_string(yes));
        put(a.seen ? std::to_string(*a.seen) : "-");
        put(a.could_not_see ? "could not see" : "-");
        put(a.verdict ? std::to_string(static_cast<int>(*a.verdict)) : "-");
        put(a.left ? "left" : "-");
        put(a.unchecked ? "unchecked" : "-");
        put(a.again ? "again" : "-");
    }
    for (const Answered& a : v.told)
        put("told " + to_json(Happening(a)));
    for (const auto& [cause, aside] : v.aside)
        put("aside " + cause + std::to_string(static_cast<int>(aside.why)) + std::to_string(aside.asked));
    for (const std::string& caution : v.kept_from)
        put("kept from " + caution);
    for (const std::string& note : v.notes)
        put(note);
    put(v.began ? "began" : "-");
    for (const std::string& caution : v.heeded)
        put("heeded " + caution);
    put(v.closed ? std::to_string(static_cast<int>(*v.closed)) : "-");
    for (const int number : v.undoable)
        put(std::to_string(number));
    return text;
}

TEST_CASE("a visit opens with the site as it was known and nothing to take back") {
    const Visit visit = fold(numbered({opened()}));
    CHECK(visit.site_id == "site-1");
    CHECK(visit.site.fall->in(metres) == 4.2);
    CHECK(visit.opened_at.ms == 1'000);
    CHECK(visit.next_number == 2);
    CHECK_FALSE(take_back(visit).has_value());
    CHECK(visit.current_attempt() == nullptr);
}

TEST_CASE("the later answer to an observation replaces the earlier and stands at the end") {
    const Visit visit = fold(numbered(
        {opened(), Answered{"beat", "slow"}, Answered{"waste", "clear"}, Answered{"beat", "fast", true}}));
    REQUIRE(visit.answers.size() == 2);
    CHECK(visit.answers[0].observation == "waste");
    CHECK(visit.answer_to("beat")->answer == "fast");
    CHECK(visit.answer_to("beat")->told);
    CHECK(visit.answer_to("sound") == nullptr);
}

TEST_CASE("taking back the later answer brings the earlier one back") {
    const Visit visit =
        fold(numbered({opened(), Answered{"beat", "slow"}, Answered{"beat", "fast"}, TookBack{3}}));
    REQUIRE(visit.answer_to("beat") != nullptr);
    CHECK(visit.answer_to("beat")->answer == "slow");
    CHECK(visit.undoable == std::vector<int>{2});
    CHECK(visit.next_number == 5);
    CHECK(take_back(visit)->event == 2);
}

TEST_CASE("pressing back again and again leads to the open visit and no further") {
    std::vector<Event> events =
        numbered({opened(), Answered{"beat", "slow"}, FixChosen{"leaf"}, Checked{"leaf", CheckResult::yes},
                  StepTicked{"leaf", 0, true}, FixFinished{"leaf"}, measured("q", 1e-4),
                  Judged{"leaf", Verdict::proved}, Closed{Closing::proved}});
    int presses = 0;
    for (Visit visit = fold(events); take_back(visit); visit = fold(events)) {
        events.push_back(event(visit.next_number, *take_back(visit)));
        ++presses;
    }
    CHECK(presses == 8);
    Visit end = fold(events);
    CHECK(told(end) == told(fold(numbered({opened()}))));
}

TEST_CASE("the opening and a taking back cannot be taken back") {
    const Visit visit =
        fold(numbered({opened(), Answered{"beat", "slow"}, TookBack{2}, TookBack{1}, TookBack{3}}));
    CHECK(visit.site_id == "site-1");
    CHECK(visit.answers.empty());
}

TEST_CASE("an event cannot take back one that comes after it") {
    const Visit visit = fold(numbered({opened(), TookBack{3}, Answered{"beat", "slow"}}));
    CHECK(visit.answers.size() == 1);
}

TEST_CASE("taking back the choice of a fix drops the attempt with its steps") {
    const std::vector<Event> events =
        numbered({opened(), FixChosen{"leaf"}, Checked{"leaf", CheckResult::yes}, StepTicked{"leaf", 0, true},
                  FixFinished{"leaf"}, measured("q", 1e-4), TookBack{2}});
    const Visit visit = fold(events);
    CHECK(visit.attempts.empty());
    CHECK(visit.as_found.contains("q"));          // no fix was finished, so it is a figure as found
    CHECK(visit.undoable == std::vector<int>{6}); // steps that hold no more are nothing to take back
}

TEST_CASE("figures go to the proof from the last step of a fix to its verdict") {
    const Visit visit = fold(numbered({opened(), measured("q", 1), NotMeasured{"w"}, FixChosen{"leaf"},
                                       measured("n", 2), FixFinished{"leaf"}, measured("q", 3),
                                       NotMeasured{"n"}, Judged{"leaf", Verdict::better}, measured("q", 4)}));
    REQUIRE(visit.attempts.size() == 1);
    CHECK(visit.attempts[0].proof.at("q").value_si == 3);
    CHECK(visit.attempts[0].not_measured.contains("n"));
    CHECK(visit.as_found.at("q").value_si == 4);
    CHECK(visit.as_found.at("n").value_si == 2);
    CHECK(visit.not_measured.contains("w"));
    CHECK(visit.current_attempt() == nullptr);
}

TEST_CASE("of a figure and the word that it cannot be had, the later holds") {
    Visit visit = fold(numbered({opened(), NotMeasured{"q"}, measured("q", 1)}));
    CHECK(visit.as_found.contains("q"));
    CHECK_FALSE(visit.not_measured.contains("q"));
    visit = fold(numbered({opened(), measured("q", 1), NotMeasured{"q"}}));
    CHECK_FALSE(visit.as_found.contains("q"));
    CHECK(visit.not_measured.contains("q"));
}

TEST_CASE("a check that says no closes the attempt, one that could not be made leaves it open") {
    Visit visit = fold(numbered({opened(), FixChosen{"leaf"}, Checked{"leaf", CheckResult::could_not}}));
    CHECK(visit.current_attempt() != nullptr);
    visit = fold(numbered({opened(), FixChosen{"leaf"}, Checked{"leaf", CheckResult::no}}));
    CHECK(visit.current_attempt() == nullptr);
    CHECK_FALSE(visit.attempts.at(0).open());
    CHECK_FALSE(visit.attempts.at(0).left);
}

TEST_CASE("turning to another cause leaves the earlier attempt without a verdict") {
    const Visit visit = fold(numbered({opened(), FixChosen{"leaf"}, FixFinished{"leaf"}, FixChosen{"air"},
                                       measured("q", 1), Judged{"leaf", Verdict::proved}}));
    REQUIRE(visit.attempts.size() == 2);
    CHECK(visit.attempts[0].left);
    CHECK_FALSE(visit.attempts[0].verdict.has_value());
    CHECK_FALSE(visit.attempts[0].open());
    CHECK(visit.current_attempt()->cause == "air");
    CHECK(visit.as_found.contains("q"));
}

TEST_CASE("the look of the proof: the later word holds") {
    Visit visit = fold(numbered({opened(), FixChosen{"leaf"}, FixFinished{"leaf"}, ProofSeen{"leaf", true}}));
    CHECK(visit.current_attempt()->seen == true);
    visit = fold(numbered(
        {opened(), FixChosen{"leaf"}, FixFinished{"leaf"}, ProofSeen{"leaf", true}, ProofNotSeen{"leaf"}}));
    CHECK_FALSE(visit.current_attempt()->seen.has_value());
    CHECK(visit.current_attempt()->could_not_see);
}

TEST_CASE("a repair that was not proved can be proved later, and only once at a time") {
    const std::vector<Happening> before{opened(), FixChosen{"leaf"}, Checked{"leaf", CheckResult::yes},
                                        StepTicked{"leaf", 0, true}, FixFinished{"leaf"}, NotMeasured{"q"},
                                        ProofNotSeen{"leaf"}, Judged{"leaf", Verdict::not_proved}};
    std::vector<Happening> later = before;
    CHECK(fold(numbered(before)).unproved("leaf") != nullptr);
    later.insert(later.end(), {FixFinished{"leaf"}, measured("q", 4), Judged{"leaf", Verdict::proved}});
    const Visit visit = fold(numbered(later));
    REQUIRE(visit.attempts.size() == 2);
    CHECK(visit.attempts[1].again);
    CHECK(visit.attempts[1].steps.at(0));
    CHECK(visit.attempts[1].proof.at("q").value_si == 4);
    CHECK(visit.attempts[1].verdict == Verdict::proved);
    CHECK(visit.unproved("leaf") == nullptr);

    later = before;
    later.back() = Judged{"leaf", Verdict::not_it};
    later.push_back(FixFinished{"leaf"});
    CHECK(fold(numbered(later)).attempts.size() == 1);
}

TEST_CASE("of a repair with every step skipped there is nothing to prove later") {
    const Visit visit =
        fold(numbered({opened(), FixChosen{"leaf"}, StepTicked{"leaf", 0, false}, FixFinished{"leaf"},
                       Judged{"leaf", Verdict::not_proved}, FixFinished{"leaf"}}));
    CHECK(visit.attempts.size() == 1);
    CHECK(visit.unproved("leaf") == nullptr);
}

TEST_CASE("choosing the fix again after a check that could not be made means to repair it all the same") {
    const std::vector<Happening> missed{opened(), FixChosen{"leaf"}, Checked{"leaf", CheckResult::could_not}};
    CHECK_FALSE(fold(numbered(missed)).current_attempt()->unchecked);
    std::vector<Happening> all_the_same = missed;
    all_the_same.push_back(FixChosen{"leaf"});
    const Visit visit = fold(numbered(all_the_same));
    REQUIRE(visit.attempts.size() == 1);
    CHECK(visit.attempts[0].unchecked);
    std::vector<Happening> without = missed;
    without.push_back(SetAside{"leaf", Aside::not_now});
    CHECK(fold(numbered(without)).current_attempt() == nullptr);
}

TEST_CASE("what was put aside is taken up by choosing it") {
    Visit visit = fold(numbered({opened(), Answered{"beat", "slow"}, SetAside{"leaf", Aside::doubted}}));
    REQUIRE(visit.aside.contains("leaf"));
    CHECK(visit.aside.at("leaf").asked == 1);
    visit = fold(numbered({opened(), SetAside{"leaf", Aside::doubted}, FixChosen{"leaf"}}));
    CHECK(visit.aside.empty());
}

TEST_CASE("several sights told of one observation are all kept, and the answer to a question replaces them") {
    Visit visit = fold(numbered({opened(), Answered{"why", "noise", true}, Answered{"why", "leak", true},
                                 Answered{"why", "noise", true}}));
    CHECK(visit.told.size() == 2);
    CHECK(visit.answer_to("why")->answer == "noise");
    visit = fold(numbered({opened(), Answered{"why", "noise", true}, Answered{"why", "leak", true},
                           Answered{"why", "none", false}}));
    CHECK(visit.told.empty());
    CHECK(visit.answer_to("why")->answer == "none");
}

TEST_CASE("a place is kept from until it is called safe") {
    CHECK(fold(numbered({opened(), Heeded{"burst"}})).kept_from == std::vector<std::string>{"burst"});
    const Visit visit = fold(numbered({opened(), Heeded{"burst"}, SafeNow{"burst"}}));
    CHECK(visit.kept_from.empty());
    CHECK(visit.heeded.size() == 2);
}

TEST_CASE("steps, checks and verdicts of a cause nobody turned to are ignored") {
    const Visit visit = fold(numbered(
        {opened(), StepTicked{"leaf", 0, true}, Checked{"leaf", CheckResult::yes}, FixFinished{"leaf"},
         ProofSeen{"leaf", true}, ProofNotSeen{"leaf"}, Judged{"leaf", Verdict::proved}, FixChosen{"air"},
         StepTicked{"leaf", 1, true}, StepTicked{"air", -1, true}}));
    REQUIRE(visit.attempts.size() == 1);
    CHECK(visit.attempts[0].steps.empty());
    CHECK(visit.undoable == std::vector<int>{8});
}

TEST_CASE("numbers order the events, gaps are fine, and the first of a number holds") {
    const std::vector<Event> events{
        event(9, Answered{"beat", "fast"}),  event(1, opened()),
        event(4, Answered{"beat", "slow"}),  event(4, Answered{"waste", "clear"}),
        event(0, Answered{"sound", "none"}), event(std::numeric_limits<int>::max(), Closed{})};
    const Visit visit = fold(events);
    REQUIRE(visit.answers.size() == 1);
    CHECK(visit.answers[0].answer == "fast");
    CHECK_FALSE(visit.closed.has_value());
    CHECK(visit.next_number == 10);
}

TEST_CASE("a second opening does not change the site") {
    Opened other = opened();
    other.site_id = "site-2";
    CHECK(fold(numbered({opened(), other})).site_id == "site-1");
}

TEST_CASE("asking begins once, and cautions that were followed are kept") {
    const Visit visit = fold(numbered({opened(), Began{}, Heeded{"burst_pipe"}, Began{}}));
    CHECK(visit.began);
    CHECK(visit.heeded == std::vector<std::string>{"burst_pipe"});
    CHECK(visit.undoable == std::vector<int>{2, 3}); // the second beginning changed nothing
}

TEST_CASE("nothing at all folds to an empty visit") {
    const Visit visit = fold({});
    CHECK(visit.site_id.empty());
    CHECK(visit.next_number == 1);
}

// --- any list at all ---

class Nonsense {
public:
    explicit Nonsense(unsigned seed) : random_(seed) {}

    int below(int n) { return std::uniform_int_distribution<int>(0, n - 1)(random_); }
    bool chance(int percent) { return below(100) < percent; }

    Happening happening() {
        const std::string cause = std::string("cause") + static_cast<char>('a' + below(3));
        const std::string id = std::string("m") + static_cast<char>('a' + below(4));
        switch (below(21)) {
        case 0:
            return opened();
        case 1:
            return Answered{id, chance(50) ? "yes" : "no", chance(20)};
        case 2:
            return measured(id.c_str(), below(1000) * 0.1);
        case 3:
            return NotMeasured{id};
        case 4:
            return FixChosen{cause};
        case 5:
            return Checked{cause, static_cast<CheckResult>(below(3))};
        case 6:
            return StepTicked{cause, below(6) - 1, chance(70)};
        case 7:
            return FixFinished{cause};
        case 8:
            return ProofSeen{cause, chance(50)};
        case 9:
            return ProofNotSeen{cause};
        case 10:
            return Judged{cause, static_cast<Verdict>(below(4))};
        case 11:
            return Noted{"note " + id};
        case 12:
            return Closed{static_cast<Closing>(below(4))};
        case 13:
            return Began{};
        case 14:
            return Heeded{id};
        case 15:
            return SetAside{cause, static_cast<Aside>(below(2))};
        case 16:
            return SafeNow{id};
        case 17:
            return Offered{id};
        case 18:
            return SaidBack{std::string(say_back_topics[static_cast<std::size_t>(below(3))]), chance(50)};
        case 19:
            return Received{id};
        default:
            return TookBack{below(50) - 3};
        }
    }

    std::vector<Event> events() {
        std::vector<Event> list;
        const int count = below(60);
        int number = 0;
        for (int i = 0; i < count; ++i) {
            number += chance(90) ? 1 : below(7) - 3;
            list.push_back(event(chance(2) ? std::numeric_limits<int>::max() : number, happening()));
        }
        if (!list.empty() && chance(80))
            list.front() = event(1, opened());
        return list;
    }

private:
    std::mt19937 random_;
};

TEST_CASE("any list of events folds, and taking one back is as if it had never been") {
    int taken = 0;
    int attempts = 0;
    for (unsigned seed = 1; seed <= 1'000; ++seed) {
        CAPTURE(seed);
        Nonsense nonsense(seed);
        std::vector<Event> events = nonsense.events();
        const Visit before = fold(events);
        attempts += static_cast<int>(before.attempts.size());
        CHECK(told(before) == told(fold(events))); // pure

        if (before.undoable.empty())
            continue;
        const int number =
            before
                .undoable[static_cast<std::size_t>(nonsense.below(static_cast<int>(before.undoable.size())))];
        std::vector<Event> without = events;
        std::erase_if(without, [&](const Event& e) { return e.number == number; });
        events.push_back(event(before.next_number, TookBack{number}));
        const Visit after = fold(events);
        CHECK(told(after) == told(fold(without)));
        CHECK(told(after) != told(before));
        CHECK(after.next_number == before.next_number + 1);
        ++taken;
    }
    CHECK(taken > 700);
    CHECK(attempts > 1'000);
}

} // namespace
} // namespace beckhand
