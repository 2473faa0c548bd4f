// What is read aloud to somebody whose eyes are on the pump.
#include "platform/desktop/speech.h"
#include "app/aloud/aloud.h"
#include "tests/app/kit_audit.h"

using namespace beckhand;
using namespace beckhand::kit;

TEST_CASE("figures are said with their units, and nothing else is touched") {
    CHECK(spoken("Delivered 12.5 L/min, wasted 70 L/min.") == "Delivered 12.5 litres a minute, wasted 70 litres a minute.");
    CHECK(spoken("3 gal/min at 45 psi") == "3 gallons a minute at 45 pounds a square inch");
    CHECK(spoken("0.2 - 30 m") == "0.2 to 30 metres");
    CHECK(spoken("60 beats/min, 4 min") == "60 beats a minute, 4 minutes");
    CHECK(spoken("16 \u00b0C and 80 %") == "16 degrees Celsius and 80 per cent");
    CHECK(spoken("80%") == "80 per cent");
    CHECK(spoken("Stand at the pump. In 5 min look again") == "Stand at the pump. In 5 minutes look again");
    CHECK(spoken("It is 3. In this pipe") == "It is 3. In this pipe"); // "In" is no inch behind a full stop
    CHECK(spoken("").empty());
}

TEST_CASE("a question is read with its answers by number, its heading and bar are not") {
    Kit kit(embedded_regular(), embedded_bold());
    set_glass(kit, phone);
    Hand hand{kit, [&] {
                  kit.begin_screen("question", "Spring Meadow", "4 asked");
                  kit.main();
                  kit.words(Type::question, "What does the strainer look like?");
                  (void)kit.answer("a1", "Clean");
                  (void)kit.answer("a2", "Matted over");
                  kit.caution("Cold fast water", "Stand beside the intake, not in it", "", false);
                  kit.bar();
                  (void)kit.bar_button("back", "Back", Slot::left);
                  kit.end_screen();
              }};
    hand.settle();
    const std::vector<std::string> said = read_out(kit.controls());
    REQUIRE(said.size() == 4);
    CHECK(said[0].find("Cold fast water") != std::string::npos); // what can hurt comes first
    CHECK(said[1] == "What does the strainer look like?");
    CHECK(said[2] == "One: Clean.");
    CHECK(said[3] == "Two: Matted over.");
}

TEST_CASE("the voice speaks, at a pace that people follow with ease") {
    // 150 to 200 words a minute is what young and old listeners choose for synthetic speech (Sutton, King, Hux and
    // Beukelman 1995, Augmentative and Alternative Communication 11, from memory).
    const std::string text = "Walk up to the intake and look at the strainer in the water before you touch anything. "
                             "Count how much of it is covered with leaves and weed, and come back to the pump.";
    const Sound sound = sound_of(text);
    REQUIRE(sound.rate > 0);
    const double minutes = static_cast<double>(sound.samples.size()) / sound.rate / 60.0;
    constexpr double words = 35;
    MESSAGE("words a minute: ", words / minutes);
    CHECK(words / minutes > 130);
    CHECK(words / minutes < 175);
    double loud = 0;
    for (const std::int16_t sample : sound.samples) loud = std::max(loud, std::abs(sample / 32768.0));
    CHECK(loud > 0.1); // no silence
    CHECK(sound_of("").samples.size() < static_cast<std::size_t>(sound.rate));
}
