// What the program asks of the page that it runs in; calls.js answers.
#pragma once

#include <cstdint>

extern "C" {

/// Asks for beckhand_turn: at the next frame, or for seconds above 0 after that time. One is waited for at most.
void beckhand_due(double seconds);
/// Asks for beckhand_work, until it says that there is no more.
void beckhand_more_work(void);
/// Milliseconds since the browser's event that is being heard; 0 outside of one.
double beckhand_event_age(void);
/// Puts what changed in the log's folder on the browser's storages, then calls beckhand_kept with this number. 0:
/// nobody waits for it.
void beckhand_keep(int number);
/// Hands a file to the person: the device's sheet for sharing, or among the downloads.
void beckhand_give_file(const char* name, const std::uint8_t* bytes, int size);
/// Reads lines aloud in place of any it is still at; 0 where there is no voice. And stops.
int beckhand_say(const char* lines);
void beckhand_hush(void);
/// Opens the microphone, or closes it: what it hears goes to beckhand_heard, why it cannot to beckhand_cannot_hear.
void beckhand_listen(int on);
/// The screen that was just drawn, for what depends on it: offering a new version, keeping the display awake,
/// the colours of its ground and of its letters (0xRRGGBB) for what the page shows itself.
void beckhand_shown(const char* screen, int in_visit, int ground, int ink);
/// 1 where the page was asked for the demo.
int beckhand_wants_demo(void);
/// Opens the page's sheet: copies, files, scanning.
void beckhand_sheet(void);
/// Dots of ours to a dot of the page; 0 where pictures are drawn without a graphics card, one for one.
double beckhand_density(void);
}
