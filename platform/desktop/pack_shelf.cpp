#include "platform/desktop/pack_shelf.h"

#include <algorithm>
#include <filesystem>
#include <sstream>

#include "engine/diagnosis/pack_file.h"
#include "engine/diagnosis/pack_version.h"
#include "engine/text_file.h"
#include "platform/desktop/embedded.h"
#include "platform/desktop/second_folder.h"

namespace beckhand {
namespace {

namespace fs = std::filesystem;

constexpr const char* sealed_ending = ".sealed";
constexpr const char* kept_ending = ".pack";

std::string first_word(const std::string& text) {
    std::istringstream words(text);
    std::string word;
    words >> word;
    return word;
}

Problem left_out(const std::string& file, const std::string& what) {
    return {file, what + " It is left out.", "Take the pack again from whoever sent it, or remove this file."};
}

/// Versions before the program's own of the same number, so that what was taken on purpose is used.
bool stands_before(const ShelvedPack& a, const ShelvedPack& b) {
    const auto one = version_of(a.pack.version), other = version_of(b.pack.version);
    return one != other ? other < one : !a.built_in && b.built_in;
}

Outcome written(const std::string& file, std::string_view text) { return write_whole(file, bundle::view(text)); }

} // namespace

Result<SealedPack> read_sealed_pack(const std::string& file) {
    auto bytes = read_whole(file, bundle::most_packed);
    if (!bytes) return bytes.error();
    const auto sealed = bundle::unseal(*bytes);
    if (!sealed) return Problem{file, sealed.error().what, "Ask for the pack to be sent again."};
    if (sealed->content != bundle::Content::pack) {
        return Problem{file, "This is signed, but it is no pack.", "Take it in with: beckhand take-in FILE"};
    }
    auto pack = read_pack(std::as_bytes(std::span(sealed->inside.data(), sealed->inside.size())), file);
    if (!pack) return pack.error();
    return SealedPack{std::move(*pack), sealed->signer, std::move(*bytes)};
}

Result<PackShelf> PackShelf::open(const std::string& data_folder) {
    Result<Pack> own = read_pack(embedded_pack(), "the pack inside the program");
    if (!own) return own.error();
    PackShelf shelf;
    shelf.folder_ = data_folder.empty() ? "" : data_folder + "/packs";
    shelf.packs_.push_back({std::move(*own), true, true, false});
    shelf.read_files();
    return shelf;
}

void PackShelf::read_files() {
    std::error_code failed;
    if (folder_.empty() || !fs::is_directory(folder_, failed)) return;
    if (const auto text = read_text_file(folder_ + "/trusted")) {
        std::istringstream lines(*text);
        for (std::string line; std::getline(lines, line);) {
            if (const std::string key = first_word(line); !key.empty()) trusted_.push_back(key);
        }
    }
    std::vector<fs::path> files;
    for (fs::directory_iterator entry(folder_, failed), end; !failed && entry != end; entry.increment(failed)) {
        files.push_back(entry->path());
    }
    std::sort(files.begin(), files.end()); // a folder gives its files in any order
    for (const fs::path& file : files) {
        if (file.extension() == sealed_ending) read_sealed(file.string(), file.stem().string());
        if (file.extension() == kept_ending) read_kept(file.string(), file.stem().string());
    }
    packs_.sort(stands_before);
    choose();
}

void PackShelf::read_sealed(const std::string& file, const std::string& hash) {
    Result<SealedPack> sealed = read_sealed_pack(file);
    if (!sealed) {
        troubles_.push_back(left_out(file, sealed.error().what));
    } else if (sealed->pack.hash != hash) {
        troubles_.push_back(left_out(file, "This pack is not the one that its name says."));
    } else if (find(hash) == nullptr) {
        packs_.push_back({std::move(sealed->pack), false, trusts(sealed->signer), false});
    }
}

void PackShelf::read_kept(const std::string& file, const std::string& hash) {
    if (find(hash) != nullptr) return;
    const auto bytes = read_whole(file, bundle::most_unpacked);
    Result<Pack> pack = bytes ? read_pack(std::as_bytes(std::span(bytes->data(), bytes->size())), file)
                              : Result<Pack>(bytes.error());
    if (!pack) {
        troubles_.push_back(left_out(file, pack.error().what));
    } else if (pack->hash != hash) {
        troubles_.push_back(left_out(file, "This pack is not the one that its name says."));
    } else {
        packs_.push_back({std::move(*pack), false, false, true});
    }
}

void PackShelf::choose() {
    const auto text = read_text_file(folder_ + "/in_use");
    const std::string wanted = text ? first_word(*text) : "";
    if (wanted.empty()) return;
    const auto found = std::find_if(packs_.begin(), packs_.end(), [&](const ShelvedPack& shelved) {
        return shelved.pack.hash == wanted && (shelved.trusted || shelved.kept);
    });
    if (found != packs_.end()) {
        chosen_ = wanted;
        return;
    }
    // What somebody went back to is gone: the program's own is the one that surely works.
    for (const ShelvedPack& shelved : packs_) {
        if (shelved.built_in) chosen_ = shelved.pack.hash;
    }
    troubles_.push_back({folder_,
                         "The pack that was chosen is not here or cannot be used. The pack inside the program is used.",
                         "See beckhand pack list, and choose with beckhand pack use VERSION."});
}

const Pack& PackShelf::in_use() const {
    const Pack* const chosen = chosen_.empty() ? nullptr : find(chosen_);
    return chosen != nullptr ? *chosen : newest();
}

const Pack& PackShelf::newest() const {
    // The program's own is always there, and trusted.
    return std::find_if(packs_.begin(), packs_.end(), [](const ShelvedPack& shelved) { return shelved.trusted; })->pack;
}

const Pack* PackShelf::find(const std::string& hash) const {
    for (const ShelvedPack& shelved : packs_) {
        if (shelved.pack.hash == hash) return &shelved.pack;
    }
    return nullptr;
}

bool PackShelf::trusts(const bundle::PublicKey& key) const {
    return std::find(trusted_.begin(), trusted_.end(), bundle::hex(key)) != trusted_.end();
}

Outcome PackShelf::trust(const bundle::PublicKey& key) {
    if (trusts(key)) return Done{};
    std::error_code failed;
    fs::create_directories(folder_, failed);
    std::string text;
    for (const std::string& known : trusted_) text += known + "\n";
    const Outcome saved = written(folder_ + "/trusted", text + bundle::hex(key) + "\n");
    if (saved) trusted_.push_back(bundle::hex(key));
    return saved;
}

Outcome PackShelf::take(const Pack& pack, bundle::ByteView sealed) {
    const bool newer = version_of(newest().version) < version_of(pack.version);
    std::error_code failed;
    fs::create_directories(folder_, failed);
    const Outcome saved = write_whole(folder_ + "/" + pack.hash + sealed_ending, sealed);
    return saved && newer ? use("") : saved;
}

Outcome PackShelf::use(const std::string& hash) {
    std::error_code failed;
    fs::create_directories(folder_, failed);
    return written(folder_ + "/in_use", hash + "\n");
}

Outcome PackShelf::keep_own() const {
    std::error_code failed;
    for (const ShelvedPack& shelved : packs_) {
        const std::string file = folder_ + "/" + shelved.pack.hash + kept_ending;
        if (!shelved.built_in || folder_.empty() || fs::exists(file, failed)) continue;
        fs::create_directories(folder_, failed);
        const std::span<const std::byte> bytes = embedded_pack();
        return write_whole(file, {reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
    }
    return Done{};
}

} // namespace beckhand
