// The drawn cross-section as geometry: levels in order, lengths right, nothing outside its bounds.
#include <doctest/doctest.h>

#include <cmath>

#include "app/kit/installation.h"

using namespace beckhand;
using kit::Section;
using kit::section_of;

namespace {

Site site_with(double fall, double lift, double drive, double delivery) {
    Site site;
    site.fall = metres(fall);
    site.lift = metres(lift);
    site.drive_length = metres(drive);
    site.delivery_length = metres(delivery);
    return site;
}

double length_of(const std::vector<Section::Point>& line) {
    double length = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        length += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
    }
    return length;
}

void check_within(const Section& s, Section::Point point) {
    CHECK(std::isfinite(point.x));
    CHECK(std::isfinite(point.y));
    CHECK(point.x >= s.left - 1e-9);
    CHECK(point.x <= s.left + s.width + 1e-9);
    CHECK(point.y >= s.bottom - 1e-9);
    CHECK(point.y <= s.top + 1e-9);
}

void check_sound(const Section& s) {
    CHECK(s.width > 0);
    CHECK(s.top > s.bottom);
    CHECK(s.intake.x < s.drive_foot.x);
    CHECK(s.drive_foot.x < s.delivery_foot.x);
    CHECK(s.delivery_foot.x < s.tank.x);
    CHECK(s.intake.y > s.drive_foot.y); // water runs down the drive pipe
    CHECK(s.tank.y > s.intake.y);       // and is lifted above its source
    CHECK(s.summit.y >= s.tank.y);
    for (const auto& line : {s.ground, s.drive_pipe, s.delivery_pipe}) {
        for (std::size_t i = 0; i < line.size(); ++i) {
            check_within(s, line[i]);
            if (i > 0)
                CHECK(line[i].x >= line[i - 1].x); // from the source to the tank, never back
        }
    }
    for (const Section::Point point :
         {s.intake, s.drive_foot, s.pump, s.vessel_top, s.delivery_foot, s.summit, s.tank}) {
        check_within(s, point);
    }
}

} // namespace

TEST_CASE("a usual site is drawn in its own proportions") {
    const Section s = section_of(site_with(3.0, 6.0, 15.0, 40.0));
    check_sound(s);
    CHECK(s.heights_true);
    CHECK(s.tank.y - s.pump.y == doctest::Approx(6.0)); // the lift counts from the waste valve
    CHECK(length_of(s.drive_pipe) == doctest::Approx(15.0));
}

TEST_CASE("the drive pipe keeps its length, or says that it is drawn otherwise") {
    for (const double length : {4.0, 10.0, 20.0, 35.0}) {
        CAPTURE(length);
        const Section s = section_of(site_with(3.0, 6.0, length, 30.0));
        check_sound(s);
        CHECK(length_of(s.drive_pipe) == doctest::Approx(length));
    }
    const Section long_pipe = section_of(site_with(1.0, 2.0, 200.0, 30.0));
    check_sound(long_pipe);
    CHECK(length_of(long_pipe.drive_pipe) < 200.0);
    CHECK_FALSE(long_pipe.lengths_true);
    const Section short_pipe =
        section_of(site_with(3.0, 6.0, 2.0, 30.0)); // shorter than the fall: not possible
    check_sound(short_pipe);
    CHECK_FALSE(short_pipe.lengths_true);
}

TEST_CASE("a lift of many falls is drawn nearer and not called true") {
    const Section s = section_of(site_with(1.5, 60.0, 9.0, 300.0));
    check_sound(s);
    CHECK_FALSE(s.heights_true);
    CHECK(s.tank.y < 60.0);
    CHECK(s.intake.y / s.top > 0.25); // the fall can still be seen
}

TEST_CASE("a delivery pipe over a hump has its summit above the tank") {
    Site site = site_with(3.0, 6.0, 15.0, 40.0);
    site.delivery_summit = metres(7.5);
    const Section s = section_of(site);
    check_sound(s);
    CHECK(s.summit.y == doctest::Approx(7.5));
    CHECK(s.summit.x < s.tank.x);
}

TEST_CASE("a site that nobody has measured is drawn all the same, and makes no claim") {
    Site site;
    const Section s = section_of(site);
    check_sound(s);
    CHECK_FALSE(s.heights_true);
    CHECK_FALSE(s.lengths_true);
    site.fall = metres(-1.0); // nonsense is not drawn
    check_sound(section_of(site));
    site.lift = metres(std::nan(""));
    check_sound(section_of(site));
    site.drive_length = metres(1e12);
    check_sound(section_of(site));
}

TEST_CASE("every part that can be marked has a name") {
    for (const char* const part : {"intake", "drive_pipe", "fall", "waste_valve", "check_valve", "air_vessel",
                                   "delivery", "tank", "body"}) {
        CHECK_FALSE(kit::part_name(part).empty());
    }
    CHECK(kit::part_name("whole").empty()); // the whole installation is not marked
    CHECK(kit::part_name("nothing of the kind").empty());
}
