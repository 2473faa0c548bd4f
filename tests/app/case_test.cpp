// Case files: read, refused with the line and what would be right, and played against the shipped pack. Then
// how often the shipped pack's questions reach the right cause, measured and held.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <numeric>
#include <random>

#include "app/terminal/script.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

using tests::shipped_model;
using tests::shipped_pack;

std::vector<std::string> case_paths() {
    std::vector<std::string> paths;
    for (const auto& entry : std::filesystem::directory_iterator(SOURCE_FOLDER "/tests/cases")) {
        if (entry.path().extension() == ".toml")
            paths.push_back(entry.path().string());
    }
    std::sort(paths.begin(), paths.end());
    return paths;
}

std::string found_by(const PlayedCase& played) {
    return played.cause ? shipped_pack().causes[*played.cause].id : "nothing";
}

/// The cause itself, or one that is put right by the very same fix.
bool leads_to(const PlayedCase& played, const Cause& cause) {
    return played.cause && shipped_pack().causes[*played.cause].fix.id == cause.fix.id;
}

// --- playing the eight cases ---

TEST_CASE("every case file leads to its cause within twelve questions") {
    int played_files = 0;
    for (const std::string& path : case_paths()) {
        CAPTURE(path);
        const Result<std::string> text = read_text_file(path);
        REQUIRE(text.has_value());
        const Result<CaseFile> file = read_case(*text, path, shipped_pack());
        REQUIRE_MESSAGE(file.has_value(), (file ? "" : file.error().sentence()));
        CHECK_MESSAGE(file->notes.empty(), (file->notes.empty() ? "" : file->notes.front()));
        const PlayedCase played = play_case(*file, shipped_pack(), shipped_model());
        CHECK_MESSAGE(found_by(played) == file->cause, played_text(played, shipped_pack()));
        CHECK(played.asked <= 12);
        CHECK(played.checks <= 2);
        const std::vector<double>& belief = played.scene.belief.hypothesis;
        CHECK(std::accumulate(belief.begin(), belief.end(), 0.0) == doctest::Approx(1.0).epsilon(1e-12));
        ++played_files;
    }
    CHECK(played_files == 8);
}

TEST_CASE("what a case lacks is answered with cannot tell, or not measured") {
    const PlayedCase played = play_case(CaseFile{}, shipped_pack(), shipped_model());
    CHECK(played.asked >= 10);
    for (const PlayedStep& step : played.steps) {
        const Observation* observation = find_observation(shipped_pack(), step.id);
        const Answer* answer = observation != nullptr ? find_answer(*observation, step.answer) : nullptr;
        CHECK_MESSAGE(((answer != nullptr && answer->cannot) || step.answer == "not measured"), step.id);
    }
}

TEST_CASE("the same case is played the same way twice") {
    for (const std::string& path : case_paths()) {
        const Result<CaseFile> file = read_case(*read_text_file(path), path, shipped_pack());
        REQUIRE(file.has_value());
        CHECK(played_json(play_case(*file, shipped_pack(), shipped_model()), shipped_pack()) ==
              played_json(play_case(*file, shipped_pack(), Model(shipped_pack())), shipped_pack()));
    }
}

// --- files that are wrong ---

struct Wrong {
    std::string text;
    int line;
    std::string what; // part of what is said to be wrong
    std::string todo; // part of what would be right
};

void refuses(const Wrong& wrong) {
    CAPTURE(wrong.text);
    const Result<CaseFile> file = read_case(wrong.text, "slip.toml", shipped_pack());
    REQUIRE_FALSE(file.has_value());
    const Problem& problem = file.error();
    CAPTURE(problem.sentence());
    const std::string place = "slip.toml:" + std::to_string(wrong.line);
    CHECK((problem.where == place || problem.where.rfind(place + ":", 0) == 0));
    CHECK(problem.what.find(wrong.what) != std::string::npos);
    CHECK(problem.todo.find(wrong.todo) != std::string::npos);
}

TEST_CASE("an observation that the pack does not know is refused with the nearest one") {
    refuses({"[answers]\n\nbeat_nov = \"steady\"\n", 3, "\"beat_nov\" is not an observation", "beat_now"});
    refuses({"first_told = [\n  \"complant\",\n]\n", 2, "\"complant\" is not an observation", "complaint"});
}

TEST_CASE("an answer that the observation does not have is refused with those it has") {
    refuses({"[answers]\nbeat_now = \"stopped\"\n", 2, "\"stopped\" is not an answer to \"beat_now\"",
             "stopped_open, stopped_shut"});
}

