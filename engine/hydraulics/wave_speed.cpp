// Korteweg's wave speed with the restraint factors of Wylie & Streeter, and Joukowsky's rise.
#include "engine/hydraulics/wave_speed.h"

#include <cmath>

namespace beckhand {

double restraint_factor(Length bore, Length wall, double poisson, Restraint restraint, WallForm form) {
    double thin = 1;
    if (restraint == Restraint::anchored_at_source) {
        thin = 1 - poisson / 2;
    }
    if (restraint == Restraint::anchored_throughout) {
        thin = 1 - poisson * poisson;
    }
    if (form == WallForm::thin || (form == WallForm::by_ratio && bore >= 25 * wall)) {
        return thin;
    }
    return 2 * (wall / bore) * (1 + poisson) + bore / (bore + wall) * thin;
}

Speed wave_speed(const Water& water, Length bore, Length wall, Pressure modulus, double poisson,
                 Restraint restraint, WallForm form) {
    const double rigid = std::sqrt(water.bulk_modulus.si() / water.density.si());
    if (wall <= Length{} || modulus <= Pressure{}) {
        return metres_per_second(rigid);
    }
    const double c = restraint_factor(bore, wall, poisson, restraint, form);
    const double give = c * (water.bulk_modulus / modulus) * (bore / wall);
    return metres_per_second(rigid / std::sqrt(1 + give));
}

Speed wave_speed(const Water& water, const Pipe& pipe, Restraint restraint) {
    const MaterialData& stuff = material_data(pipe.material);
    const Length wall = pipe.wall > Length{} ? pipe.wall : usual_wall(pipe.material, pipe.bore);
    return wave_speed(water, pipe.bore, wall, stuff.modulus, stuff.poisson, restraint);
}

Pressure joukowsky_pressure(Density density, Speed wave, Speed stopped) {
    return density * wave * stopped;
}

Length joukowsky_head(Speed wave, Speed stopped) {
    return wave * stopped / standard_gravity;
}

Duration round_trip(Length length, Speed wave) {
    return 2 * length / wave;
}

SlowClosure slow_closure(Length length, Speed speed, Length head, Duration closing) {
    const double root = (length * speed) / (standard_gravity * head * closing);
    const double k1 = root * root, spread = std::sqrt(k1 * k1 / 4 + k1);
    return {k1 / 2 + spread, k1 / 2 - spread};
}

} // namespace beckhand
