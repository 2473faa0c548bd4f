// Pipe walls, ratings and materials against the standards' tables.
#include <doctest/doctest.h>

#include "engine/hydraulics/pipe.h"
#include "tests/published/off.h"

using namespace beckhand;
using namespace beckhand::published;

TEST_CASE("published: the usual wall is Schedule 40") {
    // ASME B36.10 Schedule 40, bore and wall mm.
    const double steel[][2] = {{15.76, 2.77}, {20.96, 2.87}, {26.64, 3.38}, {35.08, 3.56}, {40.94, 3.68},
                               {52.48, 3.91}, {62.68, 5.16}, {77.92, 5.49}, {102.26, 6.02}};
    for (const auto& row : steel) {
        CHECK(off(usual_wall(PipeMaterial::steel, millimetres(row[0])).in(millimetres), row[1]) <= 1e-6);
    }
    // ASTM D1785 PVC Schedule 40, bore and wall mm: the same pipe sizes in plastic.
    const double pvc[][2] = {{15.799, 2.769}, {20.930, 2.870}, {26.645, 3.378},
                             {35.052, 3.556}, {40.894, 3.683}, {52.502, 3.912}};
    for (const auto& row : pvc) {
        CHECK(off(usual_wall(PipeMaterial::rigid_plastic, millimetres(row[0])).in(millimetres), row[1]) <=
              0.01);
    }
    // ASTM F2619 IPS sizes, PE DR 11, bore and wall mm; bore / 9 follows from DR = outside / wall = 11.
    const double pe[][2] = {{17.48, 1.93}, {21.85, 2.41}, {27.30, 3.05},
                            {34.48, 3.84}, {39.48, 4.39}, {49.35, 5.49}};
    for (const auto& row : pe) {
        CHECK(off(usual_wall(PipeMaterial::soft_plastic, millimetres(row[0])).in(millimetres), row[1]) <=
              0.02);
    }
}

TEST_CASE("published: PVC ratings follow P = 2 S t / (D - t)") {
    // ASTM D1785 ratings at 73 F, S 2000 psi: outside mm, wall mm, psi. Printed ratings are rounded to 10 psi
    // in the small sizes.
    const double rows[][3] = {{21.336, 2.769, 600}, {26.67, 2.870, 480}, {33.401, 3.378, 450}, // Schedule 40
                              {42.164, 3.556, 368}, {48.26, 3.683, 330}, {60.325, 3.912, 277}};
    for (const auto& row : rows) {
        CHECK(share_off(pvc_rating(millimetres(row[0]), millimetres(row[1])).in(psi), row[2]) <= 0.012);
    }
    // ASTM D2241: SDR 21 is the 200 psi pipe, SDR 26 the 160 psi pipe (2 in: 54.585/2.870 and 55.702/2.311
    // mm).
    CHECK(share_off(pvc_rating(millimetres(54.585 + 2 * 2.870), millimetres(2.870)).in(psi), 200) <= 0.005);
    CHECK(share_off(pvc_rating(millimetres(55.702 + 2 * 2.311), millimetres(2.311)).in(psi), 160) <= 0.005);
}

TEST_CASE("published: warm water takes PVC's strength") {
    // PVC pipe tables: factor of the rating at degrees Fahrenheit.
    const double rows[][2] = {{73, 1.00},  {80, 0.88},  {90, 0.75},  {100, 0.62},
                              {110, 0.50}, {120, 0.40}, {130, 0.30}, {140, 0.22}};
    for (const auto& row : rows) {
        CHECK(off(pvc_temperature_factor(Celsius{(row[0] - 32) / 1.8}), row[1]) <= 1e-9);
    }
    CHECK(pvc_temperature_factor(Celsius{5}) == 1);
    CHECK(pvc_temperature_factor(Celsius{70}) == 0); // past the service limit
}

TEST_CASE("published: moduli and roughness of pipe materials") {
    // Japan MAFF pipeline design manual: steel 200 GPa, PE 1.0 GPa. PVC cell class sheet: 420 000 psi, nu
    // 0.41.
    CHECK(material_data(PipeMaterial::steel).modulus.in(gigapascals) == doctest::Approx(200));
    CHECK(material_data(PipeMaterial::soft_plastic).modulus.in(gigapascals) == doctest::Approx(1.0));
    CHECK(share_off(material_data(PipeMaterial::rigid_plastic).modulus.in(psi), 420000) <= 0.002);
    // EPANET 2.2 User Manual, roughness in 0.001 ft: galvanised iron 0.5, cast iron 0.85, plastic 0.005.
    CHECK(off(material_data(PipeMaterial::steel).roughness.in(feet)*1000, 0.5) <= 0.01);
    CHECK(off(material_data(PipeMaterial::cast_iron).roughness.in(feet)*1000, 0.85) <= 0.01);
    CHECK(off(material_data(PipeMaterial::rigid_plastic).roughness.in(feet)*1000, 0.005) <= 0.0001);
}
