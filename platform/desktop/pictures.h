// Every screen by name, reached as a person would reach it: from the demo's log, by pressing and answering.
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "app/app.h"
#include "app/terminal/demo.h"

namespace beckhand {

struct NamedScreen {
    std::string name;
    std::function<bool(App&, const Demo&)> reach;   // false when the pack has no way there
};

/// sites, site, edit, keypad, trend, round, first_sight, question, question_newcomer, doubt, measure, stop, finding, finding_weak, check, unchecked,
/// fix, proof, look, verdict, not_proved, ended_open, ended, log, record, choices.
[[nodiscard]] const std::vector<NamedScreen>& named_screens();

/// The log of the demo's year.
[[nodiscard]] Result<std::vector<LogEntry>> demo_year(const Pack& pack, const Demo& demo);

/// An app over a log of its own in memory, filled with the demo's year, its clock standing still.
class DemoApp {
public:
    /// `year`: what demo_year gave, where many apps are made; without it the demo is played anew.
    [[nodiscard]] static Result<std::unique_ptr<DemoApp>> make(const Pack& pack, const Demo& demo,
                                                               std::span<const LogEntry> year = {});
    [[nodiscard]] App& app() { return *app_; }

private:
    explicit DemoApp(Store store) : store_(std::move(store)) {}
    Store store_;
    std::int64_t ids_ = 0;
    std::unique_ptr<App> app_;
};

} // namespace beckhand
