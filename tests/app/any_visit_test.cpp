// Any list of events, in any order, with contradictions and with much taken back: the shipped pack still gives a
// belief that sums to one and a next step, and the same ones when the visit is read back from its record.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

#include "engine/diagnosis/next_step.h"
#include "engine/pump/ensemble.h"
#include "engine/records/event_json.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_model;
using tests::shipped_pack;

struct Anything {
    Dice dice;
    explicit Anything(std::uint64_t seed) : dice(seed) {}

    std::size_t below(std::size_t n) { return static_cast<std::size_t>(dice.even() * static_cast<double>(n)); }
    bool chance(double share) { return dice.even() < share; }
    template <class Things>
    const auto& any(const Things& things) { return things[below(things.size())]; }

    /// A cause of few, so that checks and verdicts meet the turn they belong to.
    std::string cause() { return chance(0.02) ? "unknown" : shipped_pack().causes[below(chance(0.8) ? 4 : 60)].id; }

    Happening answered() {
        const Observation& observation = any(shipped_pack().observations);
        return Answered{observation.id, chance(0.02) ? "unknown" : any(observation.answers).id, chance(0.1)};
    }

    Happening happening(int number) {
        const Measurement& how = any(shipped_pack().measurements);
        switch (below(20)) {
        case 0: return Measured{how.id, how.least + dice.even() * (how.most - how.least), chance(0.5) ? Care::careful : Care::sloppy};
        case 1: return NotMeasured{how.id};
        case 2: return FixChosen{cause()};
        case 3: return Checked{cause(), static_cast<CheckResult>(below(3))};
        case 4: return StepTicked{cause(), static_cast<int>(below(4)), chance(0.8)};
        case 5: return FixFinished{cause()};
        case 6: return ProofSeen{cause(), chance(0.5)};
        case 7: return Judged{cause(), static_cast<Verdict>(below(4))};
        case 8: return SetAside{cause(), static_cast<Aside>(below(2))};
        case 9: return Heeded{any(shipped_pack().cautions).id};
        case 10: return SafeNow{any(shipped_pack().cautions).id};
        case 11: return AnsweringAs{static_cast<Person>(below(3))};
        case 12: return Recalled{{{cause(), dice.even() * 90}}, {{cause(), dice.even() * 30}}};
        case 13:
        case 14: return TookBack{static_cast<int>(below(static_cast<std::size_t>(number) + 1))};
        default: return answered();
        }
    }

    std::vector<Event> events() {
        std::vector<Event> list;
        Opened opened;
        if (chance(0.5)) {
            opened.site.fall = metres(0.5 + 5 * dice.even());
            opened.site.lift = metres(2 + 40 * dice.even());
            opened.site.drive_bore = millimetres(50);
            opened.site.record.beat = beats_per_minute(60);
        }
        list.push_back({1, Instant{}, "any", opened});
        const int count = 2 + static_cast<int>(below(60));
        for (int n = 2; n <= count; ++n) list.push_back({n, Instant{}, "any", happening(n)});
        return list;
    }
};

struct Told {
    std::vector<double> belief;
    std::size_t kind = 0;
    double spent = 0;
};

Told told_by(const std::vector<Event>& events) {
    const Visit visit = fold(events);
    const Grounds grounds = grounds_of(shipped_pack(), shipped_model(), visit);
    const Belief belief = belief_of(shipped_model(), grounds);
    const Offer offer = next_step(shipped_pack(), shipped_model(), visit, grounds, belief);
    return {belief.hypothesis, offer.step.index(), offer.minutes};
}

bool same(const Told& a, const Told& b) { return a.belief == b.belief && a.kind == b.kind && a.spent == b.spent; }

bool sound(const Told& told) {
    const double sum = std::accumulate(told.belief.begin(), told.belief.end(), 0.0);
    const bool finite = std::all_of(told.belief.begin(), told.belief.end(), [](double b) { return std::isfinite(b) && b >= 0; });
    return finite && std::abs(sum - 1) < 1e-9 && std::isfinite(told.spent);
}

TEST_CASE("any visit replays the same from its record, whatever was taken back; BECKHAND_VISITS=1000 for more") {
    const char* const asked = std::getenv("BECKHAND_VISITS");
    const std::uint64_t visits = asked != nullptr ? std::min<std::uint64_t>(std::strtoul(asked, nullptr, 10), 1000) : 100;
    std::size_t undone = 0, repaired = 0;
    for (std::uint64_t seed = 1; seed <= visits; ++seed) {
        CAPTURE(seed);
        Anything anything(seed);
        std::vector<Event> events = anything.events();
        const Told told = told_by(events);
        CHECK(sound(told));
        const Visit visit = fold(events);
        repaired += visit.attempts.size();

        std::vector<Event> read;
        for (const Event& event : events) {
            const auto kept = kept_json(event.what);
            REQUIRE(kept.has_value());
            const auto back = happening_from_json(*kept);
            REQUIRE(back.has_value());
            read.push_back({event.number, event.at, event.by, *back});
        }
        CHECK(same(told, told_by(read)));

        // Undo: as if it had never been.
        if (const auto back = take_back(visit)) {
            std::vector<Event> with = events, without = events;
            with.push_back({visit.next_number, Instant{}, "any", *back});
            std::erase_if(without, [&](const Event& event) { return event.number == back->event; });
            CHECK(same(told_by(with), told_by(without)));
            ++undone;
        }

        // The order in the list says nothing; the numbers do.
        std::vector<Event> shuffled = events;
        for (std::size_t i = shuffled.size(); i > 1; --i) std::swap(shuffled[i - 1], shuffled[anything.below(i)]);
        CHECK(same(told, told_by(shuffled)));
        // Another order of happening is another visit, and still one.
        for (std::size_t i = 0; i < shuffled.size(); ++i) shuffled[i].number = static_cast<int>(i) + 1;
        CHECK(sound(told_by(shuffled)));
        // So is what had happened at any moment.
        events.resize(1 + anything.below(events.size()));
        CHECK(sound(told_by(events)));
    }
    CHECK(undone > visits / 2);
    CHECK(repaired > visits);
}

} // namespace
} // namespace beckhand
