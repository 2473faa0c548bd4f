#include "platform/desktop/session.h"

#include <chrono>
#include <ctime>
#include <random>
#include <utility>

#include "platform/desktop/bundle_log.h"
#include "platform/desktop/logging.h"
#include "platform/desktop/paths.h"

namespace beckhand {
Instant clock_now() {
    const auto since_1970 = std::chrono::system_clock::now().time_since_epoch();
    return Instant{std::chrono::duration_cast<std::chrono::milliseconds>(since_1970).count()};
}

std::array<std::uint8_t, 16> random_bytes() {
    std::random_device device;
    std::array<std::uint8_t, 16> bytes{};
    for (std::uint8_t& byte : bytes) {
        byte = static_cast<std::uint8_t>(device() & 0xff);
    }
    return bytes;
}

int minutes_ahead_here(Instant at) {
    const std::time_t whole_seconds = static_cast<std::time_t>(at.ms / 1000);
    std::tm here{};
    return localtime_r(&whole_seconds, &here) == nullptr ? 0 : static_cast<int>(here.tm_gmtoff / 60);
}

Session::Session(Pack pack, Store store, const Options& options) : pack_(std::move(pack)), store_(std::move(store)) {
    app_ = std::make_unique<App>(pack_, Services{&store_, clock_now, random_bytes, minutes_ahead_here});
    app_->start();
    if (!options.units.empty()) {
        app_->act(SetUnits{options.units == "us" ? Units::us : Units::metric});
    }
}

Result<std::unique_ptr<Session>> Session::open(const Options& options) {
    Result<Pack> pack = load_pack(options);
    if (!pack) return pack.error();
    Result<std::string> folder = data_folder(options.data);
    Problem why;
    if (folder) {
        start_logging(*folder);
        Result<Store> store = Store::open(*folder + "/" + log_name, random_bytes);
        if (store) {
            // A taking in that was cut off; where it still cannot be done, `take-in` says why.
            (void)finish_taking_in(*store, clock_now());
            return std::unique_ptr<Session>(new Session(std::move(*pack), std::move(*store), options));
        }
        // A log that is open elsewhere, newer or no log at all is the person's to settle; a place that
        // takes no files must not stop the work at the pump.
        if (can_write(*folder)) return store.error();
        why = store.error();
    } else {
        why = folder.error();
    }
    Result<Store> store = Store::open(":memory:", random_bytes);
    if (!store) return store.error();
    store->put_notice({why.where, why.what + " The visit goes on, but it is KEPT IN MEMORY ONLY and is lost when "
                                             "Beckhand or the device stops.",
                       "At the end Beckhand asks for a folder to save it in; or start it again now with --data and "
                       "a folder that can be written to."});
    auto session = std::unique_ptr<Session>(new Session(std::move(*pack), std::move(*store), options));
    session->only_in_memory_ = true;
    return session;
}

bool offer_to_save(Session& session, std::istream& in, std::ostream& out) {
    if (!session.only_in_memory()) return true;
    const auto visits = session.store().visits();
    if (visits && visits->empty()) return true;
    for (std::string folder;;) {
        out << "This log is in memory only. Folder to save it in (empty: lose it): " << std::flush;
        if (!std::getline(in, folder) || folder.empty()) return false;
        const auto there = data_folder(folder);
        const Outcome saved = there ? session.store().save_to(*there + "/" + log_name) : Outcome(there.error());
        out << (saved ? "Saved." : saved.error().sentence()) << "\n";
        if (saved) return true;
    }
}

} // namespace beckhand
