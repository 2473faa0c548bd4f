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
    bool listening = false;   // the page was asked for its microphone
    int last_number = 0;
    bool unseen_work = false;                   // was done beside the drawing, and is not drawn yet
    double work_seen_ms = -1e9;
    std::string shown;                          // screen, as the page knows it
    int ground = -1;                            // its colour, 0xRRGGBB
};

/// Lives as long as the page: a browser does not say when it ends.
[[nodiscard]] Program& program();

} // namespace beckhand
