// A program at work on this machine: the pack, the log and the app over them, with the machine's clock
// and randomness.
#pragma once

#include <memory>
#include <string>

#include "app/app.h"
#include "engine/bundle/seal.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/pack_shelf.h"
#include "platform/desktop/second_folder.h"
#include "platform/desktop/speech.h"

namespace beckhand {

inline constexpr const char* log_name = "beckhand.log.sqlite"; // in the data folder

class Session {
public:
    /// Opens the log in the folder that `options` names. The app is started: it stands where it stopped. In a
    /// folder that cannot be written to the visit still goes on, in memory, and a notice says so loudly.
    [[nodiscard]] static Result<std::unique_ptr<Session>> open(const Options& options);

    [[nodiscard]] const Pack& pack() const { return pack_; }
    /// The pack that decided a visit, where it is still here; else the one in use.
    [[nodiscard]] const Pack& pack_of(const std::string& hash) const;
    [[nodiscard]] Store& store() { return store_; }
    [[nodiscard]] App& app() { return *app_; }
    /// This device's key; its seed is drawn at first use and kept beside the log, for its owner alone.
    [[nodiscard]] Result<bundle::DeviceKey> key() const;
    /// Makes the copies in the second folder that are not as new as their visits; a notice when one fails.
    void catch_up_copies();
    /// Stops what is being read aloud.
    void hush() { speech_.hush(); }
    /// The log is kept in memory alone, because its folder cannot be written to.
    [[nodiscard]] bool only_in_memory() const { return only_in_memory_; }

private:
    Session(Pack pack, PackShelf shelf, Store store, std::string folder, const Options& options);
    void keep_copies(const std::string& wanted);
    void tell_of_packs();
    [[nodiscard]] const Pack* find_pack(const std::string& hash) const;   // null when it is not here
    Pack pack_;
    PackShelf shelf_;
    Store store_;
    std::string folder_;                          // of the log; empty: in memory
    std::optional<SecondFolder> second_;
    Speech speech_;
    std::unique_ptr<App> app_;
    bool only_in_memory_ = false;
};

/// At the end of a session that was kept in memory alone: asks for a folder and saves the log there, until
/// it is saved or the person gives no folder. True when there is nothing left unsaved.
bool offer_to_save(Session& session, std::istream& in, std::ostream& out);

/// The machine's clock and its source of random ids.
[[nodiscard]] Instant clock_now();
[[nodiscard]] std::array<std::uint8_t, 16> random_bytes();
/// By the machine's time zone, summer time included.
[[nodiscard]] int minutes_ahead_here(Instant at);

} // namespace beckhand
