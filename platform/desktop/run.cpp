#include "platform/desktop/run.h"

#include "platform/desktop/embedded.h"
#include "platform/desktop/logging.h"
#include "platform/desktop/microphone.h"
#include "platform/desktop/work_slice.h"

namespace beckhand {

Outcome run_window(App& app, kit::Kit& kit, const WindowChoice& choice) {
    const auto window = Window::open(choice);
    if (!window) {
        return window.error();
    }
    log_line("window opened");
    kit.let_move(true); // the window wakes when a drawing asks for its next frame
    constexpr double most_seconds = 3600.0; // nothing to do until something happens
    const auto draw = [&app](kit::Kit& with) { return app.frame(with); };
    const auto look = [&app] { return Look{app.state().theme, app.state().text_scale, app.state().glass_percent}; };
    Microphone microphone;
    bool working = true, listening = false;
    while ((*window)->step(kit, look(), draw, working ? 0.0 : listening ? Microphone::seconds_between : most_seconds)) {
        const Worked worked = work_a_slice(app);
        working = worked.more;
        const bool heard = microphone.follow(app);
        listening = microphone.open();
        if (worked.any || heard) (*window)->redraw();
    }
    log_line("window closed");
    return Done{};
}

std::unique_ptr<kit::Kit> kit_with_letters() {
    return std::make_unique<kit::Kit>(embedded_regular(), embedded_bold());
}

} // namespace beckhand
