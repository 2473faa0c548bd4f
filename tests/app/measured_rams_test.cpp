// The file of measured rams, its table and its plot: read whole, told in a sentence when it is wrong, written
// as SVG or PNG by the command.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include <sys/wait.h>

#include "app/terminal/case_file.h"
#include "app/terminal/measured_rams.h"

namespace beckhand {
namespace {

const std::string small_file = R"([bands]
flow = 0.20
efficiency = 0.20
beats = 0.25
head = 0.20
[[machine]]
name = "Mill & pond"
source = "invented"
site = { fall_m = 2, lift_m = 14, drive_length_m = 12, drive_bore_mm = 52.5 }
[[machine.row]]
name = "as found"
parts = { "waste_valve.travel_m" = 0.009 }
measured = { beats_per_min = 45, lifted_l_per_min = 1000 }
seconds = 20
)";

std::string swapped(const std::string& from, const std::string& to) {
    std::string text = small_file;
    text.replace(text.find(from), from.size(), to);
    return text;
}

std::string complaint(const std::string& text) {
    const auto rams = read_measured_rams(text, "rams.toml");
    return rams ? "" : rams.error().sentence();
}

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

TEST_CASE("a row is run with its own parts and each figure says whether it is in its band") {
    const auto rams = read_measured_rams(small_file, "rams.toml");
    REQUIRE(rams.has_value());
    CHECK(rams->machines[0].rows[0].design.waste_valve.travel_m == 0.009);
    const std::vector<ComparedFigure> figures = compare(*rams);
    REQUIRE(figures.size() == 2);
    CHECK(figures[0].in_band == (figures[0].ratio() >= 0.75 && figures[0].ratio() <= 1.25));
    CHECK_FALSE(figures[1].in_band); // nobody lifts 1000 l/min with two inches
    const std::string text = compared_text(*rams, figures);
    CHECK(holds(text, "MISSES"));
    CHECK(holds(text, std::string(figures[0].in_band ? "1" : "0") + " of 2 figures"));
    const std::string svg = svg_of(compared_plot(*rams, figures));
    CHECK(holds(svg, "Mill &amp; pond"));
    CHECK(holds(svg, "Beats a minute, band 25 %"));
    CHECK(holds(svg, "measured"));
}

TEST_CASE("a wrong file of measured rams is told where and what") {
    CHECK(complaint(small_file).empty());
    CHECK(holds(complaint(swapped("beats = 0.25\n", "")), "\"beats\" is missing"));
    CHECK(holds(complaint(swapped("waste_valve.travel_m", "waste_valve.travl_m")), "Did you mean"));
    CHECK(holds(complaint(swapped("beats_per_min", "beats_per_mn")), "\"beats_per_mn\" is not a key here"));
    CHECK(holds(complaint(swapped("fall_m = 2, ", "")), "The fall is not known"));
    CHECK(holds(complaint(swapped("fall_m = 2,", "fall_m = \"two\",")), "rams.toml:9"));
    CHECK(holds(complaint(swapped("source = \"invented\"\n", "")), "\"source\" is missing"));
    CHECK(holds(complaint(swapped("= 1000 }", "= 0 }")), "too small"));
    CHECK(holds(complaint("[bands\n"), "rams.toml:1"));
    CHECK(holds(complaint(""), "no [bands]"));
}

TEST_CASE("the command compares, draws SVG and PNG, and ends with 2 for a wrong file") {
    const std::string folder = (std::filesystem::temp_directory_path() / "beckhand_measured_rams").string();
    std::filesystem::create_directories(folder);
    std::ofstream(folder + "/good.toml") << small_file;
    std::ofstream(folder + "/bad.toml") << swapped("head = 0.20\n", "");
    std::ofstream(folder + "/site.toml") << "fall_m = 2\nlift_m = 14\ndrive_bore_mm = 50\n";
    const auto code = [&](const std::string& words) {
        const std::string quiet = " >" + folder + "/out 2>" + folder + "/err";
        const int status = std::system((std::string(PROGRAM) + " pump " + words + quiet).c_str());
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    };
    const auto file = [&](const char* name) {
        const auto text = read_text_file(folder + "/" + name);
        return text ? *text : std::string();
    };
    const auto is_png = [&](const char* name) {
        const std::string bytes = file(name);
        return bytes.size() > 4000 && bytes.compare(0, 4, "\x89PNG") == 0;
    };
    CHECK(code("--against " + folder + "/good.toml --plot " + folder + "/all.svg") == 0);
    CHECK(holds(file("out"), "figures within their bands"));
    CHECK(holds(file("all.svg"), "</svg>"));
    CHECK(code("--against " + folder + "/good.toml --plot " + folder + "/all.png") == 0);
    CHECK(is_png("all.png"));
    CHECK(code(folder + "/site.toml --seconds 10 --plot " + folder + "/run.PNG") == 0);
    CHECK(is_png("run.PNG"));
    CHECK(code("--against " + folder + "/bad.toml") == 2);
    CHECK(holds(file("err"), "\"head\" is missing"));
    CHECK(code("--against " + folder + "/none.toml") == 2);
    CHECK(code("--against " + folder + "/good.toml --plot " + folder + "/none/all.png") == 2);
    CHECK(code("--against " + folder + "/good.toml " + folder + "/site.toml") == 2);
    CHECK(code("") == 2);
    std::filesystem::remove_all(folder);
}

} // namespace
} // namespace beckhand
