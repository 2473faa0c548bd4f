// Everything the program holds while it runs, as one value, and everything a person can do, as small
// structs. update() in app.h is the only place where the one changes by the other.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "app/figures.h"
#include "app/learned.h"
#include "app/handover/brief.h"
#include "app/codes/codes.h"
#include "app/kit/kit.h"
#include "app/measuring/measuring.h"
#include "app/site/trend_words.h"
#include "app/visit/scene.h"
#include "engine/pump/one_beat.h"
#include "engine/pump/outlook.h"
#include "engine/quantity/text.h"
#include "engine/records/store.h"

namespace beckhand {

enum class Screen { sites, site_sheet, site_edit, trend, round, visit, log, record, handover, codes, choices, glass, measuring };

/// The keypad while a figure is being typed: for a site field, or for the measurement of the scene.
struct Entry {
    std::string field;          // key of site_fields.h, a measurement of the round, or "" for the scene's own
    std::string text;
    bool other_unit = false;    // the unit key was pressed
    Care care = Care::careful;  // how the measurement was taken
    std::string trouble;        // what is wrong with it
};

/// What the virtual pump says of the site on the screen, and how far it is with it.
struct OutlookOnScreen {
    std::string key;                     // of the site's figures
    Depth depth = Depth::sound_pump;
    std::size_t done = 0, steps = 0;     // slices
    std::optional<Result<Outlook>> result{};
    std::optional<OneBeat> beat{};       // how the pump on the drawing moves; none where the sheet says too little
    /// The outlook, once it is there and the site sheet says enough for one.
    [[nodiscard]] const Outlook* found() const { return result && *result ? &**result : nullptr; }
};

/// A brief on the screen, and how far the handing over of its site is.
struct HandoverOnScreen {
    enum class Page { brief, who, read_back, done };
    Page page = Page::brief;
    Brief brief;
    std::vector<std::string> names;      // who else has worked at this site
    std::string to;                      // who takes it over, as typed
    std::string visit_id;                // the visit that carries it; empty until it is offered
    std::vector<Event> events;           // of that visit
    std::optional<Handover> handover;    // as these events say
    bool goes_on = false;                // that visit is one to go on with
    std::string wrong;                   // topic that was answered wrong just now
    std::string saved;                   // where the paper is
};

/// What is being set down on a round without a fault: figures and routine work, saved together.
struct Round {
    std::map<std::string, Measured> figures;   // by measurement
    std::set<std::string> services;
    std::string visit_id;                      // of the visit that holds what is saved already; empty before
    int saved = 0;                             // events of it
    std::set<std::string> kept;                // the measurements and services among them
};

struct State {
    MinutesAhead minutes_ahead;          // of local time, from the platform

    // choices kept between starts
    Units units = Units::metric;
    kit::Theme theme = kit::Theme::paper;
    float text_scale = 1.0f;
    int glass_percent = 100;             // a millimetre on this glass, of what the device says
    std::string by = "keeper";
    Person person = Person::keeper;      // who answers, in visits opened from now on
    bool learning = true;                // from the proved repairs of this log
    bool aloud = false;                  // what is asked and said in a visit is read aloud

    Screen screen = Screen::sites;
    std::vector<SiteRow> sites;
    std::string site_id;                 // site_sheet, site_edit
    Site draft;                          // site_edit
    bool draft_is_new = false;
    std::optional<Entry> entry;

    std::string visit_id;                // visit
    std::vector<Event> events;
    Scene scene;
    std::string cautions_read;           // visit: the cause whose cautions of the repair were read through
    std::string part;                    // visit: a part in free words, as typed so far
    bool another_answers = false;        // visit: begun by another kind of person than the one of now, not settled yet
    bool looking_again = false;          // the scene is a question that was answered before
    bool how_open = false, why_open = false, sure_open = false;   // panels pressed open; or shut, where one opens by itself
    bool kept_open = false;              // site_sheet: the limits that are kept
    OutlookOnScreen outlook;             // site_sheet, trend, visit

    std::map<std::string, SiteTrend> trends;   // by site; as of the last look at the log
    Shown shown = Shown::delivered;      // trend: what the chart shows
    Round round;                         // round
    Instant now{};                       // trend: when it was turned to

    MeasuringOnScreen measuring;         // measuring
    Screen measuring_for = Screen::visit;   // where the figure goes: visit, round, site_edit
    HandoverOnScreen handover;           // handover

    std::vector<VisitRow> log;           // log
    std::string record_id;               // record
    std::vector<Event> record_events;

    Learned learned;                     // choices
    CodesOnScreen codes;                 // codes
    std::vector<bundle::HandOver> hand_overs;  // of this log, oldest first

