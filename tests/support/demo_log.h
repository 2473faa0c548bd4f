// The demo's year in a log of its own, for tests that need real visits.
#pragma once

#include <doctest/doctest.h>

#include <utility>

#include "app/terminal/demo.h"
#include "tests/support/shipped_model.h"
#include "tests/support/shipped_pack.h"

namespace beckhand::tests {

inline const Demo& shipped_demo() {
    static const Demo demo = [] {
        const Result<std::string> text = read_text_file(SOURCE_FOLDER "/assets/demo.toml");
        REQUIRE(text.has_value());
        Result<Demo> read = read_demo(*text, "demo.toml", shipped_pack());
        REQUIRE_MESSAGE(read.has_value(), (read ? "" : read.error().sentence()));
        return *read;
    }();
    return demo;
}

inline Store demo_log() {
    Result<Store> store = Store::open(":memory:");
    REQUIRE(store.has_value());
    REQUIRE(fill_log(shipped_demo(), shipped_pack(), *store).has_value());
    return std::move(*store);
}

} // namespace beckhand::tests
