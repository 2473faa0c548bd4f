// Handing over, taking in, restoring, export, and erasing a person: the commands around a bundle.
#include <cstdio>
#include <iostream>
#include <map>
#include <set>

#include "engine/bundle/hand_over.h"
#include "engine/bundle/slice_cbor.h"
#include "engine/records/erasing.h"
#include "engine/records/event_json.h"
#include "platform/desktop/commands.h"
#include "platform/desktop/given_files.h"
#include "platform/desktop/session.h"
#include "platform/desktop/visit_start.h"

namespace beckhand {
namespace {


/// All that these commands work with.
struct Desk {
    std::unique_ptr<Session> session;
    bundle::DeviceKey key;
    bundle::Standing standing;
    bundle::LogSlice log; // read by open_desk_with_log() alone: it is the whole log
    [[nodiscard]] Store& store() { return session->store(); }
};

Result<Desk> open_desk(const Options& options) {
    Desk desk;
    auto session = Session::open(options);
    if (!session) return session.error();
    desk.session = std::move(*session);
    if (desk.session->only_in_memory()) {
        const auto notice = desk.store().notice();
        return Problem{notice ? notice->where : "log", "The log cannot be written to.",
                       "Give --data and a folder that can be written to."};
    }
    const auto key = desk.session->key();
    if (!key) return key.error();
    desk.key = *key;
    auto standing = bundle::read_standing(desk.store());
    if (!standing) return standing.error();
    desk.standing = std::move(*standing);
    return desk;
}

Result<Desk> open_desk_with_log(const Options& options) {
    auto desk = open_desk(options);
    if (!desk) return desk;
    auto log = bundle::slice_of(desk->store());
    if (!log) return log.error();
    desk->log = std::move(*log);
    return desk;
}

bool agreed(const char* question) {
    std::printf("%s [y/N] ", question);
    std::fflush(stdout);
    std::string line;
    return std::getline(std::cin, line) && (line == "y" || line == "yes");
}

int take_receipt(Desk& desk, const bundle::Sealed& sealed, const std::string& file) {
    const auto receipt = bundle::read_receipt(sealed.inside);
    if (!receipt) return complain(receipt.error(), 2);
    const auto answered = bundle::take_receipt(desk.store(), sealed, desk.key.open);
    if (!answered) return complain({file, answered.error().what, answered.error().todo}, 2);
    std::printf("%s\n%llu entries arrived.\n", sentence(*answered).c_str(),
                static_cast<unsigned long long>(receipt->entries));
    return 0;
}

void show_signer(const Desk& desk, const bundle::PublicKey& signer) {
    const std::string digits = bundle::fingerprint(signer);
    const auto known = desk.standing.trusted.find(bundle::hex(signer));
    if (signer == desk.key.open) std::printf("Signed by this device itself.\n");
    else if (known != desk.standing.trusted.end())
        std::printf("Signed by %s (%s).\n", known->second.c_str(), digits.c_str());
    else
        std::printf("Signed by a device not known here: %s.\nCompare these digits with those the other device shows.\n",
                    digits.c_str());
}

Problem said_of(const std::string& file, const Problem& problem) { return {file, problem.what, problem.todo}; }

Result<bundle::Sealed> open_file(const std::string& file) {
    const auto bytes = read_whole(file, bundle::most_packed);
    if (!bytes) return bytes.error();
    auto sealed = bundle::unseal(*bytes);
    return sealed ? std::move(sealed) : Result<bundle::Sealed>(said_of(file, sealed.error()));
}

/// Says what would come; true when it is to be done.
bool shown_and_agreed(const bundle::Preview& shown, bool yes) {
    for (const std::string& line : sentences(shown)) std::printf("%s\n", line.c_str());
    if (yes || agreed("Take it in?")) return true;
    std::printf("Nothing was changed.\n");
    return false;
}

} // namespace

int command_hand_over(const Options& options, const std::string& site, const std::string& file) {
    auto desk = open_desk(options);
    if (!desk) return complain(desk.error(), 1);
    if (site.empty()) {
        for (const bundle::HandOver& one : desk->standing.hand_overs) std::printf("%s\n", sentence(one).c_str());
        if (desk->standing.hand_overs.empty()) std::printf("Nothing was handed over yet.\n");
        std::printf("This device: %s\n", bundle::fingerprint(desk->key.open).c_str());
        return 0;
    }
    if (file.empty()) return complain({"hand-over", "It is not said where to.", "Give --to FILE."}, 2);
    const State& state = desk->session->app().state();
    const SiteRow* const by_id = find_site(state, site);
    const auto row = by_id != nullptr ? Result<SiteRow>(*by_id) : site_called(state, site);
    if (!row) return complain(row.error(), 2);
    const auto sealed = write_hand_over(desk->store(), *row, desk->key, file, clock_now());
    if (!sealed) return complain(sealed.error(), 1);
    const auto visits = desk->store().visits(row->id);
    std::printf("%s with %zu visits is in %s (%zu bytes). It is safe to take it out now.\nThis device: %s\n",
                row->site.name.c_str(), visits ? visits->size() : 0, file.c_str(), sealed->size(),
                bundle::fingerprint(desk->key.open).c_str());
    return 0;
}

int command_take_in(const Options& options, const std::string& file, bool yes, const std::string& trust) {
    const auto sealed = open_file(file);
    if (!sealed) return complain(sealed.error(), 2);
    if (sealed->content == bundle::Content::pack) {
        return complain({file, "This is a pack, and no part of a log.", "Take it with: beckhand pack take FILE"}, 2);
    }
    auto desk = open_desk_with_log(options);
    if (!desk) return complain(desk.error(), 1);
    if (sealed->content == bundle::Content::receipt) return take_receipt(*desk, *sealed, file);

    const auto offered = bundle::read_slice(sealed->inside);
    if (!offered) return complain(said_of(file, offered.error()), 2);
    if (!trust.empty()) {
        desk->standing.trusted[bundle::hex(sealed->signer)] = trust;
        if (const Outcome saved = save_standing(desk->store(), desk->standing); !saved) return complain(saved.error(), 1);
    }
    const bundle::Preview shown = preview(desk->log, *offered, clock_now());
    show_signer(*desk, sealed->signer);
    if (!shown_and_agreed(shown, yes)) return 0;
    const auto receipt = bundle::take_in(desk->store(), *sealed, *offered, shown, desk->key, clock_now());
    if (!receipt) return complain(said_of(file, receipt.error()), 1);
    if (const Outcome given = write_whole(file + ".receipt", *receipt); !given) return complain(given.error(), 1);
    std::printf("Taken in. The receipt for the other device is %s.receipt.\n", file.c_str());
    return 0;
}

int command_restore(const Options& options, const std::string& folder, bool yes) {
    const std::vector<std::string> files = SecondFolder::files_in(folder);
    if (files.empty()) return complain({folder, "There is no copy of a visit in this folder.", "Check its name."}, 2);
    auto desk = open_desk_with_log(options);
    if (!desk) return complain(desk.error(), 1);
    // A copy that cannot be read must not keep the others from coming back.
    bundle::LogSlice all;
    int code = 0;
    for (const std::string& file : files) {
        const auto sealed = open_file(file);
        const auto slice = sealed ? bundle::read_slice(sealed->inside) : Result<bundle::LogSlice>(sealed.error());
        if (slice) all = merge(all, *slice);
        else code = complain(said_of(file, slice.error()), 1);
    }
    const bundle::Preview shown = preview(desk->log, all, clock_now());
    if (!shown_and_agreed(shown, yes)) return code;
    const auto arrived = desk->store().take_in(entries_of(all));
    if (!arrived) return complain(arrived.error(), 1);
    std::printf("%d entries came back from %zu copies; %d were here already.\n", arrived->added, files.size(),
                arrived->already_there);
    return code;
}

int command_export(const Options& options, const std::string& folder) {
    auto desk = open_desk_with_log(options);
    if (!desk) return complain(desk.error(), 1);
    const Outcome done = write_export(desk->log, folder, [](const std::string& path) { std::printf("%s\n", path.c_str()); });
    return done ? 0 : complain(done.error(), 1);
}

namespace {

/// Who made entries of this log, to be chosen from by who wrote a name wrongly.
std::string names_there(const bundle::LogSlice& log) {
    constexpr std::size_t most = 20;
    std::set<std::string> names;
    for (const auto& [name, entry] : log.entries) {
        if (!entry.by_erased && !entry.by.empty()) names.insert(entry.by);
    }
    if (names.empty()) return "No name stands there at all.";
    std::string words;
    std::size_t listed = 0;
    for (const std::string& name : names) {
        if (listed++ < most) words += (words.empty() ? "" : ", ") + name;
    }
    return "Entries were made by: " + words + (names.size() > most ? " and others." : ".") +
           " Write it as it stands there, or as in a note: `beckhand export FOLDER` lists them all.";
}

} // namespace

int command_erase(const Options& options, const std::string& who, bool yes) {
    auto desk = open_desk_with_log(options);
    if (!desk) return complain(desk.error(), 1);
    const bundle::LogSlice erased = erase_person(desk->log, who, LogEntry{});
    std::size_t names = 0, texts = 0;
    std::map<std::string, std::size_t> sheets; // by site
    std::vector<LogEntry> stay;
    for (const auto& [name, entry] : desk->log.entries) {
        const LogEntry& after = erased.entries.at(name);
        names += after.by_erased && !entry.by_erased ? 1u : 0u;
        texts += after.json_erased && !entry.json_erased ? 1u : 0u;
        stay.push_back(after);
        if (!sheet_mentions(entry, who)) continue;
        ++sheets[entry.subject];
        // Of it only the site's own name stays, on the sheet that takes its place.
        const Result<Site> site = site_from_json(entry.json);
        Site named;
        named.name = site ? site->name : "";
        stay.back().json = to_json(named);
    }
    const std::vector<NamedPlace> left = places_left(stay, who);
    if (names == 0 && texts == 0 && sheets.empty() && left.empty()) {
        return complain({who, "There is no such name in the log.", names_there(desk->log)}, 2);
    }
    std::printf("The name comes off %zu entries; the words of %zu notes go. This cannot be undone.\n", names, texts);
    const auto site_name = [&](const std::string& id) {
        const SiteRow* const row = find_site(desk->session->app().state(), id);
        return row != nullptr ? row->site.name : id;
    };
    for (const auto& [site, count] : sheets) {
        std::printf("%zu of the sheets of %s name them and go; a new one without the name takes their place.\n", count,
                    site_name(site).c_str());
    }
    if (!left.empty()) std::printf("These places name them too and stay, for all else hangs on them:\n");
    for (const NamedPlace& place : left) {
        const bool sheet = place.kind == site_sheet_kind;
        std::printf("  %s: \"%s\"\n",
                    sheet ? ("the sheet of " + site_name(place.subject)).c_str()
                          : ("visit " + place.subject.substr(0, 8) + ", event " + std::to_string(place.place)).c_str(),
                    place.text.c_str());
    }
    if (!yes && !agreed("Erase?")) {
        std::printf("Nothing was changed.\n");
        return 0;
    }
    if (const auto done = desk->store().erase_person(who, clock_now()); !done) return complain(done.error(), 1);
    desk->session->catch_up_copies();
    std::printf("Erased here. With the next hand-over the wish goes on to the other device; files and prints\n"
                "that were given away before cannot be called back.\n");
    return 0;
}

} // namespace beckhand
