// The one program of the page.
#pragma once

#include <map>
#include <memory>
#include <string>

#include "platform/desktop/session.h"
#include "platform/desktop/window.h"

namespace beckhand {

struct Program {
    std::unique_ptr<Session> session;
    std::unique_ptr<kit::Kit> kit;
    std::unique_ptr<Window> window;
    std::map<int, Store::Completion> waiting;   // for the storages
    int last_number = 0;
    std::string shown;                          // screen, as the page knows it
};

/// Lives as long as the page: a browser does not say when it ends.
[[nodiscard]] Program& program();

} // namespace beckhand
