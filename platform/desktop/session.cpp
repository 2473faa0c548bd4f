#include "platform/desktop/session.h"

#include <chrono>
#include <ctime>
#include <random>
#include <utility>

#include "platform/desktop/logging.h"
#include "platform/desktop/paths.h"

namespace beckhand {
namespace {

constexpr const char* log_name = "beckhand.log.sqlite";

} // namespace

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
    if (!folder) return folder.error();
    start_logging(*folder);
    Result<Store> store = Store::open(*folder + "/" + log_name);
    if (!store) return store.error();
    return std::unique_ptr<Session>(new Session(std::move(*pack), std::move(*store), options));
}

} // namespace beckhand
