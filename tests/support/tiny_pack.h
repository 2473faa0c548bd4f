// A pack small enough to read at a glance, and clean under the linter: two causes, three observations, one
// of them answered by a figure. Tests change one thing of it and look what happens.
#pragma once

#include <string>
#include <vector>

#include "engine/diagnosis/pack_file.h"
#include "knowledge/compiler/read_toml.h"

namespace beckhand::tests {

inline std::vector<SourceFile> tiny_files() {
    const char* const head = R"(version = "1.0.0"
issued = "2026-11-25"

[scale]
typical = 8.0
slip = 0.05

[[change]]
version = "1.0.0"
date = "2026-11-25"
what = "First pack."

[[impossible]]
first = { observation = "beat_band", answers = ["fast"] }
second = { observation = "screen_face", answers = ["matted"] }
why = "Too little water cannot make it fast."
sources = ["cp"]

[[first_sight]]
say = "The beat is slow"
observation = "beat_band"
answer = "slow"

[[look_alike]]
first = "screen_matted"
second = "rubber_worn"
splits_on = "screen_face"

[[chain]]
first = "screen_matted"
then = "rubber_worn"

[source.cp]
text = "common practice"

[service.rake]
name = "Rake the strainer"
part = "intake"
say = "Rake the strainer."
every_months = 1.0
before = "leaf-fall"
month = 9.0
done_by = ["screen_matted"]
tools = ["rake"]
cautions = ["pinch"]
sources = ["cp"]

[caution.pinch]
title = "The waste valve pinches"
say = "Keep hands off. The waste valve shuts without warning."
sources = ["cp"]

[caution.cold_water]
title = "Cold water"
say = "Stand on firm ground."
defer_to = "Your rules for lone work"
stop = true
fires_on = [{ observation = "screen_face", answer = "matted" }]
sources = ["cp"]

[measurement.B]
name = "Beat"
unit = "1/s"
ask = "How many beats in a minute?"
how = "Count the shuts for one minute."
pitfalls = "A double knock is one beat."
minutes = 1.5
pump = "running"
place = "pump"
tools = ["watch"]
cautions = ["pinch"]
careful = { relative = 0.02, absolute = 0.0 }
sloppy = { relative = 0.08, absolute = 0.0 }
least = 0.2
most = 4
sources = ["cp"]
)";
    const char* const intake = R"([observation.screen_face]
group = "flows"
ask = "What covers the strainer?"
look = "Look from the bank."
slip = "The underside mats first."
why = "A covered strainer starves the pump."
minutes = 4
pump = "either"
place = "intake"
tools = ["rake"]
cautions = ["cold_water"]
answers = [
  { id = "clear", say = "Nothing", normal = true },
  { id = "matted", say = "Leaves or weed" },
  { id = "cannot_reach", say = "Cannot reach it", cannot = true },
]
sources = ["cp"]

[cause.screen_matted]
name = "Strainer matted over"
say = "Leaves cover the strainer."
mechanism = "Too little water gets in."
per_1000 = 74
prior_reason = "It is the first upkeep job."
looks_like = "The beat slows over days."
sources = ["cp"]
in_the_pump = [
  { moves = "drive.entry_k", times = 1000 },
  { moves = "header.source_m3s", down_to = 0.3, of = "usual_draw" },
]
severity = [0.3, 0.8]

[cause.screen_matted.seen]
screen_face = { matted = "typical", clear = "nearly_excluded" }
beat_band = { slow = "likelier" }

[cause.screen_matted.check]
say = "Rake the strainer."
yes = "The beat quickens"
no = "Nothing changes"
minutes = 55
pump = "running"
place = "intake"
tools = ["rake"]
cautions = ["cold_water"]

[cause.screen_matted.fix]
id = "clear_strainer"
minutes = 15
pump = "either"
tools = ["rake"]
parts = ["spare mesh"]
cautions = ["cold_water", "pinch"]
steps = [
  { say = "Rake the screen.", cautions = ["cold_water"] },
  { say = "Start the pump by hand.", cautions = ["pinch"] },
]
keep = "Look at it weekly."

[cause.screen_matted.proof]
see = "Does it beat as it used to?"
measure = ["B"]
wait_minutes = 5
later = "Look again after a day."
)";
    const char* const waste_valve = R"([observation.beat_band]
group = "flows"
ask = "How does the beat compare with the record?"
look = "Count from where you see the valve."
minutes = 2
pump = "running"
place = "pump"
answers = [
  { id = "slow", say = "Slower" },
  { id = "same", say = "The same", normal = true },
  { id = "fast", say = "Faster", pump = "running" },
  { id = "cannot_tell", say = "Cannot tell", cannot = true },
]
bands = { quantity = "beat_ratio", edges = [0.88, 1.12], answers = ["slow", "same", "fast"], needs = ["B"] }
sources = ["cp"]

[observation.rubber_look]
ask = "How does the rubber look?"
look = "Shut the drive gate. Look with a torch."
minutes = 6
pump = "stopped"
place = "pump"
cautions = ["pinch"]
answers = [
  { id = "whole", say = "Whole", normal = true },
  { id = "grooved", say = "Grooved or torn" },
  { id = "cannot_see", say = "Cannot see it", cannot = true },
]
sources = ["cp"]

[cause.rubber_worn]
name = "Waste valve rubber worn"
say = "The rubber no longer seals."
per_1000 = 40
sources = ["cp"]
in_the_pump = [{ moves = "waste_valve.leak_area_m2", add = 0.05, of = "drive.bore_area" }]

[cause.rubber_worn.seen]
rubber_look = { grooved = "typical", whole = "unlikelier" }
beat_band = { fast = "likelier" }

[cause.rubber_worn.check]
say = "Look at the rubber."
yes = "It is grooved"
no = "It is whole"
minutes = 55
pump = "stopped"
place = "pump"
cautions = ["pinch"]

[cause.rubber_worn.fix]
id = "renew_rubber"
minutes = 30
pump = "stopped"
tools = ["spanner"]
parts = ["rubber"]
cautions = ["pinch"]
steps = [
  { say = "Shut the drive gate.", cautions = ["pinch"] },
  { say = "Put in a new rubber." },
]
keep = "Keep a spare."

[cause.rubber_worn.proof]
see = "Does it shut with one clean knock?"
measure = []
wait_minutes = 1
)";
    return {{"intake.toml", intake}, {"waste_valve.toml", waste_valve}, {"pack.toml", head}};
}

inline Pack tiny_pack() {
    Pack pack = read_toml(tiny_files()).pack;
    pack.hash = content_hash(pack);
    return pack;
}

/// The tiny pack's files with the first `from` replaced by `to`, wherever it stands; unchanged files tell
/// the test that it looks for something that is not there.
inline std::vector<SourceFile> tiny_files_with(const std::string& from, const std::string& to) {
    std::vector<SourceFile> files = tiny_files();
    for (SourceFile& file : files) {
        const std::size_t at = file.text.find(from);
        if (at != std::string::npos) {
            file.text.replace(at, from.size(), to);
            return files;
        }
    }
    return {};
}

} // namespace beckhand::tests
