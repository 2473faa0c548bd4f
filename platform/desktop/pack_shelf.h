// The packs of this device: the one inside the program, those that came signed by somebody trusted, and those that
// decided earlier visits. They stand in the folder "packs" beside the log:
//     HASH.sealed    a pack that was taken, as it came, signature and all
//     HASH.pack      the program's own pack of the time, kept so that its visits can be read again
//     trusted        the public keys that are trusted, a line each, in hex
//     in_use         the hash of the pack that somebody went back to; without it the newest trusted one is used
// A file is only believed when its name, its content and its signature fit together.
#pragma once

#include <list>
#include <string>
#include <vector>

#include "engine/bundle/seal.h"
#include "engine/diagnosis/pack.h"

namespace beckhand {

struct ShelvedPack {
    Pack pack;
    bool built_in = false;
    bool trusted = false;   // inside the program, or signed by a key that is trusted
    bool kept = false;      // only to read earlier visits again
};

class PackShelf {
public:
    /// Reads what stands there. An empty folder name, or a folder that is not there: the program's own pack alone.
    /// What cannot be used is left out and told in `troubles`.
    [[nodiscard]] static Result<PackShelf> open(const std::string& data_folder);

    /// The pack for new visits: the one gone back to, else the newest trusted one; the program's own at worst.
    [[nodiscard]] const Pack& in_use() const;
    /// The newest that is trusted, whatever was gone back to.
    [[nodiscard]] const Pack& newest() const;
    /// The pack with this content hash, trusted or kept; null when it is not here.
    [[nodiscard]] const Pack* find(const std::string& hash) const;
    /// Newest first; of one version the program's own last.
    [[nodiscard]] const std::list<ShelvedPack>& packs() const { return packs_; }
    /// Plain sentences for files that cannot be used.
    [[nodiscard]] const std::vector<Problem>& troubles() const { return troubles_; }

    [[nodiscard]] bool trusts(const bundle::PublicKey& key) const;
    [[nodiscard]] Outcome trust(const bundle::PublicKey& key);
    /// Puts a sealed pack on the shelf and takes any earlier choice back, so that the newest is used; an older one
    /// only stands there.
    [[nodiscard]] Outcome take(const Pack& pack, bundle::ByteView sealed);
    /// Goes back to this pack, or with "" on to the newest. From the next start on.
    [[nodiscard]] Outcome use(const std::string& hash);
    /// Keeps the program's own pack for the visits that it decides.
    [[nodiscard]] Outcome keep_own() const;

private:
    void read_files();
    void read_sealed(const std::string& file, const std::string& hash);
    void read_kept(const std::string& file, const std::string& hash);
    void choose();

    std::string folder_;                    // "packs"; empty: nothing is kept
    std::list<ShelvedPack> packs_;          // a list: who was handed a pack keeps it while others come
    std::vector<std::string> trusted_;      // keys in hex
    std::vector<Problem> troubles_;
    std::string chosen_;                    // hash
};

/// What a sealed file holds, fully checked but for whether its signer is trusted.
struct SealedPack {
    Pack pack;
    bundle::PublicKey signer{};
    bundle::Bytes file;
};
[[nodiscard]] Result<SealedPack> read_sealed_pack(const std::string& file);

} // namespace beckhand
