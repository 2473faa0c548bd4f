// The virtual pump as words, JSON, table and picture: every form shows what simulate() gave.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <vector>

#include <nlohmann/json.hpp>
#include <sys/wait.h>

#include "app/terminal/case_file.h"
#include "app/terminal/pump_plot.h"
#include "app/terminal/pump_text.h"
#include "engine/pump/ensemble.h"
#include "tests/support/shipped_pack.h"

namespace beckhand {
namespace {

/// An invented site with a source that the pump can live on.
Site hill_site() {
    const Result<Site> site =
        read_site("name = \"Fenn & Hollow <lower>\"\n"
                  "fall_m = 2.0\nlift_m = 14\ndrive_length_m = 12\ndrive_bore_mm = 52.5\n"
                  "delivery_length_m = 90\ndelivery_bore_mm = 25\nsource_flow_lpm = 60\n",
                  "hill.toml");
    REQUIRE(site.has_value());
    return *site;
}

PumpQuestion quick(double sample_every = 0) {
    PumpQuestion q;
    q.seconds = 30;
    q.drawn = 8;
    q.advise = false;
    q.sample_every_seconds = sample_every;
    return q;
}

PumpAnswer asked(const Site& site, const PumpQuestion& q) {
    const Result<PumpAnswer> answer = ask_pump(site, q);
    REQUIRE(answer.has_value());
    return *answer;
}

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::vector<std::string> split(const std::string& text, char at) {
    std::vector<std::string> parts;
    std::istringstream in(text);
    for (std::string part; std::getline(in, part, at);)
        parts.push_back(part);
    return parts;
}

/// The value of every attribute of this name.
std::vector<std::string> attributes(const std::string& svg, const std::string& name) {
    std::vector<std::string> found;
    const std::string open = " " + name + "=\"";
    for (std::size_t at = svg.find(open); at != std::string::npos; at = svg.find(open, at + 1)) {
        const std::size_t from = at + open.size();
        found.push_back(svg.substr(from, svg.find('"', from) - from));
    }
    return found;
}

/// Names of the elements that do not close as XML wants it; empty when all do.
std::string unbalanced(const std::string& svg) {
    std::vector<std::string> open;
    for (std::size_t at = svg.find('<'); at != std::string::npos; at = svg.find('<', at + 1)) {
        const std::size_t end = svg.find('>', at);
        if (end == std::string::npos)
            return "a tag without an end";
        const std::string tag = svg.substr(at + 1, end - at - 1);
        if (tag.back() == '/')
            continue;
        if (tag.front() == '/') {
            if (open.empty() || open.back() != tag.substr(1))
                return tag;
            open.pop_back();
        } else {
            open.push_back(tag.substr(0, tag.find_first_of(" \n")));
        }
    }
    return open.empty() ? "" : open.back();
}

// --- JSON ---

TEST_CASE("the pump's JSON has the figures of simulate() to the last bit, and the design they come from") {
    const PumpAnswer a = asked(hill_site(), quick());
    const auto json = nlohmann::json::parse(pump_json(a));
    const PumpRun run = simulate(*design_for(hill_site()), {.seconds = 30, .warm_up_seconds = 7.5});
    CHECK(json["run"]["valve"] == "runs");
    CHECK(json["run"]["beat_hz"].get<double>() == run.beat.si());
    CHECK(json["run"]["beat_unsteadiness"].get<double>() == run.beat_unsteadiness);
    CHECK(json["run"]["drive_m3s"].get<double>() == run.drive.si());
    CHECK(json["run"]["waste_m3s"].get<double>() == run.waste.si());
    CHECK(json["run"]["delivered_m3s"].get<double>() == run.delivered.si());
    CHECK(json["run"]["efficiency"].get<double>() == run.efficiency);
    CHECK(json["run"]["vessel_mean_pa"].get<double>() == run.vessel_mean.si());
    CHECK(json["run"]["vessel_low_pa"].get<double>() == run.vessel_low.si());
    CHECK(json["run"]["vessel_high_pa"].get<double>() == run.vessel_high.si());
    CHECK(json["run"]["body_peak_pa"].get<double>() == run.body_peak.si());
    CHECK(json["fault"].is_null());
    CHECK(json["setting"].is_null());
    CHECK(json["design"].size() == parameter_names().size());
    CHECK(json["design"]["drive.length_m"].get<double>() == 12);
    const Expectation e = expect(hill_site());
    REQUIRE(e.delivered.has_value());
    CHECK(json["expected_delivered"]["least_m3s"].get<double>() == e.delivered->least.si());
    CHECK(json["expected_delivered"]["most_m3s"].get<double>() == e.delivered->most.si());
}

TEST_CASE("the spread is that of the drawn pumps, low below middle below high") {
    const PumpAnswer a = asked(hill_site(), quick());
    const auto json = nlohmann::json::parse(pump_json(a));
    Dice dice(1);
    const auto runs = simulate_many(draw_designs(*design_for(hill_site()), usual_doubts(), 8, dice),
                                    {.seconds = 30, .warm_up_seconds = 7.5, .reaches = ensemble_reaches});
    const auto beats = quantiles(runs, [](const PumpRun& r) { return r.beat.si(); }, {0.1, 0.9});
    CHECK(json["spread"]["drawn"] == 8);
    CHECK(json["spread"]["beat_hz"]["p10"].get<double>() == beats[0]);
    CHECK(json["spread"]["beat_hz"]["p90"].get<double>() == beats[1]);
    for (const char* figure : {"beat_hz", "drive_m3s", "waste_m3s", "delivered_m3s"}) {
        const auto& s = json["spread"][figure];
        CHECK(s["p10"].get<double>() < s["p50"].get<double>());
        CHECK(s["p50"].get<double>() < s["p90"].get<double>());
    }
}

TEST_CASE("the advised setting keeps to the source, and without a source none is made up") {
    PumpQuestion q = quick();
    q.advise = true;
    q.drawn = 0;
    const PumpAnswer a = asked(hill_site(), q);
    REQUIRE(a.setting.has_value());
    CHECK(a.setting->drive <= litres_per_minute(60));
    CHECK(holds(pump_text(a, Units::metric), "Stroke"));
    Site dry = hill_site();
    dry.source_flow.reset();
    const PumpAnswer b = asked(dry, q);
    CHECK_FALSE(b.setting.has_value());
    CHECK(holds(pump_text(b, Units::metric), "source_flow_lpm"));
}

// --- faults and sites that cannot be ---

TEST_CASE("an unknown fault is told, with the nearest known one") {
    const auto slip = read_fault(tests::shipped_pack(), "waste_proped=0.5");
    REQUIRE_FALSE(slip.has_value());
    CHECK(slip.error().sentence() ==
          "--fault: \"waste_proped\" is no cause of the pack. Did you mean \"waste_propped\"?");
    const auto far = read_fault(tests::shipped_pack(), "zzzzzzzzzzzzzzzzzzzz");
    REQUIRE_FALSE(far.has_value());
    CHECK(holds(far.error().todo, "Give the id of a cause"));
    CHECK_FALSE(read_fault(tests::shipped_pack(), "").has_value());
}

TEST_CASE("a severity is a number from 0 to 1 and nothing else") {
    const auto half = read_fault(tests::shipped_pack(), "waste_propped=0.5");
    REQUIRE(half.has_value());
    CHECK(half->cause.id == "waste_propped");
    CHECK(half->severity == 0.5);
    REQUIRE(read_fault(tests::shipped_pack(), "waste_propped").has_value());
    CHECK(read_fault(tests::shipped_pack(), "waste_propped")->severity == 1);
    for (const char* wrong : {"", "half", "1.5", "-0.1", "0.5x", "nan", "0,5"}) {
        CAPTURE(wrong);
        const auto read = read_fault(tests::shipped_pack(), std::string("waste_propped=") + wrong);
        REQUIRE_FALSE(read.has_value());
        CHECK(holds(read.error().sentence(), "no number from 0 to 1"));
    }
}

TEST_CASE("every cause of the pack can be put into the pump, and one that leaves it sound says why") {
    const Pack& pack = tests::shipped_pack();
    for (const Cause& cause : pack.causes) {
        CAPTURE(cause.id);
        CHECK(read_fault(pack, cause.id + "=0.5").has_value());
    }
    PumpQuestion q = quick();
    q.fault = *read_fault(pack, "tank_leaks");
    CHECK(holds(pump_text(asked(hill_site(), q), Units::metric), "The pump is sound"));
}

TEST_CASE("a site that lacks what the pump needs is told what is missing") {
    Site site = hill_site();
    site.fall.reset();
    const auto answer = ask_pump(site, quick());
    REQUIRE_FALSE(answer.has_value());
    CHECK(answer.error().sentence() == "site: The fall is not known. Measure it and add it to the site.");
}

TEST_CASE(
    "the command ends with 2 for a wrong fault, a wrong file and a site that lacks its fall, with 0 else") {
    const std::string folder = (std::filesystem::temp_directory_path() / "beckhand_pump_words").string();
    std::filesystem::create_directories(folder);
    std::ofstream(folder + "/no_fall.toml") << "lift_m = 14\ndrive_bore_mm = 50\n";
    std::ofstream(folder + "/good.toml") << "fall_m = 2\nlift_m = 14\ndrive_bore_mm = 50\n";
    const auto code = [&](const std::string& words) {
        const std::string quiet = " >" + folder + "/out 2>" + folder + "/err";
        const int status = std::system((std::string(PROGRAM) + " pump " + words + quiet).c_str());
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    };
    const auto said = [&](const char* stream) { return *read_text_file(folder + "/" + stream); };
    CHECK(code(folder + "/good.toml --seconds 10 --csv --plot " + folder + "/run.svg") == 0);
    CHECK(said("out").rfind("time_s,", 0) == 0);
    CHECK(unbalanced(said("run.svg")) == "");
    CHECK(code(folder + "/no_fall.toml") == 2);
    CHECK(holds(said("err"), "no_fall.toml: The fall is not known."));
    CHECK(code(folder + "/good.toml --fault check_wron") == 2);
    CHECK(holds(said("err"), "Did you mean \"check_worn\"?"));
    CHECK(code(folder + "/good.toml --json --csv") == 2);
    CHECK(code(folder + "/good.toml --seconds 0") == 2);
    CHECK(code(folder + "/none.toml") == 2);
    CHECK(code(folder + "/good.toml --seconds 10 --plot " + folder + "/none/run.svg") == 2);
    std::filesystem::remove_all(folder);
}

TEST_CASE("a fault shows in the words: a valve jammed shut rests shut and gives nothing") {
    PumpQuestion q = quick();
    q.fault = *read_fault(tests::shipped_pack(), "waste_jammed_shut");
    const PumpAnswer a = asked(hill_site(), q);
    CHECK(a.run.rest == ValveRest::shut);
    CHECK(a.stopped == 8);
    const std::string text = pump_text(a, Units::metric);
    CHECK(holds(text, "With the fault waste_jammed_shut, severity 1"));
    CHECK(holds(text, "rests SHUT"));
    CHECK(holds(text, "8 of 8"));
    CHECK(nlohmann::json::parse(pump_json(a))["run"]["valve"] == "shut");
}

TEST_CASE("the words have the figures in the units asked for, the band, and the cautions") {
    const PumpAnswer a = asked(hill_site(), quick());
    for (const Units units : {Units::metric, Units::us}) {
        const std::string text = pump_text(a, units);
        CHECK(holds(text, format_beat(a.run.beat, units)));
        CHECK(holds(text, format_flow(a.run.drive, units)));
        CHECK(holds(text, format_flow(a.run.waste, units)));
        CHECK(holds(text, format_flow(a.run.delivered, units)));
        CHECK(holds(text, format_pressure(a.run.body_peak, units)));
        CHECK(holds(text, format_flow(expect(hill_site()).delivered->least, units)));
        CHECK(holds(text, "waste valve shuts without warning"));
        CHECK(holds(text, "hold pressure"));
    }
}

// --- table and picture ---

TEST_CASE("the table has a line for every sample, and its figures are the samples") {
    const PumpAnswer a = asked(hill_site(), quick(0.01));
    const std::vector<std::string> lines = split(pump_csv(a), '\n');
    REQUIRE(a.run.series.size() > 1000);
    REQUIRE(lines.size() == a.run.series.size() + 1);
    const std::size_t columns = split(lines[0], ',').size();
    double worst = 0;
    for (std::size_t i = 0; i < a.run.series.size(); ++i) {
        const std::vector<std::string> cells = split(lines[i + 1], ',');
        REQUIRE(cells.size() == columns);
        const PumpSample& s = a.run.series[i];
        const double area = std::acos(-1.0) / 4 * 0.0525 * 0.0525;
        const double shown[] = {s.time_s,    s.drive_m3s / area, s.body_head_m,  s.vessel_head_m, s.drive_m3s,
                                s.waste_m3s, s.check_m3s,        s.delivery_m3s, s.valve_m};
        for (std::size_t c = 0; c < columns; ++c) {
            worst =
                std::max(worst, std::fabs(std::stod(cells[c]) - shown[c]) / (std::fabs(shown[c]) + 1e-12));
        }
    }
    CHECK(worst < 1e-6);
    CHECK(split(pump_csv(asked(hill_site(), quick())), '\n').size() == 1); // no series, no lines
}

TEST_CASE("the picture is well-formed, inside its frame, and its numbers are numbers") {
    for (const char* fault : {"", "waste_jammed_shut", "check_stuck_shut", "waste_propped"}) {
        CAPTURE(fault);
        PumpQuestion q = quick(0.005);
        q.drawn = 0;
        if (*fault != '\0')
            q.fault = *read_fault(tests::shipped_pack(), fault);
        const PumpAnswer a = asked(hill_site(), q);
        const std::string svg = svg_of(pump_plot(a, Units::metric));
        CHECK(svg.rfind("<svg xmlns=\"http://www.w3.org/2000/svg\"", 0) == 0);
        CHECK(unbalanced(svg) == "");
        CHECK(holds(svg, "Fenn &amp; Hollow &lt;lower&gt;"));
        CHECK(holds(svg, "Time, s"));
        for (const char* words :
             {"drive pipe, at the pump, m/s", "waste valve, m", "air vessel, m", "waste valve, mm"}) {
            CHECK(holds(svg, words));
        }
        const std::vector<std::string> lines = attributes(svg, "points");
        REQUIRE(lines.size() == 4);
        bool inside = true;
        std::size_t points = 0;
        for (const std::string& line : lines) {
            for (const std::string& pair : split(line, ' ')) {
                const std::vector<std::string> xy = split(pair, ',');
                REQUIRE(xy.size() == 2);
                const double x = std::stod(xy[0]), y = std::stod(xy[1]);
                inside = inside && std::isfinite(x) && std::isfinite(y) && x >= 0 && x <= 900 && y >= 0 &&
                         y <= 900;
                ++points;
            }
        }
        CHECK(inside);
        CHECK(points > 400);
        for (const char* name : {"x", "y", "x1", "y1", "x2", "y2"}) {
            for (const std::string& value : attributes(svg, name))
                CHECK(std::isfinite(std::stod(value)));
        }
    }
}

TEST_CASE("the picture keeps the needle: its highest head is the highest of the samples it shows") {
    PumpQuestion q = quick(0.005);
    q.drawn = 0;
    q.fault = *read_fault(tests::shipped_pack(), "waste_jammed_shut");
    PumpAnswer a = asked(hill_site(), q);
    // One sample alone stands 100 m over the rest.
    a.run.series[a.run.series.size() / 2].body_head_m += 100;
    const std::vector<std::string> lines = attributes(svg_of(pump_plot(a, Units::metric)), "points");
    REQUIRE(lines.size() == 4);
    double top = 1e9, middle = 0;
    std::vector<double> heights;
    for (const std::string& pair : split(lines[1], ' '))
        heights.push_back(std::stod(split(pair, ',')[1]));
    for (const double y : heights)
        top = std::min(top, y);
    std::nth_element(heights.begin(), heights.begin() + static_cast<std::ptrdiff_t>(heights.size() / 2),
                     heights.end());
    middle = heights[heights.size() / 2];
    CHECK(middle - top > 90); // of the pane's 150 dots
}

} // namespace
} // namespace beckhand
