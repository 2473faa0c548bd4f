// The handing over of a site as a fold of events: who it was offered to, what was said back, the receipt.
#include <doctest/doctest.h>

#include "engine/diagnosis/visit.h"
#include "engine/records/event_json.h"

namespace beckhand {
namespace {

Visit after(const std::vector<Happening>& said) {
    std::vector<Event> events{{1, Instant{1000}, "keeper", Opened{"site", Site{}, "1", "h"}}};
    for (const Happening& what : said) {
        const int number = static_cast<int>(events.size()) + 1;
        events.push_back({number, Instant{1000 * number}, "keeper", what});
    }
    return fold(events);
}

} // namespace

TEST_CASE("a site counts as handed over when each of the three topics was answered right, and not before") {
    CHECK_FALSE(after({}).handover.has_value());
    CHECK_FALSE(after({SaidBack{"danger", true}}).handover.has_value()); // nothing was offered
    CHECK(after({Offered{"R"}}).handover->next_topic() == "danger");
    const Visit two = after({Offered{"R"}, SaidBack{"danger", true}, SaidBack{"sound", true}});
    CHECK_FALSE(two.handover->read_back());
    CHECK(two.handover->next_topic() == "next");
    const Visit three = after({Offered{"R"}, SaidBack{"danger", true}, SaidBack{"sound", true}, SaidBack{"next", true}});
    CHECK(three.handover->read_back());
    CHECK(three.handover->next_topic().empty());
    CHECK(three.handover->read_back_at == Instant{5000});
    CHECK(three.handover->from == "keeper");
    CHECK(three.handover->to == "R");
    CHECK_FALSE(three.handover->received());
}

TEST_CASE("what was answered wrong is asked again after the others, longest ago first") {
    const std::vector<Happening> wrong{Offered{"R"}, SaidBack{"danger", false}, SaidBack{"sound", false}};
    CHECK(after(wrong).handover->next_topic() == "next");
    std::vector<Happening> said = wrong;
    said.push_back(SaidBack{"next", true});
    CHECK(after(said).handover->next_topic() == "danger");
    said.push_back(SaidBack{"danger", false});
    CHECK(after(said).handover->next_topic() == "sound");
    said.push_back(SaidBack{"sound", true});
    said.push_back(SaidBack{"danger", true});
    CHECK(after(said).handover->read_back());
}

TEST_CASE("offered anew, the read-back begins anew; a receipt stands beside it, read back or not") {
    const Visit anew = after({Offered{"R"}, SaidBack{"danger", true}, Offered{"S"}});
    CHECK(anew.handover->to == "S");
    CHECK(anew.handover->said_back.empty());
    const Visit received = after({Offered{"R"}, Received{"R"}});
    CHECK(received.handover->received());
    CHECK_FALSE(received.handover->read_back());
    CHECK_FALSE(after({Received{"R"}}).handover.has_value());
}

TEST_CASE("back takes back the last answer and leaves a handing over as it was") {
    const Visit visit = after({Answered{"beat", "slow"}, Offered{"R"}, SaidBack{"danger", true}});
    REQUIRE(take_back(visit).has_value());
    CHECK(take_back(visit)->event == 2);
    const Visit forced = after({Offered{"R"}, TookBack{2}});
    CHECK(forced.handover.has_value());
}

TEST_CASE("a handing over reads as plain JSON") {
    CHECK(to_json(Happening(Offered{"R"})) == R"({"kind":"offered","to":"R"})");
    CHECK(to_json(Happening(SaidBack{"next", false})) == R"({"kind":"said_back","topic":"next","right":false})");
    CHECK(to_json(Happening(Received{"R"})) == R"({"kind":"received","by":"R"})");
    Site site;
    site.call = "the keeper at the barn";
    CHECK(site_from_json(to_json(site))->call == site.call);
    CHECK(site_from_json(R"({"name":"old"})")->call.empty()); // a log from before there was one
}

} // namespace beckhand