TEST_CASE("a slip in a site's key is refused with the key that was meant") {
    refuses({"[site]\nname = \"Quillabeck\"\nfall_n = 2.0\n", 3, "\"fall_n\" is not a key", "fall_m"});
    refuses({"[site.record]\nbeat_per_mn = 50\n", 2, "\"beat_per_mn\" is not a key", "beat_per_min"});
}

TEST_CASE("a file that is not TOML is refused at the line where it breaks") {
    refuses({"[site]\nfall_m = 2.0\nlift_m = = 8\n", 3, "", "TOML"});
    refuses({"cause = \"screen_matted\"\n[answers\n", 2, "", "TOML"});
}

TEST_CASE("a value of the wrong type is refused with the type that is wanted") {
    refuses({"[site]\nfall_m = \"two\"\n", 2, "\"fall_m\" is not a number", "fall_m = 2.5"});
    refuses({"[site]\nname = 7\n", 2, "\"name\" is not text", "quotation marks"});
    refuses({"[answers]\nbeat_now = 3\n", 2, "not text", "stopped_open"});
    refuses({"\nsite = 5\n", 2, "\"site\" is not a table", "[site]"});
    refuses(
        {"first_told = \"beat_now\"\n[answers]\nbeat_now = \"steady\"\n", 1, "not a list", "first_told = ["});
    refuses({"[measured]\nW = true\n", 2, "\"W\" is not a figure", "12.5 L/min"});
    refuses({"[after]\nQ = 4\nyes = \"perhaps\"\n", 3, "neither true nor false", "yes = true"});
    refuses({"care = \"great\"\n", 1, "neither \"careful\" nor \"sloppy\"", "one of them"});
}

TEST_CASE("a figure that cannot be is refused with what can be") {
    refuses({"[site]\nlift_m = 8\nfall_m = 4000\n", 3, "4000 cannot be right", "0.1 to 100"});
    refuses({"[measured]\nQ = 5\nW = 90000\n", 3, "cannot be", "between"});
    refuses({"[after]\nyes = true\nQ = 90000\n", 3, "cannot be", "between"});
}

TEST_CASE("what is told first needs its answer, and a cause must be one of the pack") {
    refuses({"first_told = [\"beat_now\"]\n", 1, "has no answer", "under [answers]"});
    refuses({"cause = \"screen_mated\"\n", 1, "not a cause", "screen_matted"});
    refuses({"[then]\n[then.answers]\nbeat_nov = \"steady\"\n", 3, "not an observation", "beat_now"});
}

TEST_CASE("a word from elsewhere is left alone and told") {
    const Result<CaseFile> file = read_case("weather = \"wet\"\n[answers]\nbeat_now = \"steady\"\n", "c.toml", shipped_pack());
    REQUIRE(file.has_value());
    REQUIRE(file->notes.size() == 1);
    CHECK(file->notes.front() == "c.toml:1: \"weather\" is not used.");
}

TEST_CASE("what holds after the first verdict keeps the rest and names its own cause") {
    const Result<CaseFile> file = read_case("cause = \"waste_propped\"\n"
                                            "[answers]\nbeat_now = \"stopped_open\"\nopen_flow = \"strong\"\n"
                                            "[after]\nQ = 3\nyes = true\n"
                                            "[then]\ncause = \"header_silted\"\n"
                                            "[then.answers]\nopen_flow = \"weaker\"\n",
                                            "c.toml", shipped_pack());
    REQUIRE(file.has_value());
    CHECK(file->after_yes == true);
    REQUIRE(file->then.size() == 1);
    const CaseFile& then = file->then.front();
    CHECK(then.cause == "header_silted");
    CHECK(then.answers.at("beat_now") == "stopped_open");
    CHECK(then.answers.at("open_flow") == "weaker");
    CHECK(then.after.empty());
    CHECK_FALSE(then.after_yes.has_value());
}

// --- how good the shipped pack is ---

std::size_t likeliest_answer(const Model& model, std::size_t observation, std::size_t cause) {
    std::size_t best = model.answers(observation);
    for (std::size_t a = 0; a < model.answers(observation); ++a) {
        if (model.is_cannot(observation, a))
            continue;
        if (best == model.answers(observation) ||
            model.likelihood(observation, cause, a) > model.likelihood(observation, cause, best)) {
            best = a;
        }
    }
    return best;
}

