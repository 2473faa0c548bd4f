// Pipe friction against printed factors and worked examples.
#include <doctest/doctest.h>

#include "engine/hydraulics/friction.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: friction factors are those of the open library fluids") {
    // Test values of the open library "fluids": Re, e/D, Colebrook, Swamee-Jain.
    struct Row {
        double re, roughness, colebrook, swamee_jain;
    };
    const Row rows[] = {{1e5, 1e-4, .0185138661, .0184524244},
                        {1e5, 1e-3, .0221745359, .0223423993},
                        {5e4, 0, .0208914435, .0207606111},
                        {4e3, 1e-3, .0409103899, .0416953602},
                        {1e5, 2e-3, .0251066459, .0253329165}};
    for (const Row& row : rows) {
        CAPTURE(row.re);
        CAPTURE(row.roughness);
        CHECK(off(colebrook(row.re, row.roughness), row.colebrook) <= 1e-9);
        CHECK(off(darcy_factor(row.re, row.roughness), row.colebrook) <= 1e-9);
        // The library writes (6.97/Re)^0.9 for 5.74/Re^0.9; 6.97^0.9 is 5.74 to three figures.
        CHECK(off(swamee_jain(row.re, row.roughness), row.swamee_jain) <= 1e-7);
    }
    CHECK(off(darcy_factor(128, 0.01), 0.5) <= 1e-12);  // laminar, same source
    CHECK(off(colebrook(1e5, 0), .0179897731) <= 1e-5); // smooth pipe, same source
    CHECK(share_off(colebrook(1e4, 0), .03164) <=
          0.03); // Blasius 1913: 0.3164 Re^-0.25, good to a few per cent
}

TEST_CASE("published: Hazen-Williams gives the printed losses") {
    // EPANET 2.2 User Manual: h_f(ft) = 4.727 L Q^1.852 / (C^1.852 d^4.871), ft and ft3/s.
    const auto us_form = [](double l_ft, double q_cfs, double d_ft, double c) {
        return 4.727 * l_ft * std::pow(q_cfs, 1.852) / (std::pow(c, 1.852) * std::pow(d_ft, 4.871));
    };
    const Length twelve_inch = hazen_williams_head(feet(3000), inches(12), us_gallons_per_minute(500), 130);
    CHECK(off(twelve_inch.in(feet), 2.10) <= 0.01); // open MOC library, theory appendix B.6: 2.10 ft
    CHECK(share_off(twelve_inch.in(feet), us_form(3000, 500 / 448.831, 1, 130)) <= 0.003);
    // Hydraulics exercise page: 8500 ft, 700 gpm, 8 in, C 150; 61.5 ft by the formula above.
    const Length eight_inch = hazen_williams_head(feet(8500), inches(8), us_gallons_per_minute(700), 150);
    CHECK(share_off(eight_inch.in(feet), 61.5) <= 0.003);
    // The SI form of the same manual: 100 m, 1.0 L/s, 52.5 mm, C 120.
    CHECK(off(hazen_williams_head(metres(100), millimetres(52.5), litres_per_second(1), 120).in(metres),
              0.716) <= 0.001);
}

TEST_CASE("published: Darcy-Weisbach agrees with the short US form of the EPANET manual") {
    // EPANET 2.2 User Manual: h_f = 0.0252 f L Q^2 / d^5, ft and ft3/s. 0.0252 is printed to three figures.
    const Pipe pipe{feet(1000), inches(4), Length{}, PipeMaterial::steel, feet(0.15e-3)};
    const KinematicViscosity nu = square_metres_per_second(1.0034e-6);
    const FlowRate q = cubic_feet_per_second(0.3);
    const double f = colebrook(reynolds(speed_in(pipe.bore, q), pipe.bore, nu), pipe.roughness / pipe.bore);
    const double us_form = 0.0252 * f * 1000 * 0.3 * 0.3 / std::pow(4.0 / 12, 5);
    CHECK(share_off(friction_head(pipe, q, nu).in(feet), us_form) <= 0.003);
}

TEST_CASE("published: laminar loss is Hagen and Poiseuille's") {
    // Hagen 1839, Poiseuille 1840: h = 128 nu L Q / (pi g D^4).
    const Pipe pipe{metres(30), millimetres(20), Length{}, PipeMaterial::copper, millimetres(0.0015)};
    const double nu = 1.3e-6, q = 1e-5; // Re about 490
    const double head = 128 * nu * 30 * q / (3.14159265358979 * g_si * std::pow(0.020, 4));
    CHECK(share_off(friction_head(pipe, cubic_metres_per_second(q), square_metres_per_second(nu)).in(metres),
                    head) <= 1e-9);
}
