// A program at work on this machine: the pack, the log and the app over them, with the machine's clock
// and randomness.
#pragma once

#include <iosfwd>
#include <memory>
#include <optional>
#include <string>

#include "app/app.h"
#include "platform/desktop/commands.h"

namespace beckhand {

inline constexpr const char* log_name = "beckhand.log.sqlite"; // in the data folder

class Session {
public:
    /// Opens the log in the folder that `options` names. The app is started: it stands where it stopped.
    [[nodiscard]] static Result<std::unique_ptr<Session>> open(const Options& options);

    [[nodiscard]] const Pack& pack() const { return pack_; }
    [[nodiscard]] Store& store() { return store_; }
    [[nodiscard]] App& app() { return *app_; }

private:
    Session(Pack pack, Store store, const Options& options);
    Pack pack_;
    Store store_;
    std::unique_ptr<App> app_;
};

/// The machine's clock and its source of random ids.
[[nodiscard]] Instant clock_now();
[[nodiscard]] std::array<std::uint8_t, 16> random_bytes();

/// Asks for a new site's figures one by one and saves it; an empty line leaves a figure unknown. Returns
/// its id, or nothing when the person leaves.
[[nodiscard]] std::optional<std::string> describe_site(Session& session, const std::string& name, std::istream& in,
                                                       std::ostream& out);

} // namespace beckhand
