// The program without a window: state, what is drawn from it, and how it changes. Time and randomness are
// given; the log is the store's. An answer is saved before the next question is drawn.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <string>

#include "app/state.h"
#include "engine/bundle/seal.h"
#include "engine/measuring/ear.h"

namespace beckhand {

/// What the platform gives.
struct Services {
    Store* store = nullptr;
    std::function<Instant()> now;
    std::function<std::array<std::uint8_t, 16>()> random;
    MinutesAhead minutes_ahead = {};    // none: times are shown in UTC
    /// Puts a file where the person finds it and says where that is; none: nothing can be saved here.
    std::function<Result<std::string>(const std::string& name, const std::string& bytes)> save_file = {};
    /// The pack with this content hash, as long as the program runs; null when it is not here. None: only the one.
    std::function<const Pack*(const std::string& hash)> pack_of = {};
    std::function<Result<bundle::DeviceKey>()> key = {};    // this device's, for handing over; none: it cannot
    /// Reads sentences aloud, in place of any it is still at; none: this device cannot.
    std::function<Outcome(std::vector<std::string> sentences)> read_aloud = {};
    std::function<void()> device_sheet = {};    // opens what the platform offers besides; none: nothing
};

class App {
public:
    App(const Pack& pack, Services services);

    /// Reads sites, choices and an open visit from the log: goes on where it stopped.
    void start();
    /// Draws one frame and acts on what was pressed. Returns true when something changed (draw again).
    bool frame(kit::Kit& kit);
    /// A slice of what is worked out beside the drawing (trends of the sites, the virtual pump of this one).
    /// A few milliseconds: call it as long as may be before the next look at fingers. True when it did something: draw,
    /// and call it again.
    bool work();
    /// Acts on one intent, as if it had been pressed.
    void act(const Intent& intent);
    /// What the log or the platform has to say stands before everything else until it is read.
    void tell_notice();
    /// Reads the lists anew: the platform has changed the log.
    void reload();

    /// The platform holds a microphone open exactly while this is so, and gives what it hears: one channel, -1 to 1.
    [[nodiscard]] bool wants_sound() const;
    void hear(std::span<const float> samples, double samples_per_second);
    /// There is none, or it is not allowed: said on the screen in these words.
    void cannot_hear(const std::string& why);

    [[nodiscard]] const State& state() const { return state_; }
    [[nodiscard]] const Pack& pack() const { return pack_; }

private:
    // One for each thing a person can do; a new intent does not compile until it stands here.
    void on(const Show& what);              // update_site.cpp: sites, site sheets, log, choices
    void on(const ShowSite& what);
    void on(const EditSite& what);
    void on(const EditField& what);
    void on(const ChooseMaterial& what);
    void on(const EditText& what);
    void on(const SaveDraft& what);
    void on(const ReadRecord& what);
    void on(const ShowCodes& what);         // update_codes.cpp
    void on(const SetUnits& what);
    void on(const SetTheme& what);
    void on(const SetTextScale& what);
    void on(const SetGlass& what);
    void on(const SetBy& what);
    void on(const SetPerson& what);
    void on(const SetLearning& what);
    void on(const SetAloud& what);
    void on(const ReadAloud& what);
    void on(const ShowTrend& what);         // update_trend.cpp: the trend of a site, and rounds without a fault
    void on(const ShowFigure& what);
    void on(const BeginRound& what);
    void on(const TakeFigure& what);
    void on(const TickService& what);
    void on(const KeepRound& what);
    void on(const SaveRound& what);
    void on(const StartVisit& what);        // update_visit.cpp: everything that is said in a visit
    void on(const ResumeVisit& what);
    void on(const Say& what);
    void on(const NamePart& what);
    void on(const LookAgain& what);
    void on(const ReadCautions& what);
    void on(const Back& what);
    void on(const Press& what);
    void on(const ChooseCare& what);
    void on(const Unfold& what);
    void on(const ReadTrouble& what);
    void on(const ShowBrief& what);         // update_handover.cpp
    void on(const ShowHandoverPage& what);
    void on(const NameReceiver& what);
    void on(const HandOn& what);
    void on(const SayBack& what);
    void on(const ReadLine& what);
    void on(const SavePaper& what);
    void on(const ReceiptBack& what);
    void on(const ShowDevice& what);
    void back_from_handover();
    /// Saves a site's sheet, then goes on with `then`; or shows the trouble.
    void save_site(const SiteRow& row, std::function<void()> then);
    /// A visit at a pump without a site sheet: one that has only a name, of the day, to be renamed later.
    void start_at_unlisted();
    void on(const HelpMeasure& what);       // update_measuring.cpp
    void on(const ChooseWay& what);
    void on(const ChooseOption& what);
    void on(const Struck& what);
    void on(const TypeSlot& what);
    void on(const ForgetLast& what);
    void on(const StartOver& what);
    void on(const UseMeasured& what);
    void back_from_measuring();
    void return_from_measuring();

