// The pack and the demo inside the program, read once for all benchmarks of a file.
#pragma once

#include <string>

#include "app/terminal/demo.h"
#include "engine/diagnosis/pack_file.h"
#include "platform/desktop/embedded.h"

namespace beckhand {

inline const Pack& pack_inside() {
    static const Pack pack = *read_pack(embedded_pack(), "the pack inside the program");
    return pack;
}

inline const Demo& demo_inside() {
    static const Demo demo = *read_demo(std::string(embedded_demo()), "demo.toml", pack_inside());
    return demo;
}

} // namespace beckhand
