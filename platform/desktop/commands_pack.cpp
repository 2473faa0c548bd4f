// The commands around the rule database: checking, building, comparing, signing, taking, and going back.
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <iostream>

#include "app/terminal/pack_replay.h"
#include "engine/diagnosis/pack_file.h"
#include "engine/diagnosis/pack_version.h"
#include "knowledge/compiler/compile.h"
#include "knowledge/compiler/describe.h"
#include "knowledge/compiler/diff.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/pack_shelf.h"
#include "platform/desktop/paths.h"
#include "platform/desktop/session.h"

namespace beckhand {
namespace {

namespace fs = std::filesystem;

/// A compiled pack, or a folder of TOML that has no error.
Result<Pack> any_pack(const std::string& path) {
    std::error_code failed;
    if (!fs::is_directory(path, failed)) {
        Options file;
        file.pack_file = path;
        return load_pack(file);
    }
    const auto files = read_folder(path);
    if (!files) return files.error();
    Compiled compiled = compile(*files);
    if (!compiled.bytes.empty()) return std::move(compiled.pack);
    std::fputs(lint_text(compiled.findings, false).c_str(), stderr);
    return Problem{path, "This pack has errors.", "Mend them first; beckhand pack lint names them."};
}

/// Every case file of a folder, played under both packs.
Result<std::vector<Ending>> endings_of_cases(const std::string& folder, PackAtWork& older, PackAtWork& newer) {
    std::error_code failed;
    std::vector<std::string> paths;
    for (fs::directory_iterator entry(folder, failed), end; !failed && entry != end; entry.increment(failed)) {
        if (entry->path().extension() == ".toml") paths.push_back(entry->path().string());
    }
    if (failed) return Problem{folder, "This folder cannot be read.", "Name the folder of the case files."};
    std::sort(paths.begin(), paths.end());
    const auto ending = [](const std::string& text, const std::string& name, PackAtWork& under) {
        const auto file = read_case(text, name, under.pack);
        return file ? finding_of(*file, under) : "cannot be read (" + file.error().what + ")";
    };
    std::vector<Ending> endings;
    for (const std::string& path : paths) {
        const auto text = read_text_file(path);
        if (!text) return text.error();
        const std::string name = fs::path(path).filename().string();
        endings.push_back({name, ending(*text, name, older), ending(*text, name, newer)});
    }
    return endings;
}

/// A copy of the log is read, so that neither a damaged log nor a visit under way is touched.
class CopyOfLog {
public:
    explicit CopyOfLog(const std::string& data) {
        std::error_code failed;
        const std::string log = data + "/" + log_name;
        if (data.empty() || !fs::exists(log, failed)) return;
        folder_ = fs::temp_directory_path(failed) / ("beckhand-" + bundle::hex(random_bytes()));
        fs::create_directory(folder_, failed);
        fs::permissions(folder_, fs::perms::owner_all, failed);
        for (const char* const ending : {"", "-wal"}) {
            if (fs::exists(log + ending, failed)) fs::copy_file(log + ending, path() + ending, failed);
        }
    }
    ~CopyOfLog() {
        std::error_code ignored;
        if (!folder_.empty()) fs::remove_all(folder_, ignored);
    }
    CopyOfLog(const CopyOfLog&) = delete;
    CopyOfLog& operator=(const CopyOfLog&) = delete;
    [[nodiscard]] bool there() const { return !folder_.empty(); }
    [[nodiscard]] std::string path() const { return (folder_ / log_name).string(); }

private:
    fs::path folder_;
};

Result<std::vector<Ending>> endings_of_log(const Options& options, PackAtWork& older, PackAtWork& newer) {
    const CopyOfLog copy(data_folder_if_there(options.data));
    std::vector<Ending> endings;
    if (!copy.there()) return endings;
    const Result<Store> store = Store::open(copy.path(), random_bytes);
    if (!store) return store.error();
    const auto visits = store->visits();
    if (!visits) return visits.error();
    for (const VisitRow& row : *visits) {
        const auto events = store->events(row.id);
        if (!events) return events.error();
        const CaseFile file = case_of(fold(*events));
        if (file.answers.empty() && file.measured.empty()) continue;
        endings.push_back({"visit " + row.id.substr(0, 8) + ", " + row.site_name, finding_of(file, older), finding_of(file, newer)});
    }
    return endings;
}

std::string signed_by(const bundle::PublicKey& key) { return bundle::fingerprint(key); }

std::string only_digits(const std::string& text) {
    std::string digits;
    std::copy_if(text.begin(), text.end(), std::back_inserter(digits), [](char c) { return c >= '0' && c <= '9'; });
    return digits;
}

/// True when the person says that the sender told these very digits.
bool confirmed(const bundle::PublicKey& key, const std::string& told) {
    const std::string digits = signed_by(key);
    if (!told.empty()) return only_digits(told) == only_digits(digits);
    std::printf("It is signed with a key that is not trusted here: %s\n"
                "Ask the sender for these digits by another way than this file. Are they the same? [y/N] ",
                digits.c_str());
    std::fflush(stdout);
    std::string line;
    return std::getline(std::cin, line) && (line == "y" || line == "yes");
}

Result<PackShelf> shelf_of(const Options& options) {
    const auto folder = data_folder(options.data);
    if (!folder) return folder.error();
    auto shelf = PackShelf::open(*folder);
    if (shelf) {
        for (const Problem& trouble : shelf->troubles()) complain(trouble, 0);
    }
    return shelf;
}

Result<bundle::DeviceKey> key_in(const std::string& file) {
    std::error_code failed;
    std::array<std::uint8_t, 32> seed{};
    if (!fs::exists(file, failed)) {
        const auto first = random_bytes(), second = random_bytes();
        std::copy(first.begin(), first.end(), seed.begin());
        std::copy(second.begin(), second.end(), seed.begin() + 16);
        if (const Outcome made = write_whole(file, seed, 0600); !made) return made.error();
        std::printf("A new key is in %s. Keep it to yourself: whoever has it can sign packs in your name.\n", file.c_str());
        return bundle::device_key(seed);
    }
    const auto bytes = read_whole(file, seed.size());
    if (!bytes || bytes->size() != seed.size()) {
        return Problem{file, "This is not a key.", "Name the file that an earlier pack was signed with, or a new one."};
    }
    std::copy(bytes->begin(), bytes->end(), seed.begin());
    return bundle::device_key(seed);
}

} // namespace

int command_pack_lint(const std::string& named, bool notes, const std::string& against) {
    const std::string folder = named.empty() ? pack_folder_near() : named;
    if (folder.empty()) {
        return complain({"pack lint", "There is no knowledge/pack here or in a folder above.",
                         "Name the folder that holds the pack's TOML files."}, 2);
    }
    if (named.empty()) std::fprintf(stderr, "Reading %s\n", folder.c_str());
    const auto files = read_folder(folder);
    if (!files) return complain(files.error(), 2);
    Compiled compiled = compile(*files);
    if (!against.empty()) {
        const auto older = any_pack(against);
        if (!older) return complain(older.error(), 2);
        const std::string trouble = version_trouble(*older, compiled.pack);
        if (!trouble.empty()) {
            compiled.findings.push_back({Finding::Weight::warning, "pack.toml", trouble,
                                         "Raise the version, and say in a [[change]] what changed.", "version_step",
                                         "pack"});
        }
    }
    std::fputs(lint_text(compiled.findings, notes).c_str(), stdout);
    return compiled.bytes.empty() ? 1 : 0;
}

int command_pack_build(const std::string& folder, const std::string& out) {
    const auto files = read_folder(folder);
    if (!files) return complain(files.error(), 2);
    const Compiled compiled = compile(*files);
    std::fputs(lint_text(compiled.findings, false).c_str(), stdout);
    if (compiled.bytes.empty()) return 1;
    const Outcome made = write_file(out, compiled.bytes);
    return made ? 0 : complain(made.error(), 2);
}

int command_pack_show(const Options& options, const std::string& id) {
    const auto pack = load_pack(options);
    if (!pack) return complain(pack.error(), 2);
    if (id.empty()) {
        std::fputs(describe(*pack).c_str(), stdout);
        return 0;
    }
    const auto text = describe(*pack, id);
    if (!text) return complain(text.error(), 2);
    std::fputs(text->c_str(), stdout);
    return 0;
}

int command_pack_diff(const Options& options, const std::string& older_path, const std::string& newer_path,
                      const std::string& cases) {
    const auto older = any_pack(older_path);
    if (!older) return complain(older.error(), 2);
    const auto newer = any_pack(newer_path);
    if (!newer) return complain(newer.error(), 2);
    const std::vector<PackChange> changes = changes_between(*older, *newer);
    for (const PackChange& change : changes) {
        std::printf("%s: %s\n", std::string(word_of(change.due)).c_str(), change.words.c_str());
    }
    const Bump due = due_for(changes);
    if (due == Bump::none) std::printf("Nothing that is said or counted changed.\n");
    else std::printf("From %s to %s a %s step is due.\n", older->version.c_str(), newer->version.c_str(),
                     std::string(word_of(due)).c_str());
    if (const std::string trouble = version_trouble(*older, *newer); !trouble.empty()) std::printf("%s\n", trouble.c_str());
    PackAtWork before(*older), after(*newer);
    if (!cases.empty()) {
        const auto endings = endings_of_cases(cases, before, after);
        if (!endings) return complain(endings.error(), 2);
        std::printf("Case files: %s", endings_text(*endings).c_str());
    }
    const auto endings = endings_of_log(options, before, after);
    if (!endings) return complain(endings.error(), 1);
    if (!endings->empty()) std::printf("Visits of the log: %s", endings_text(*endings).c_str());
    return 0;
}

int command_pack_seal(const std::string& path, const std::string& out, const std::string& key_file) {
    const auto pack = any_pack(path);
    if (!pack) return complain(pack.error(), 2);
    const auto bytes = write_pack(*pack);
    if (!bytes) return complain(bytes.error(), 1);
    const auto key = key_in(key_file);
    if (!key) return complain(key.error(), 2);
    const auto sealed = bundle::seal(bundle::Content::pack,
                                     {reinterpret_cast<const std::uint8_t*>(bytes->data()), bytes->size()}, *key);
    if (!sealed) return complain(sealed.error(), 1);
    if (const Outcome made = write_whole(out, *sealed); !made) return complain(made.error(), 1);
    std::printf("Pack %s is in %s (%zu bytes). Tell whoever takes it the digits of your key, by another way:\n%s\n",
                pack->version.c_str(), out.c_str(), sealed->size(), signed_by(key->open).c_str());
    return 0;
}

int command_pack_take(const Options& options, const std::string& file, bool older, const std::string& trust) {
    const auto sealed = read_sealed_pack(file);
    if (!sealed) return complain(sealed.error(), 2);
    auto shelf = shelf_of(options);
    if (!shelf) return complain(shelf.error(), 1);
    const Pack& pack = sealed->pack;
    if (pack.hash == shelf->in_use().hash) {
        std::printf("This is the pack in use already.\n");
        return 0;
    }
    const Pack& newest = shelf->newest();
    const bool newer = version_of(newest.version) < version_of(pack.version);
    if (!older && !newer) {
        return complain({file, "Pack " + pack.version + " is no newer than " + newest.version + ", which is here.",
                         "Give --older to take it all the same."}, 1);
    }
    if (!shelf->trusts(sealed->signer)) {
        if (!confirmed(sealed->signer, trust)) {
            return complain({file, "The key that signed it is not trusted. Nothing was taken.",
                             "Ask the sender for the digits of their key."}, 1);
        }
        if (const Outcome kept = shelf->trust(sealed->signer); !kept) return complain(kept.error(), 1);
    }
    if (const Outcome taken = shelf->take(pack, sealed->file); !taken) return complain(taken.error(), 1);
    std::printf("Pack %s of %s is here. %s\n", pack.version.c_str(), pack.issued.c_str(),
                newer ? "It is used from the next start on; a visit that is open keeps its own."
                      : ("It is not used until: beckhand pack use " + pack.version).c_str());
    return 0;
}

int command_pack_list(const Options& options) {
    const auto shelf = PackShelf::open(data_folder_if_there(options.data));
    if (!shelf) return complain(shelf.error(), 1);
    for (const Problem& trouble : shelf->troubles()) complain(trouble, 0);
    for (const ShelvedPack& shelved : shelf->packs()) {
        const bool used = &shelved.pack == &shelf->in_use();
        std::printf("%s %s  %s  %s  %s\n", used ? "*" : " ", shelved.pack.version.c_str(), shelved.pack.issued.c_str(),
                    shelved.pack.hash.substr(0, 12).c_str(),
                    shelved.built_in  ? "inside the program"
                    : shelved.kept    ? "inside an earlier program, kept for its visits"
                    : shelved.trusted ? "taken"
                                      : "taken, its key is no longer trusted");
    }
    return 0;
}

int command_pack_use(const Options& options, const std::string& version) {
    auto shelf = shelf_of(options);
    if (!shelf) return complain(shelf.error(), 1);
    if (version == "newest") {
        const Outcome chosen = shelf->use("");
        if (!chosen) return complain(chosen.error(), 1);
        std::printf("The newest pack is used from the next start on.\n");
        return 0;
    }
    constexpr std::size_t least_letters = 6;
    for (const ShelvedPack& shelved : shelf->packs()) {
        const bool meant = shelved.pack.version == version ||
                           (version.size() >= least_letters && shelved.pack.hash.starts_with(version));
        if (!meant || (!shelved.trusted && !shelved.kept)) continue;
        const Outcome chosen = shelf->use(shelved.pack.hash);
        if (!chosen) return complain(chosen.error(), 1);
        std::printf("Pack %s is used from the next start on; a visit that is open keeps its own.\n",
                    shelved.pack.version.c_str());
        return 0;
    }
    return complain({version, "There is no such pack here.", "beckhand pack list shows those that are."}, 2);
}

} // namespace beckhand
