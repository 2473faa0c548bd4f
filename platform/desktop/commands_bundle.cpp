// Handing over, taking in, export, and erasing a person: the commands around a bundle.
#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>

#include <fcntl.h>
#include <unistd.h>

#include "engine/bundle/export.h"
#include "engine/bundle/preview.h"
#include "engine/bundle/slice_cbor.h"
#include "engine/records/event_json.h"
#include "platform/desktop/bundle_log.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/paths.h"
#include "platform/desktop/session.h"

namespace beckhand {
namespace {

namespace fs = std::filesystem;
using bundle::Bytes;
using bundle::ByteView;

/// Written beside, forced to the disk, read again, and only then given its name: a stick pulled too early
/// leaves no half bundle.
Outcome write_safely(const std::string& path, ByteView bytes, int rights = 0644) {
    const Problem failed{path, "This file cannot be written.", "Check the folder and that there is room in it."};
    const std::string part = path + ".part";
    const int file = open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, rights);
    if (file < 0) return failed;
    std::size_t done = 0;
    while (done < bytes.size()) {
        const ssize_t wrote = write(file, bytes.data() + done, bytes.size() - done);
        if (wrote <= 0) break;
        done += static_cast<std::size_t>(wrote);
    }
    const bool synced = done == bytes.size() && fsync(file) == 0;
    if (close(file) != 0 || !synced) return failed;
    std::ifstream again(part, std::ios::binary);
    const Bytes back{std::istreambuf_iterator<char>(again), std::istreambuf_iterator<char>()};
    std::error_code error;
    if (!std::equal(back.begin(), back.end(), bytes.begin(), bytes.end())) return failed;
    fs::rename(part, path, error);
    return error ? Outcome(failed) : Outcome(Done{});
}

Result<Bytes> read_file(const std::string& path, std::size_t most) {
    std::error_code error;
    const auto size = fs::file_size(path, error);
    if (error || !fs::is_regular_file(path)) return Problem{path, "There is no such file.", "Check its name."};
    if (size > most) return Problem{path, "This is larger than a bundle may be.", "Choose the file that was handed over."};
    std::ifstream file(path, std::ios::binary);
    return Bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// This device's key: its seed is drawn at first use and kept beside the log, for its owner alone.
Result<bundle::DeviceKey> own_key(const std::string& folder) {
    const std::string path = folder + "/device.key";
    std::array<std::uint8_t, 32> seed{};
    if (!fs::exists(path)) {
        const auto first = random_bytes(), second = random_bytes();
        std::copy(first.begin(), first.end(), seed.begin());
        std::copy(second.begin(), second.end(), seed.begin() + 16);
        if (const Outcome written = write_safely(path, seed, 0600); !written) return written.error();
    }
    const auto kept = read_file(path, seed.size());
    if (!kept || kept->size() != seed.size()) {
        return Problem{path, "This device's key cannot be read.", "Move the file away; a new key is then made."};
    }
    std::copy(kept->begin(), kept->end(), seed.begin());
    return bundle::device_key(seed);
}

/// All that these commands work with; a taking in that was cut off is finished first.
struct Desk {
    std::string folder;
    std::unique_ptr<Session> session;
    bundle::DeviceKey key;
    Beside beside;
    bundle::LogSlice log;
    [[nodiscard]] Store& store() { return session->store(); }
};

Result<Desk> open_desk(const Options& options) {
    Desk desk;
    const auto folder = data_folder(options.data);
    if (!folder) return folder.error();
    desk.folder = *folder;
    auto session = Session::open(options);
    if (!session) return session.error();
    desk.session = std::move(*session);
    if (const Outcome finished = finish_taking_in(desk.store(), clock_now()); !finished) return finished.error();
    const auto key = own_key(*folder);
    if (!key) return key.error();
    desk.key = *key;
    auto beside = read_beside(desk.store());
    if (!beside) return beside.error();
    desk.beside = std::move(*beside);
    auto log = slice_of(desk.store(), desk.beside);
    if (!log) return log.error();
    desk.log = std::move(*log);
    return desk;
}

bool agreed(const char* question) {
    std::printf("%s [y/N] ", question);
    std::fflush(stdout);
    std::string line;
    return std::getline(std::cin, line) && (line == "y" || line == "yes");
}

/// Closes the log, takes out of its file what is marked, and leaves the desk without a session.
Outcome blank_and_close(Desk& desk) {
    desk.session.reset();
    return blank_erased(desk.folder + "/" + log_name, desk.beside);
}

int take_receipt(Desk& desk, const bundle::Sealed& sealed, const std::string& file) {
    const auto receipt = bundle::read_receipt(sealed.inside);
    if (!receipt) return complain(receipt.error(), 2);
    for (bundle::HandOver& one : desk.beside.hand_overs) {
        const bundle::HandOver answered = with_receipt(one, *receipt, sealed.signer, desk.key.open);
        if (answered.stage == one.stage) continue;
        one = answered;
        if (const Outcome saved = save_beside(desk.store(), desk.beside); !saved) return complain(saved.error(), 1);
        std::printf("%s\n%llu entries arrived.\n", sentence(one).c_str(), static_cast<unsigned long long>(receipt->entries));
        return 0;
    }
    return complain({file, "This receipt answers no open hand-over of this log.", ""}, 2);
}

void show_signer(const Desk& desk, const bundle::PublicKey& signer) {
    const std::string digits = bundle::fingerprint(signer);
    const auto known = desk.beside.trusted.find(bundle::hex(signer));
    if (signer == desk.key.open) std::printf("Signed by this device itself.\n");
    else if (known != desk.beside.trusted.end())
        std::printf("Signed by %s (%s).\n", known->second.c_str(), digits.c_str());
    else
        std::printf("Signed by a device not known here: %s.\nCompare these digits with those the other device shows.\n",
                    digits.c_str());
}

Outcome give_receipt(Desk& desk, const bundle::Sealed& sealed, const bundle::LogSlice& offered, const std::string& file) {
    const bundle::Receipt receipt{sealed.name, digest_of(offered), offered.entries.size(), clock_now(), ""};
    const auto sealed_receipt = seal(bundle::Content::receipt, write_receipt(receipt), desk.key);
    if (!sealed_receipt) return sealed_receipt.error();
    return write_safely(file + ".receipt", *sealed_receipt);
}

} // namespace

int command_hand_over(const Options& options, const std::string& site, const std::string& file) {
    auto desk = open_desk(options);
    if (!desk) return complain(desk.error(), 1);
    if (site.empty()) {
        for (const bundle::HandOver& one : desk->beside.hand_overs) std::printf("%s\n", sentence(one).c_str());
        if (desk->beside.hand_overs.empty()) std::printf("Nothing was handed over yet.\n");
        std::printf("This device: %s\n", bundle::fingerprint(desk->key.open).c_str());
        return 0;
    }
    if (file.empty()) return complain({"hand-over", "It is not said where to.", "Give --to FILE."}, 2);
    const auto rows = desk->store().sites();
    if (!rows) return complain(rows.error(), 1);
    const auto row = std::find_if(rows->begin(), rows->end(),
                                  [&](const SiteRow& one) { return one.site.name == site || one.id == site; });
    if (row == rows->end()) return complain({site, "There is no site of this name.", "Check how it is written."}, 2);
    const bundle::LogSlice part = part_of_site(desk->log, row->id);
    const auto inside = write_slice(part);
    if (!inside) return complain(inside.error(), 1);
    const auto sealed = seal(bundle::Content::log, *inside, desk->key);
    if (!sealed) return complain(sealed.error(), 1);
    if (const Outcome written = write_safely(file, *sealed); !written) return complain(written.error(), 1);
    desk->beside.hand_overs.push_back(
        {bundle::hex(bundle::digest_of(*sealed)), row->site.name, bundle::Stage::offered, clock_now(), ""});
    if (const Outcome saved = save_beside(desk->store(), desk->beside); !saved) return complain(saved.error(), 1);
    std::printf("%s with %zu visits is in %s (%zu bytes). It is safe to take it out now.\nThis device: %s\n",
                row->site.name.c_str(), visits_of(part).size(), file.c_str(), sealed->size(),
                bundle::fingerprint(desk->key.open).c_str());
    return 0;
}

int command_take_in(const Options& options, const std::string& file, bool yes, const std::string& trust) {
    const auto bytes = read_file(file, bundle::most_packed);
    if (!bytes) return complain(bytes.error(), 2);
    const auto sealed = bundle::unseal(*bytes);
    if (!sealed) return complain({file, sealed.error().what, sealed.error().todo}, 2);
    auto desk = open_desk(options);
    if (!desk) return complain(desk.error(), 1);
    if (sealed->content == bundle::Content::receipt) return take_receipt(*desk, *sealed, file);

    const auto offered = bundle::read_slice(sealed->inside);
    if (!offered) return complain({file, offered.error().what, offered.error().todo}, 2);
    if (!trust.empty()) desk->beside.trusted[bundle::hex(sealed->signer)] = trust;
    const bundle::Preview shown = preview(desk->log, *offered, clock_now());
    show_signer(*desk, sealed->signer);
    for (const std::string& line : sentences(shown)) std::printf("%s\n", line.c_str());
    if (shown.newer_kinds) return complain({file, "Nothing was taken in.", "Update Beckhand first."}, 2);
    if (!yes && !agreed("Take it in?")) {
        std::printf("Nothing was changed.\n");
        return 0;
    }
    const auto sites = sites_of(*offered);
    desk->beside.hand_overs.push_back({bundle::hex(sealed->name), sites.empty() ? file : sites[0].site.name,
                                       bundle::Stage::received, clock_now(), bundle::fingerprint(sealed->signer)});
    if (const Outcome saved = save_beside(desk->store(), desk->beside); !saved) return complain(saved.error(), 1);
    if (const Outcome taken = take_in(desk->store(), *offered, clock_now()); !taken) return complain(taken.error(), 1);
    auto beside = read_beside(desk->store());
    if (!beside) return complain(beside.error(), 1);
    desk->beside = std::move(*beside);
    const auto now = slice_of(desk->store(), desk->beside);
    if (!now) return complain(now.error(), 1);
    if (digest_of(*now) != shown.digest) {
        return complain({file, "The log is not what the preview said it would be.", "Keep the file and ask for help."}, 1);
    }
    if (const Outcome given = give_receipt(*desk, *sealed, *offered, file); !given) return complain(given.error(), 1);
    if (shown.newly_erased > 0) {
        if (const Outcome blank = blank_and_close(*desk); !blank) return complain(blank.error(), 1);
    }
    std::printf("Taken in. The receipt for the other device is %s.receipt.\n", file.c_str());
    return 0;
}

int command_export(const Options& options, const std::string& folder) {
    auto desk = open_desk(options);
    if (!desk) return complain(desk.error(), 1);
    std::error_code error;
    fs::create_directories(folder, error);
    for (const bundle::ExportFile& file : export_all(desk->log)) {
        const std::string path = (fs::path(folder) / file.name).string();
        if (const Outcome written = write_safely(path, bundle::view(file.text)); !written) return complain(written.error(), 1);
        std::printf("%s\n", path.c_str());
    }
    return 0;
}

int command_erase(const Options& options, const std::string& who, bool yes) {
    auto desk = open_desk(options);
    if (!desk) return complain(desk.error(), 1);
    const bundle::LogSlice erased = erase_person(desk->log, who, clock_now());
    std::size_t names = 0, texts = 0;
    for (const auto& [name, entry] : erased.entries) {
        const auto before = desk->log.entries.find(name);
        if (before == desk->log.entries.end()) continue;
        names += entry.by_erased && !before->second.by_erased ? 1u : 0u;
        texts += entry.json_erased && !before->second.json_erased ? 1u : 0u;
    }
    std::printf("The name comes off %zu entries; the words of %zu notes go. This cannot be undone.\n", names, texts);
    for (const bundle::SiteView& site : sites_of(desk->log)) {
        if (to_json(Happening(Noted{site.site.access + site.site.name})).find(who) != std::string::npos)
            std::printf("The sheet of %s names them too: change it there.\n", site.site.name.c_str());
    }
    if (!yes && !agreed("Erase?")) {
        std::printf("Nothing was changed.\n");
        return 0;
    }
    if (const Outcome marked = mark_erased(desk->store(), desk->beside, erased); !marked) return complain(marked.error(), 1);
    if (const Outcome blank = blank_and_close(*desk); !blank) return complain(blank.error(), 1);
    std::printf("Erased here. With the next hand-over the wish goes on to the other device; files and prints\n"
                "that were given away before cannot be called back.\n");
    return 0;
}

} // namespace beckhand
