// Figures that follow from measurements, and how they are cut into answers.
#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>

#include "engine/diagnosis/belief.h"
#include "engine/diagnosis/derived.h"
#include "tests/support/shipped_pack.h"

using namespace beckhand;
using namespace beckhand::tests;

namespace {

Site site_with_record() {
    Site site;
    site.fall = metres(2);
    site.lift = metres(12);
    site.record.delivered = litres_per_minute(4);
    site.record.waste = litres_per_minute(40);
    site.record.beat = beats_per_minute(60);
    return site;
}

Readings readings(const Site& site, std::map<std::string, double> measured) {
    std::map<std::string, Measured> taken;
    for (const auto& entry : measured) {
        taken[entry.first] = {entry.first, entry.second, Care::careful};
    }
    return readings_of(shipped_pack(), site, taken);
}

double flow(double lpm) { return litres_per_minute(lpm).si(); }

const Fact* fact_about(const std::vector<Fact>& facts, const char* observation) {
    for (const Fact& fact : facts) {
        if (shipped_pack().observations[fact.observation].id == observation) return &fact;
    }
    return nullptr;
}

std::string likeliest(const Fact& fact) {
    const auto at = std::max_element(fact.answer.begin(), fact.answer.end()) - fact.answer.begin();
    return shipped_pack().observations[fact.observation].answers[static_cast<std::size_t>(at)].id;
}

} // namespace

TEST_CASE("yield against the table: Building Trades Pocketbook, 61 % at six times the fall") {
    // q h / (Q H) = 4 x 12 / (44 x 2) = 54.5 %; 54.5 / 61 = 0.894.
    const Site site = site_with_record();
    const auto figure = derive("yield_to_table", readings(site, {{"Q", flow(4)}, {"W", flow(40)}}), expect(site));
    REQUIRE(figure);
    CHECK(figure->value == doctest::Approx(4.0 * 12 / (44 * 2) / 0.61).epsilon(0.005));
    CHECK(figure->sigma > 0);
}

TEST_CASE("a missing figure gives no derived figure") {
    const Site site = site_with_record();
    CHECK_FALSE(derive("yield_to_table", readings(site, {{"Q", flow(4)}}), expect(site)));
    CHECK_FALSE(derive("beat_ratio", readings(site, {{"B", 0}}), expect(site)));
    CHECK_FALSE(derive("no_such_thing", {}, expect(site)));
    CHECK_FALSE(derive("yield_to_table", {}, expect(Site{})));
}

TEST_CASE("band chances sum to one and follow the error") {
    const Bands bands{"x", {1.0, 2.0}, {"low", "mid", "high"}, {}};
    const auto sharp = band_chances(bands, {1.5, 0.01, ""});
    CHECK(sharp[1] > 0.999);
    const auto edge = band_chances(bands, {1.0, 0.1, ""});
    CHECK(edge[0] == doctest::Approx(0.5));
    const auto blunt = band_chances(bands, {1.5, 50, ""});
    CHECK(std::accumulate(blunt.begin(), blunt.end(), 0.0) == doctest::Approx(1));
    CHECK(blunt[1] < 0.05);
}

TEST_CASE("nothing delivered means all is wasted") {
    const Site site = site_with_record();
    const auto figure = derive("waste_ratio", readings(site, {{"W", flow(44)}, {"Q", 0}}), expect(site));
    REQUIRE(figure);
    CHECK(figure->value == all_is_wasted);
}

TEST_CASE("figures answer their observations; a figure beats an answer, an answer beats the site sheet") {
    Visit visit;
    visit.site = site_with_record();
    visit.as_found["W"] = {"W", flow(20), Care::careful};
    visit.as_found["Q"] = {"Q", flow(2), Care::careful};
    visit.answers.push_back({"waste_share", "more", false});
    visit.answers.push_back({"fall_band", "under_1m", false});
    const auto facts = facts_of(shipped_pack(), visit);
    REQUIRE(fact_about(facts, "waste_share"));
    CHECK(likeliest(*fact_about(facts, "waste_share")) == "less");
    REQUIRE(fact_about(facts, "fall_band"));
    CHECK(likeliest(*fact_about(facts, "fall_band")) == "under_1m");
    REQUIRE(fact_about(facts, "lift_ratio"));
    CHECK(likeliest(*fact_about(facts, "lift_ratio")) == "to_8");
}

TEST_CASE("the drive pipe's figures answer the question about its shape") {
    Visit visit;
    visit.site = site_with_record();
    visit.site.drive_length = metres(4);
    visit.site.drive_bore = millimetres(50);
    visit.site.pump_bore = millimetres(50);
    const auto facts = facts_of(shipped_pack(), visit);
    REQUIRE(fact_about(facts, "drive_shape"));
    CHECK(likeliest(*fact_about(facts, "drive_shape")) == "short");
}