    bool device_sheet = false;           // the platform has one: copies, files, scanning
    bool saving = false;                 // a commit is under way; nothing else is accepted
    std::string undone;                  // what `back` took back, in words, until the next answer
    std::optional<Problem> trouble;      // shown above everything until read
    std::optional<Problem> notice;       // the same for what the log has to say of itself: nothing failed
};

/// The site of this id in the list; null when it is not there.
[[nodiscard]] const SiteRow* find_site(const State& state, std::string_view id);

// --- what a person can do ---
struct Show { Screen screen = Screen::sites; };
struct ShowSite { std::string id; };
struct ShowTrend { std::string site_id; };
struct ShowFigure { Shown which = Shown::delivered; };
struct BeginRound {};                          // at the site of the trend
struct TakeFigure { std::string measurement; };
struct TickService { std::string service; };
struct KeepRound {};                           // saves what was said so far; the round goes on
struct SaveRound {};
struct EditSite { std::string id; };           // empty: a new one
struct EditField { std::string key; };
struct ChooseMaterial { PipeMaterial material = PipeMaterial::steel; };
struct EditText { std::string key, text; };    // name, access
struct SaveDraft {};
struct StartVisit { std::string site_id; };    // empty: at a pump that is not listed; its sheet is begun with it
struct ResumeVisit { std::string visit_id; };
struct Say { Happening what; };                // an event of the visit: answered, measured, ticked ...
struct NamePart { std::string part; };         // in free words, to be said as used
struct LookAgain { bool at_later = false; };   // of two answers that cannot both be true, at this one
struct ReadCautions {};                        // of the repair on the screen
struct Back {};
struct Press { kit::KeypadPress press = kit::KeypadPress::none; char digit = 0; };
struct ChooseCare { Care care = Care::careful; };
struct Unfold { enum Which { how, why, sure, kept } which = how; };
struct ReadRecord { std::string visit_id; };
struct ShowCodes { std::string site_id; };    // the site with its visits, as codes for another device's camera
struct SetUnits { Units units = Units::metric; };
struct SetTheme { kit::Theme theme = kit::Theme::paper; };
struct SetGlass { int percent = 100; };
struct SetTextScale { float scale = 1.0f; };
struct SetBy { std::string by; };
struct SetPerson { Person person = Person::keeper; bool kept = true; };   // kept: for the next start too
struct SetLearning { bool on = true; };
struct SetAloud { bool on = true; };
struct ReadAloud {};                           // this screen, now
struct ReadTrouble {};
struct ShowBrief { std::string site_id; };
struct ShowHandoverPage { HandoverOnScreen::Page page = HandoverOnScreen::Page::brief; };
struct NameReceiver { std::string to; };
struct HandOn {};                              // offered to the one who was named
struct SayBack { std::size_t answer = 0; };    // index among the answers of the question on the screen
struct ReadLine {};                            // the right line was read after a wrong answer
struct SavePaper {};
struct ReceiptBack {};
struct ShowDevice {};                          // what the platform offers: copies, files, scanning
struct HelpMeasure {};                         // the figure of the keypad on the screen
struct ChooseWay { Way way = Way::bucket; };
struct ChooseOption { int option = 0; };       // of the way: which notch, which bed
struct Struck { std::vector<double> at; };     // the pad, seconds
struct TypeSlot { std::string key; };          // one of the figures that the way needs
struct ForgetLast {};                          // the last strike, or the fill it ended
struct StartOver {};
struct UseMeasured {};

using IntentKinds = std::variant<Show, ShowSite, ShowTrend, ShowFigure, BeginRound, TakeFigure, TickService,
                                 KeepRound, SaveRound, EditSite, EditField, ChooseMaterial, EditText, SaveDraft,
                                 StartVisit, ResumeVisit, Say, NamePart, LookAgain, ReadCautions, Back, Press,
                                 ChooseCare, Unfold, ReadRecord, ShowCodes, SetUnits, SetTheme, SetGlass,
                                 SetTextScale, SetBy, SetPerson, SetLearning, SetAloud, ReadAloud, ReadTrouble,
                                 ShowBrief, ShowHandoverPage, NameReceiver, HandOn, SayBack, ReadLine, SavePaper,
                                 ReceiptBack, ShowDevice, HelpMeasure, ChooseWay, ChooseOption, Struck, TypeSlot,
                                 ForgetLast, StartOver, UseMeasured>;

/// One of them. How it is copied and destroyed is compiled once, in intent.cpp: with so many kinds that takes seconds.
struct Intent : IntentKinds {
    using IntentKinds::variant;
    Intent();
    Intent(const Intent& other);
    Intent(Intent&& other) noexcept;
    Intent& operator=(const Intent& other);
    Intent& operator=(Intent&& other) noexcept;
    ~Intent();
};

} // namespace beckhand
