// Events and sites as JSON: what is written is what is read, bit for bit, and what is not an event is
// refused in a sentence. The form of JSON itself is RFC 8259, kept by the library.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include <nlohmann/json.hpp>

#include "engine/records/event_json.h"
#include "engine/records/site_fields.h"
#include "engine/utf8.h"

namespace beckhand {
namespace {

Site full_site() {
    Site site;
    site.name = "Quellhof – oberer Widder";
    site.access = "Path along the beck; \"slippery\"\n after rain";
    site.call = "the neighbour at the mill";
    double number = 1.1;
    for (const SiteField& field : site_fields())
        set_field_number(field, site, number += 1.7);
    site.drive_material = PipeMaterial::rigid_plastic;
    return site;
}

bool same(const Site& a, const Site& b) {
    for (const SiteField& field : site_fields()) {
        if (field.si(a) != field.si(b))
            return false;
    }
    return a.name == b.name && a.access == b.access && a.call == b.call && a.drive_material == b.drive_material;
}

std::vector<Happening> one_of_each() {
    Opened opened{"site-1", full_site(), "3", "hash"};
    return {opened,
            Answered{"beat", "slow", true},
            Measured{"delivered", 1.0 / 3.0, Care::sloppy},
            NotMeasured{"waste"},
            FixChosen{"worn_leaf"},
            Checked{"worn_leaf", CheckResult::no},
            StepTicked{"worn_leaf", 3, false},
            FixFinished{"worn_leaf"},
            ProofSeen{"worn_leaf", true},
            ProofNotSeen{"worn_leaf"},
            Judged{"worn_leaf", Verdict::better},
            Noted{"Naïve 水 note\twith a tab"},
            Closed{Closing::handed_on},
            TookBack{7},
            Began{},
            Heeded{"burst_pipe"},
            SetAside{"worn_leaf", Aside::doubted},
            SafeNow{"burst_pipe"}, Offered{"a helper"}, SaidBack{"danger", true}, Received{"a helper"},
            Serviced{"rubber"}, PartUsed{"gasket sheet", 2},
            AnsweringAs{Person::newcomer},
            Recalled{{{"worn_leaf", 12.5}, {"wet_leaf", 400}}, {{"worn_leaf", 2}, {"wet_leaf", 1.5}}}};
}

TEST_CASE("every kind of event is read as it was written") {
    const std::vector<Happening> all = one_of_each();
    REQUIRE(all.size() == std::variant_size_v<HappeningKinds>);
    for (const Happening& what : all) {
        const std::string text = to_json(what);
        CAPTURE(text);
        const Result<Happening> read = happening_from_json(text);
        REQUIRE(read.has_value());
        CHECK(read->index() == what.index());
        CHECK(to_json(*read) == text);
        CHECK(*kept_json(what) == text);
    }
}

TEST_CASE("an answer reads as plain JSON") {
    CHECK(to_json(Happening(Answered{"beat", "slow", true})) ==
          R"({"kind":"answered","observation":"beat","answer":"slow","told":true})");
    CHECK(to_json(Happening(Measured{"fall", 4.2, Care::careful})) ==
          R"({"kind":"measured","measurement":"fall","value_si":4.2,"care":"careful"})");
}

TEST_CASE("every word of every enumeration survives") {
    for (const CheckResult r : {CheckResult::yes, CheckResult::no, CheckResult::could_not}) {
        CHECK(std::get<Checked>(*happening_from_json(to_json(Happening(Checked{"c", r})))).result == r);
    }
    for (const Verdict v : {Verdict::proved, Verdict::better, Verdict::not_it, Verdict::not_proved}) {
        CHECK(std::get<Judged>(*happening_from_json(to_json(Happening(Judged{"c", v})))).verdict == v);
    }
    for (const Aside a : {Aside::doubted, Aside::not_now}) {
        CHECK(std::get<SetAside>(*happening_from_json(to_json(Happening(SetAside{"c", a})))).why == a);
    }
    for (const Closing c : {Closing::proved, Closing::handed_on, Closing::called_help, Closing::left_as_is}) {
        CHECK(std::get<Closed>(*happening_from_json(to_json(Happening(Closed{c})))).how == c);
    }
    for (const PipeMaterial m : all_pipe_materials()) {
        Site site;
        site.drive_material = m;
        CHECK(site_from_json(to_json(site))->drive_material == m);
    }
}

TEST_CASE("a log from before there was a fourth verdict reads as it was") {
    const auto old = happening_from_json(R"({"kind":"judged","cause":"worn_leaf","verdict":"not_it"})");
    REQUIRE(old.has_value());
    CHECK(std::get<Judged>(*old).verdict == Verdict::not_it);
    const auto heeded = happening_from_json(R"({"kind":"heeded","caution":"burst_pipe"})");
    REQUIRE(heeded.has_value());
    CHECK(std::get<Heeded>(*heeded).caution == "burst_pipe");
}

TEST_CASE("a measured figure comes back bit for bit") {
    std::mt19937_64 random(20);
    for (int i = 0; i < 20'000; ++i) {
        const double value =
            std::ldexp(static_cast<double>(random() >> 11), static_cast<int>(random() % 400) - 250);
        const Result<Happening> read = happening_from_json(to_json(Happening(Measured{"q", value})));
        REQUIRE(read.has_value());
        REQUIRE(std::get<Measured>(*read).value_si == value);
    }
}

TEST_CASE("a figure's own error is written where there is one, and a log from before reads as it was") {
    const Measured coarse{"S", 1.0 / 700, Care::sloppy, 1.0 / 9000};
    const std::string text = to_json(Happening(coarse));
    const auto read = happening_from_json(text);
    REQUIRE(read.has_value());
    CHECK(std::get<Measured>(*read).error_si == coarse.error_si);
    const std::string before = R"({"care":"careful","kind":"measured","measurement":"S","value_si":0.5})";
    const auto old = happening_from_json(before);
    REQUIRE(old.has_value());
    CHECK(std::get<Measured>(*old).error_si == 0);
    CHECK(nlohmann::json::parse(to_json(*old)) == nlohmann::json::parse(before));
    for (const char* const wrong : {"0", "-1", "\"1\"", "null"}) {
        const std::string edited = R"({"care":"careful","kind":"measured","measurement":"S","value_si":0.5,"error_si":)" + std::string(wrong) + "}";
        CHECK_FALSE(happening_from_json(edited).has_value());
    }
}

TEST_CASE("a site comes back bit for bit, in whatever unit it was made") {
    CHECK(same(*site_from_json(to_json(full_site())), full_site()));
    std::mt19937_64 random(21);
    int beside = 0;
    for (int i = 0; i < 2'000; ++i) {
        Site site;
        for (const SiteField& field : site_fields()) {
            // Any double between 1e-6 and 1e3, as an inch, a gallon or a division would leave it.
            field.set_si(site, std::ldexp(1.0 + static_cast<double>(random() >> 12) * 0x1p-52,
                                          static_cast<int>(random() % 30) - 20));
        }
        const std::string text = to_json(site);
        beside += text.find("exact_si") != std::string::npos;
        const Result<Site> read = site_from_json(text);
        REQUIRE(read.has_value());
        REQUIRE(same(*read, site));
    }
    CHECK(beside > 0); // the rare case was among them
}

TEST_CASE("numbers are written as a person would write them") {
    Site site;
    site.name = "A";
    site.drive_bore = millimetres(52.5);
    site.source_flow = litres_per_minute(90);
    site.record.beat = beats_per_minute(55);
    site.record.running = bar(1.4);
    CHECK(to_json(site) == R"({"name":"A","drive_bore_mm":52.5,"source_flow_lpm":90.0,)"
                           R"("record":{"beat_per_min":55.0,"running_pressure_bar":1.4}})");
}

TEST_CASE("a number edited by hand is believed over the exact figure beside it") {
    const Result<Site> site =
        site_from_json(R"({"name":"A","drive_bore_mm":40,"exact_si":{"drive_bore_mm":0.0508}})");
    REQUIRE(site.has_value());
    CHECK(site->drive_bore->in(millimetres) == doctest::Approx(40).epsilon(1e-12));
}

TEST_CASE("an empty site has no figures and no invented ones") {
    const Result<Site> site = site_from_json(to_json(Site{}));
    REQUIRE(site.has_value());
    for (const SiteField& field : site_fields())
        CHECK_FALSE(field.si(*site).has_value());
}

TEST_CASE("text that is not an event is a problem, never a crash") {
    for (const char* text :
         {"",
          "{",
          "null",
          "[]",
          "7",
          "\"answered\"",
          "{}",
          R"({"kind":7})",
          R"({"kind":"answered"})",
          R"({"kind":"answered","observation":"beat","answer":3,"told":true})",
          R"({"kind":"answered","observation":"beat","answer":"slow","told":"yes"})",
          R"({"kind":"measured","measurement":"q","value_si":null,"care":"careful"})",
          R"({"kind":"measured","measurement":"q","value_si":1e999,"care":"careful"})",
          R"({"kind":"measured","measurement":"q","value_si":1,"care":"perfect"})",
          R"({"kind":"took_back","event":3000000000})",
          R"({"kind":"took_back","event":18446744073709551615})",
          R"({"kind":"took_back","event":1.5})",
          R"({"kind":"step_ticked","cause":"c","step":"1","done":true})",
          R"({"kind":"opened","site_id":"s","site":[],"pack_version":"1","pack_hash":"h"})",
          R"({"kind":"opened","site_id":"s","site":{"fall_m":"4"},"pack_version":"1","pack_hash":"h"})",
          "{\"kind\":\"noted\",\"text\":\"\xff\"}"}) {
        CAPTURE(text);
        const Result<Happening> read = happening_from_json(text);
        REQUIRE_FALSE(read.has_value());
        CHECK_FALSE(read.error().what.empty());
    }
}

TEST_CASE("deep nesting is refused and does not exhaust the stack") {
    CHECK_FALSE(happening_from_json(std::string(200'000, '[')).has_value());
    CHECK_FALSE(happening_from_json(std::string(200'000, '[') + std::string(200'000, ']')).has_value());
}

TEST_CASE("an event of a newer program is named and refused") {
    const Result<Happening> kind = happening_from_json(R"({"kind":"photographed","file":"a"})");
    REQUIRE_FALSE(kind.has_value());
    CHECK(kind.error().sentence().find("photographed") != std::string::npos);
    const Result<Happening> more = happening_from_json(R"({"kind":"noted","text":"a","mood":"good"})");
    REQUIRE_FALSE(more.has_value());
    CHECK(more.error().sentence().find("more than this version") != std::string::npos);
}

TEST_CASE("a misspelt or misplaced entry of a site is named") {
    for (const char* text :
         {R"({"name":"A","fall_ft":3})", R"({"name":"A","beat_per_min":3})",
          R"({"name":"A","record":{"fall_m":3}})", R"({"name":"A","record":3})", R"({"name":3})",
          R"({"drive_material":"bamboo"})", R"({"exact_si":3})", "[1]", "x"}) {
        CAPTURE(text);
        CHECK_FALSE(site_from_json(text).has_value());
    }
    CHECK(site_from_json(R"({"name":"A","fall_ft":3})").error().where == "fall_ft");
}

TEST_CASE("what could not be read again is not written") {
    CHECK_FALSE(kept_json(Happening(Measured{"q", std::nan("")})).has_value());
    CHECK_FALSE(kept_json(Happening(Measured{"q", std::numeric_limits<double>::infinity()})).has_value());
    CHECK_FALSE(kept_json(Happening(Noted{"broken \xc3"})).has_value());
    CHECK_FALSE(kept_json(Happening(Noted{"lone surrogate \xed\xa0\x80"})).has_value());
    Site site;
    site.fall = metres(std::nan(""));
    CHECK_FALSE(kept_json(site).has_value());
    CHECK_FALSE(kept_json(Happening(Opened{"s", site, "1", "h"})).has_value());
}

TEST_CASE("UTF-8 is told from what is not, as RFC 3629 has it and as the JSON library does") {
    CHECK(is_utf8("grün 水 \xf0\x9f\x92\xa7"));
    CHECK_FALSE(is_utf8("\xfe"));
    std::mt19937 random(20'240'702);
    int sound = 0;
    for (int round = 0; round < 20'000; ++round) {
        std::string text(1 + random() % 4, ' ');
        for (char& byte : text) byte = static_cast<char>(random() % 3 == 0 ? 0x80 + random() % 0x40 : 0xc0 + random() % 0x40);
        if (round % 2 == 0) text.resize(std::min<std::size_t>(text.size(), 2));
        std::string ignored;
        bool by_library = true;
        try {
            ignored = nlohmann::json(text).dump();
        } catch (const nlohmann::json::type_error&) {
            by_library = false;
        }
        CAPTURE(text);
        CHECK(is_utf8(text) == by_library);
        sound += by_library ? 1 : 0;
    }
    CHECK(sound > 100);
}

TEST_CASE("every figure of a site has a key with its unit, words, and a range that it checks") {
    for (const SiteField& field : site_fields()) {
        CAPTURE(field.key);
        CHECK(field.least < field.most);
        CHECK(field.words.find(": ") != std::string_view::npos);
        CHECK_FALSE(field_problem(field, field.least).has_value());
        CHECK_FALSE(field_problem(field, field.most).has_value());
        CHECK(field_problem(field, field.least - 1).has_value());
        CHECK(field_problem(field, field.most * 1.1).has_value());
        CHECK(field_problem(field, std::nan("")).has_value());
        Site site;
        set_field_number(field, site, field.most);
        CHECK(field_number(field, site) == field.most);
        CHECK(check_plausible(site).has_value());
        set_field_number(field, site, field.most * 2);
        REQUIRE_FALSE(check_plausible(site).has_value());
        CHECK(check_plausible(site).error().where == std::string(field.key));
        field.set_si(site, std::nullopt);
        CHECK_FALSE(field_number(field, site).has_value());
    }
    CHECK(std::size(site_fields()) == 19);
    CHECK(std::size(site_texts()) == 5);
}

} // namespace
} // namespace beckhand