    /// Saves one more event of the visit that carries the handing over, then goes on with `then`.
    void append_handover(Happening what, const std::string& by, std::function<void()> then);
    /// Saves one more event of a visit; the state moves on in the completion, or shows the trouble. Then those of
    /// `rest`, one commit after the other.
    void append(std::string visit_id, std::vector<Event> events, Happening what, std::vector<Happening> rest = {});
    /// What is said of a visit right behind its opening: what the log recalls, and who answers.
    [[nodiscard]] std::vector<Happening> known_at_opening(const std::string& visit_id, const std::string& site_id) const;
    /// The scene of a visit, with the virtual pump's figures where they are known already.
    [[nodiscard]] Scene scene_for(const Visit& visit) const;
    /// The virtual pump's figures of this site, where they are worked out already; null where not.
    [[nodiscard]] const Outlook* outlook_of(const Site& site) const;
    /// What the virtual pump gives there under each cause, once all of it is known; null before.
    [[nodiscard]] const PumpEvidence* evidence_of(const Site& site) const;
    void turn_to(std::string visit_id, std::vector<Event> events, Scene scene);
    void keep(const std::string& key, const std::string& value);
    /// Reads the screen that was just drawn aloud: when it is asked for, and when the visit has come to another one.
    void read_aloud(const kit::Kit& kit);
    /// What each site's trend would rest on now, from the lists alone; cheap.
    void note_histories();
    /// The trend of one site whose visits or figures have changed since the last look, if the screen shows one.
    bool look_back_at_next();
    void look_back_at(const SiteRow& row);
    bool work_on_outlook();
    bool work_on_evidence();
    /// An event as it is saved: now, and by this person or, unnamed, by the usual one.
    [[nodiscard]] Event stamped(int number, Happening what, const std::string& by) const;
    /// Saves what was said in the round and is not saved yet; `whole`: and ends it.
    void save_round(bool whole);
    /// One commit after the other; shows the trend when the round is ended and all of it kept.
    void commit_round(std::vector<Event> events, std::size_t next);

    /// The visit is asked, and its record read, with the pack that decided it; everything else with the newest.
    void use_pack_of(const std::vector<Event>& events);
    void use_pack(const Pack& pack);

    const Pack& newest_;
    Pack pack_;                         // the one in use, a copy: small, and it changes seldom
    Model model_;
    Services services_;
    State state_;
    bool to_read_ = false;               // asked for
    std::string read_;                  // which screen of the visit was read last
    std::optional<OutlookJob> job_;
    /// Of the site of the visit on the screen: being drawn while `job` is there; empty where the sheet has gaps.
    struct EvidenceOfSite {
        std::string key;
        std::optional<EvidenceJob> job{};
        PumpEvidence found{};
    };
    std::optional<EvidenceOfSite> evidence_;
    /// While the screen listens; `told_at`: seconds of sound when it was last asked for the beat.
    struct Listening {
        Ear ear;
        double samples_per_second = 0, told_at = 0;
    };
    std::optional<Listening> listening_;
    std::map<std::string, std::string> histories_; // by site with visits: tells one state of its history from another
};

/// One screen: draws the state, returns what the person did. Changes nothing.
[[nodiscard]] std::optional<Intent> view(const State& state, const Pack& pack, kit::Kit& kit);

} // namespace beckhand
