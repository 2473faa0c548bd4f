// What changed between two packs, in words, and how far the version has to move for it.
#include <doctest/doctest.h>

#include <algorithm>

#include "engine/diagnosis/pack_version.h"
#include "knowledge/compiler/diff.h"
#include "tests/support/tiny_pack.h"

namespace beckhand {
namespace {

using tests::tiny_pack;

struct Told { Bump due; std::string words; };

template <class Change>
Told told(Change change) {
    Pack newer = tiny_pack();
    change(newer);
    const std::vector<PackChange> changes = changes_between(tiny_pack(), newer);
    std::string words;
    for (const PackChange& one : changes) words += one.words + "\n";
    return {due_for(changes), words};
}

TEST_CASE("the same pack has no changes, and its version and change log are none") {
    CHECK(told([](Pack&) {}).words.empty());
    const Told version = told([](Pack& pack) {
        pack.version = "1.1.0";
        pack.issued = "2026-12-01";
        pack.changes.insert(pack.changes.begin(), {"1.1.0", "2026-12-01", "Words."});
    });
    CHECK(version.words.empty());
    CHECK(version.due == Bump::none);
}

TEST_CASE("a better word is a patch") {
    const Told ask = told([](Pack& pack) { pack.observations[0].ask = "What lies on the strainer?"; });
    CHECK(ask.due == Bump::patch);
    CHECK(ask.words == "observation screen_face: ask \"What covers the strainer?\" -> \"What lies on the strainer?\".\n");
    CHECK(told([](Pack& pack) { pack.observations[0].answers[0].say = "Nothing at all"; }).words ==
          "observation screen_face, answer clear: say \"Nothing\" -> \"Nothing at all\".\n");
    CHECK(told([](Pack& pack) { pack.causes[0].fix.steps[0].say = "Rake it."; }).due == Bump::patch);
    CHECK(told([](Pack& pack) { pack.causes[0].fix.keep = "Daily."; }).due == Bump::patch);
}

TEST_CASE("causes, questions, marks and numbers are a minor step") {
    const Told weight = told([](Pack& pack) { pack.causes[0].per_1000 = 80; });
    CHECK(weight.due == Bump::minor);
    CHECK(weight.words == "cause screen_matted: per 1000 74 -> 80.\n");
    CHECK(told([](Pack& pack) { pack.causes[0].seen[0].mark = Mark::likelier; }).words ==
          "cause screen_matted, mark screen_face.matted: mark typical -> likelier.\n");
    CHECK(told([](Pack& pack) { pack.causes[0].seen.pop_back(); }).words ==
          "cause screen_matted, mark beat_band.slow (likelier): removed.\n");
    CHECK(told([](Pack& pack) { pack.causes[0].seen.push_back({"rubber_look", "whole", Mark::likelier}); }).words ==
          "cause screen_matted, mark rubber_look.whole (likelier): added.\n");
    const Told cause = told([](Pack& pack) {
        pack.causes.push_back(pack.causes[0]);
        pack.causes.back().id = "screen_iced";
    });
    CHECK(cause.due == Bump::minor);
    CHECK(cause.words == "cause screen_iced: added.\n"); // and not each mark of it
    CHECK(told([](Pack& pack) { pack.scale.slip = 0.1; }).words == "scale: slip 0.05 -> 0.1.\n");
    CHECK(told([](Pack& pack) { pack.observations[1].bands->edges[0] = 0.9; }).due == Bump::minor);
    CHECK(told([](Pack& pack) { pack.impossible.clear(); }).due == Bump::minor);
    CHECK(told([](Pack& pack) { pack.causes[0].fix.cautions.pop_back(); }).due == Bump::minor); // never a mere word
}

TEST_CASE("an id that is gone or means something else is a major step") {
    CHECK(told([](Pack& pack) { pack.causes.pop_back(); }).words == "cause rubber_worn: removed.\n");
    CHECK(told([](Pack& pack) { pack.causes.pop_back(); }).due == Bump::major);
    const Told answer = told([](Pack& pack) { pack.observations[1].answers[2].id = "quick"; });
    CHECK(answer.due == Bump::major);
    CHECK(answer.words.find("observation beat_band, answer fast: removed.") != std::string::npos);
    CHECK(told([](Pack& pack) { pack.observations[0].answers[0].normal = false; }).due == Bump::major);
    CHECK(told([](Pack& pack) { pack.measurements[0].unit = "m"; }).due == Bump::major);
    CHECK(told([](Pack& pack) { std::swap(pack.observations[1].bands->bands[0], pack.observations[1].bands->bands[2]); }).due ==
          Bump::major);
}

TEST_CASE("the version follows from what changed, or it is said that it does not") {
    const auto trouble = [](const std::string& version, int what) {
        Pack newer = tiny_pack();
        newer.version = version;
        if (what == 1) newer.causes[0].name = "Strainer covered";
        if (what == 2) newer.causes[0].per_1000 = 80;
        if (what == 3) newer.causes.pop_back();
        return version_trouble(tiny_pack(), newer);
    };
    CHECK(trouble("1.0.0", 0).empty());
    CHECK(trouble("1.0.1", 1).empty());
    CHECK(trouble("1.0.0", 1) == "The version goes from 1.0.0 to 1.0.0, but what changed asks for a patch step.");
    CHECK(trouble("1.1.0", 2).empty());
    CHECK(trouble("1.0.9", 2).find("minor step") != std::string::npos);
    CHECK(trouble("2.0.0", 3).empty());
    CHECK(trouble("1.9.0", 3).find("major step") != std::string::npos);
    CHECK(trouble("0.9.0", 1).find("patch step") != std::string::npos); // it falls
}

TEST_CASE("versions are three numbers, ordered as numbers") {
    CHECK(version_of("1.10.0") > version_of("1.9.9"));
    for (const char* const wrong : {"", "1", "1.2", "1.2.3.4", "1..2", "a.b.c", "1.2.3 ", " 1.2.3", "-1.2.3", "1.2.1234567"}) {
        CAPTURE(wrong);
        CHECK_FALSE(version_of(wrong).has_value());
    }
}

} // namespace
} // namespace beckhand
