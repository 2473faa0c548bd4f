// A site looked after by several people at a terminal: the round, the read-back, a changed sheet, parts used, and a
// person erased from sheets; each run as a process with lines typed into it.
#if defined(__unix__)

#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "tests/support/program.h"

namespace beckhand {
namespace {

using tests::Desk;
using tests::holds;
using tests::Ran;

/// Answers to one question until it is not asked any more: the first wrong ones teach, the right one goes on.
std::string every_answer() {
    std::string lines;
    for (int question = 0; question < 12; ++question) lines += "1\n2\n3\n4\n";
    return lines;
}

int count_of(const std::string& text, const std::string& part) {
    int count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
    return count;
}

} // namespace

TEST_CASE("a round at a terminal says what is due and what to carry, and keeps each answer before the next question") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    const Ran looked = desk.run("round vessenhope", "");
    CHECK(looked.code == 0);
    CHECK(holds(looked.out, "What is due"));
    CHECK(holds(looked.out, "Take on the next visit"));
    const Ran nothing = desk.run("round vessenhope", "\n\n\n\n\n\n");
    CHECK(holds(nothing.out, "Nothing was set down."));
    const std::string before = desk.run("log").out;
    CHECK(desk.run("log").out == before); // neither look left anything in the log
    const Ran ran = desk.run("round Vessenhope", "99999999\n3.9\n\n55\n\n\n1, 77\n1 2\n");
    CHECK(ran.code == 0);
    CHECK(holds(ran.out, "Check the point and the unit."));     // no pump gives so much
    CHECK(holds(ran.out, "\"77\" is not one of the answers here."));
    CHECK(holds(ran.out, "Set down: "));
    CHECK_FALSE(holds(ran.out, "Go on with"));
    const std::string after = desk.run("log").out;
    CHECK(count_of(after, "\n") == count_of(before, "\n") + 1);
    CHECK(holds(after, "Routine: figures and work set down"));
    const std::string record = desk.run("log " + after.substr(0, after.find(' '))).out;
    CHECK(count_of(record, "Routine work done: ") == 2);
    CHECK(holds(record, "3.9 L/min"));
    CHECK(desk.run("round Nowhere").code == 2);
    // Cut off after the first figure, and left with q after the second: what was said is kept, and the round is over.
    for (const char* const lines : {"3.8\n", "3.8\n\nQ\n"}) {
        const std::string earlier = desk.run("log").out;
        const Ran cut = desk.run("round vessenhope", lines);
        CHECK(cut.code == 0);
        CHECK(holds(cut.out, "3.8 L/min."));
        CHECK(holds(cut.out, "Go on with: beckhand round \"Vessenhope\""));
        const std::string log = desk.run("log").out;
        CHECK(count_of(log, "\n") == count_of(earlier, "\n") + 1);
        CHECK_FALSE(holds(log, "(open)"));
        CHECK(holds(desk.run("log " + log.substr(0, log.find(' '))).out, "3.8 L/min"));
    }
    const Ran left = desk.run("round vessenhope", "q\n");
    CHECK(holds(left.out, "Nothing was set down.\nGo on with: "));
}

TEST_CASE("a site counts as handed over at a terminal once three questions about its brief are answered right") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    CHECK(desk.run("read-back Vessenhope").code == 2); // to whom?
    CHECK(desk.run("read-back Vessenhope --received").code == 2);
    const Ran begun = desk.run("read-back vessenhope --to 'M. K.'", "9\n");
    CHECK(begun.code == 0);
    CHECK(holds(begun.out, "Vessenhope goes on to M. K."));
    CHECK(holds(begun.out, "\"9\" is not one of the answers here."));
    CHECK(holds(begun.out, "Not handed over yet"));
    const Ran ran = desk.run("read-back vessenhope", every_answer());
    CHECK(ran.code == 0);
    CHECK(count_of(ran.out, "Right.\n") == 3);
    CHECK(holds(ran.out, "Not right. The brief says: "));
    CHECK(holds(ran.out, "Handed over."));
    CHECK(holds(ran.out, "[x] Read back by M. K."));
    CHECK(holds(ran.out, "[ ] No receipt yet"));
    CHECK(holds(desk.run("read-back vessenhope --received").out, "[x] Received by M. K."));
    const std::string log = desk.run("log").out;
    const std::string record = desk.run("log " + log.substr(0, log.find(' '))).out;
    CHECK(holds(record, "Handed on to M. K., with a brief."));
    CHECK(holds(record, "Said back, the first danger: right."));
    CHECK(holds(record, "Received by M. K."));
}

TEST_CASE("one entry of a sheet is set by its key, in the units shown, and the seasons follow it") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    CHECK(holds(desk.run("trend Vessenhope").out, "Seasons are those north of the equator"));
    CHECK(desk.run("site set Vessenhope hemisphere south").code == 0);
    CHECK(holds(desk.run("trend Vessenhope").out, "Seasons are those south of the equator"));
    CHECK(holds(desk.run("site set Vessenhope hemisphere west").err, "one of north, south"));
    CHECK(desk.run("--units us site set Vessenhope fall_m 10").code == 0);
    CHECK(desk.run("export tables").code == 0);
    const auto sites = desk.run("log >/dev/null; cat tables/sites.csv").out; // read as a person would
    CHECK(holds(sites, "3.048")); // 10 ft (NIST SP 811, appendix B: 1 ft is 0.3048 m)
    CHECK(holds(sites, "\"south\""));
    CHECK(desk.run("site set Vessenhope fall_m 5000").code == 2);
    CHECK(holds(desk.run("site set Vessenhope weather fine").err, "A site's sheet has no such entry."));
    CHECK(desk.run("site set Vessenhope call ''").code == 0);
}

TEST_CASE("a name is taken off the sheets of a site, and what stays is named before anybody agrees") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    CHECK(desk.run("site set Vessenhope call 'Orla Quade, 0123'").code == 0);
    const Ran shown = desk.run("erase 'Orla Quade'", "n\n");
    CHECK(holds(shown.out, "1 of the sheets of Vessenhope name them and go"));
    CHECK_FALSE(holds(shown.out, "These places name them too"));
    CHECK(holds(desk.run("brief Vessenhope").out, "Orla Quade")); // nothing was changed
    CHECK(desk.run("erase 'Orla Quade' --yes").code == 0);
    const std::string brief = desk.run("brief Vessenhope").out;
    CHECK_FALSE(holds(brief, "Orla"));
    CHECK(holds(brief, "(erased), 0123"));
    CHECK(desk.run("log check").code == 0);
    CHECK(holds(desk.run("erase Vessenhope", "n\n").out, "These places name them too and stay"));
}

TEST_CASE("a part used is said in a visit at a terminal and stands in its record") {
    const Desk desk;
    CHECK(desk.run("demo --fill").code == 0);
    CHECK(desk.run("visit --site Vessenhope", "part 2 hose clip\nend\n3\n").code == 0);
    const std::string log = desk.run("log").out;
    CHECK(holds(desk.run("log " + log.substr(0, log.find(' '))).out, "Part used: 2 x hose clip."));
}

} // namespace beckhand

#endif