TEST_CASE("a typical visit of nearly every cause ends at its fix") {
    const Pack& pack = shipped_pack();
    const Model& model = shipped_model();
    int right = 0, asked = 0;
    std::string misses;
    for (std::size_t c = 0; c < pack.causes.size(); ++c) {
        CaseFile file;
        file.site.record.beat = beats_per_minute(60); // without it the beat is not set beside a record
        file.cause = pack.causes[c].id;
        for (std::size_t o = 0; o < pack.observations.size(); ++o) {
            const Observation& observation = pack.observations[o];
            file.answers[observation.id] = observation.answers[likeliest_answer(model, o, c)].id;
        }
        const PlayedCase played = play_case(file, pack, model);
        asked += played.asked;
        right += leads_to(played, pack.causes[c]);
        if (!leads_to(played, pack.causes[c]))
            misses += "\n  " + file.cause + " taken for " + found_by(played);
    }
    const double mean = asked / static_cast<double>(pack.causes.size());
    MESSAGE(right, " of ", pack.causes.size(), " typical visits end at the right fix, ", mean,
            " questions on average. Missed:", misses);
    CHECK(pack.causes.size() == 60);
    CHECK(right >= 58); // measured with pack 1.0.0: 58
    CHECK(mean <= 9.2); // measured: 8.9
}

/// 0 <= x < 1, the same on every machine.
double drawn(std::mt19937& random) {
    return static_cast<double>(random()) / 4294967296.0;
}

template <class Weight>
std::size_t drawn_index(std::mt19937& random, std::size_t count, Weight weight) {
    double sum = 0;
    for (std::size_t i = 0; i < count; ++i)
        sum += weight(i);
    double left = drawn(random) * sum;
    std::size_t last = 0;
    for (std::size_t i = 0; i < count; ++i) {
        if (weight(i) <= 0)
            continue;
        last = i;
        left -= weight(i);
        if (left < 0)
            break;
    }
    return last;
}

/// A visit as the model itself imagines it: the cause by how common it is, each answer by its chance under
/// that cause, one in ten not to be had. It says how well the questions are chosen, and nothing of how well
/// the pack describes real pumps.
CaseFile drawn_visit(std::mt19937& random, const Pack& pack, const Model& model, std::size_t& cause) {
    constexpr double cannot_tell = 0.1;
    cause = drawn_index(random, pack.causes.size(), [&](std::size_t c) { return pack.causes[c].per_1000; });
    CaseFile file;
    file.site.record.beat = beats_per_minute(60);
    file.cause = pack.causes[cause].id;
    for (std::size_t o = 0; o < pack.observations.size(); ++o) {
        const std::size_t answer = drawn_index(random, model.answers(o), [&](std::size_t a) {
            return model.is_cannot(o, a) ? 0 : model.likelihood(o, cause, a);
        });
        if (drawn(random) >= cannot_tell) {
            file.answers[pack.observations[o].id] = pack.observations[o].answers[answer].id;
        }
    }
    return file;
}

TEST_CASE("more than half of the visits drawn from the pack's own chances end at the right fix first") {
    const Pack& pack = shipped_pack();
    const Model& model = shipped_model();
    constexpr unsigned seed = 1796;
    constexpr int visits = 500;
    std::mt19937 random(seed);
    int right = 0, asked = 0, doubted = 0;
    for (int i = 0; i < visits; ++i) {
        std::size_t cause = 0;
        const CaseFile file = drawn_visit(random, pack, model, cause);
        const PlayedCase played = play_case(file, pack, model);
        doubted += played.notes.empty() ? 0 : 1;
        right += leads_to(played, pack.causes[cause]);
        asked += played.asked;
        REQUIRE(played.asked <= StepRules{}.most_questions + 40);
    }
    const double share = right / static_cast<double>(visits), mean = asked / static_cast<double>(visits);
    MESSAGE("seed ", seed, ": right fix first in ", share, " of ", visits, " drawn visits, ", mean,
            " questions on average; in ", doubted, " two answers excluded each other");
    // The marks are drawn one by one here, slips and all, so that some visits hold what no pump shows.
    CHECK(doubted < visits / 4);
    // Measured with pack 1.2.0: 0.848 and 9.28; with pack 1.1.0 and the same rule 0.822 and 9.10. The floor only guards
    // against getting worse.
    CHECK(share >= 0.80);
    CHECK(mean <= 10);
}

} // namespace
} // namespace beckhand
