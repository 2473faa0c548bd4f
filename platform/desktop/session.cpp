#include "platform/desktop/session.h"

#include <algorithm>
#include <chrono>
#include <ctime>
#include <filesystem>
#include <random>
#include <utility>

#include "engine/bundle/hand_over.h"
#include "platform/desktop/logging.h"
#include "platform/desktop/paths.h"

namespace beckhand {
namespace {

constexpr const char* papers_folder = "papers";

/// Beside the log, in a folder of its own; the words that say where it is are its path.
Result<std::string> save_paper(const std::string& folder, const std::string& name, const std::string& bytes) {
    if (folder.empty()) {
        return Problem{name, "There is no folder here that can be written to.", "Start Beckhand again with --data and one that can."};
    }
    const std::filesystem::path papers = std::filesystem::path(folder) / papers_folder;
    std::error_code failed;
    std::filesystem::create_directories(papers, failed);
    if (failed) return Problem{papers.string(), "This folder cannot be made.", "Make room on the disk, or free its place."};
    const std::string file = (papers / name).string();
    const Outcome written = write_whole(file, bundle::view(bytes));
    return written ? Result<std::string>(file) : Result<std::string>(written.error());
}

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

namespace {

constexpr const char* second_folder_key = "second folder";
using Seed = std::array<std::uint8_t, 32>;

Seed random_seed() {
    Seed seed{};
    const auto first = random_bytes(), second = random_bytes();
    std::copy(first.begin(), first.end(), seed.begin());
    std::copy(second.begin(), second.end(), seed.begin() + 16);
    return seed;
}

Result<Seed> kept_seed(const std::string& path) {
    if (!std::filesystem::exists(path)) {
        if (const Outcome written = write_whole(path, random_seed(), 0600); !written) return written.error();
    }
    const auto kept = read_whole(path, Seed{}.size());
    if (!kept || kept->size() != Seed{}.size()) {
        return Problem{path, "This device's key cannot be read.", "Move the file away; a new key is then made."};
    }
    Seed seed{};
    std::copy(kept->begin(), kept->end(), seed.begin());
    return seed;
}

} // namespace

Result<bundle::DeviceKey> Session::key() const {
    static const Seed in_memory = random_seed();
    const Result<Seed> seed = folder_.empty() ? Result<Seed>(in_memory) : kept_seed(folder_ + "/device.key");
    return seed ? Result<bundle::DeviceKey>(bundle::device_key(*seed)) : Result<bundle::DeviceKey>(seed.error());
}

/// Every visit that is closed goes into the second folder, and at the start those that are not there yet.
void Session::keep_copies(const std::string& wanted) {
    const auto kept = store_.setting(second_folder_key);
    const std::string folder = !wanted.empty() ? wanted : kept ? kept->value_or("") : "";
    if (folder.empty() || folder_.empty()) return;
    if (!wanted.empty()) store_.save_setting(second_folder_key, wanted, {});
    second_.emplace(folder, [this](const std::string& visit) -> Result<bundle::Bytes> {
        const auto own = key();
        return own ? bundle::sealed_visit(store_, visit, *own) : Result<bundle::Bytes>(own.error());
    });
    store_.on_closed([this](const std::string& visit) {
        if (const Outcome copied = second_->copy(visit); !copied) store_.put_notice(copied.error());
    });
    catch_up_copies();
}

void Session::catch_up_copies() {
    const auto visits = store_.visits();
    if (!second_ || !visits) return;
    if (const Outcome copied = second_->catch_up(*visits); !copied) store_.put_notice(copied.error());
}

const Pack* Session::find_pack(const std::string& hash) const { return hash == pack_.hash ? &pack_ : shelf_.find(hash); }

const Pack& Session::pack_of(const std::string& hash) const {
    const Pack* const own = find_pack(hash);
    return own != nullptr ? *own : pack_;
}

void Session::tell_of_packs() {
    if (const Outcome kept = folder_.empty() ? Outcome(Done{}) : shelf_.keep_own(); !kept) store_.put_notice(kept.error());
    for (const Problem& trouble : shelf_.troubles()) store_.put_notice(trouble);
}

Session::Session(Pack pack, PackShelf shelf, Store store, std::string folder, const Options& options)
    : pack_(std::move(pack)), shelf_(std::move(shelf)), store_(std::move(store)), folder_(std::move(folder)) {
    tell_of_packs();
    keep_copies(options.second);
    app_ = std::make_unique<App>(
        pack_, Services{&store_, clock_now, random_bytes, minutes_ahead_here,
                        [this](const std::string& name, const std::string& bytes) {
                            return save_paper(folder_, name, bytes);
                        },
                        [this](const std::string& hash) { return find_pack(hash); },
                        [this] { return key(); },
                        [this](std::vector<std::string> sentences) { return speech_.say(std::move(sentences)); }});
    app_->start();
    if (!options.units.empty()) {
        app_->act(SetUnits{options.units == "us" ? Units::us : Units::metric});
    }
}

Result<std::unique_ptr<Session>> Session::open(const Options& options) {
    Result<std::string> folder = data_folder(options.data);
    Result<PackShelf> shelf = PackShelf::open(folder ? *folder : "");
    if (!shelf) return shelf.error();
    Result<Pack> pack = options.pack_file.empty() ? Result<Pack>(shelf->in_use()) : load_pack(options);
    if (!pack) return pack.error();
    Problem why;
    if (folder) {
        start_logging(*folder);
        Result<Store> store = Store::open(*folder + "/" + log_name, random_bytes);
        if (store) return std::unique_ptr<Session>(new Session(std::move(*pack), std::move(*shelf), std::move(*store), *folder, options));
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
    auto session = std::unique_ptr<Session>(new Session(std::move(*pack), std::move(*shelf), std::move(*store), "", options));
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
