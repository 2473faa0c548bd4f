// The parts that the small drawings are made of. The level of a part is that of its course; where it says "forms",
// the shapes it knows besides the plain one. Each is drawn on the grid of 100 by 80, most of them leaving the
// foot of it, from 68 down, to a trace.
#pragma once

#include "app/drawings/sketch.h"

namespace beckhand::drawings {

// --- waste valve (parts_valve.cpp) ---
void valve(const Brush& b, const Part& p);        // cut open; level: how far open. Forms: tilted, wobbly, jammed
void splash(const Brush& b, const Part& p);       // from its rim; level: how much. Forms: both, one_side, all_round, drips, sheet, weak (low), large (a dome)
void bubbles_out(const Brush& b, const Part& p);  // in the water beside it; level: how many
void stick(const Brush& b, const Part& p);        // on the stem, follows the course of the valve. Forms: away
void kick(const Brush& b, const Part& p);         // felt through the stick. Forms: hard, soft, weak, none
void tail_water(const Brush& b, const Part& p);   // level: how high it stands against the valve
void face(const Brush& b, const Part& p);         // rubber and seat. Forms: grooved, swollen, cracked, debris, tilted
void stroke_marks(const Brush& b, const Part& p); // travel and load. Forms: longer, shorter, loose, missing

// --- the rest of the pump (parts_pump.cpp) ---
void pump(const Brush& b, const Part& p);         // the whole of it, small; level: how far its valve is open
void vessel(const Brush& b, const Part& p);       // cut open; level of the water in it
void knock_rings(const Brush& b, const Part& p);  // what a tap sounds like. Forms: hollow, dull
void vessel_skin(const Brush& b, const Part& p);  // from outside; level: growth. Forms: bubbles, cracked, rust
void snifter(const Brush& b, const Part& p);      // level: 0 sips, 0.5 still, 1 squirts. Forms: both, none, large, drips, missing
void gauge(const Brush& b, const Part& p);        // level: the needle
void gauge_mark(const Brush& b, const Part& p);   // what it should read; level: where
void gauge_swing(const Brush& b, const Part& p);  // from where to where the needle goes: two digits. Forms: both
void flange(const Brush& b, const Part& p);       // a joint; level: what comes out. Forms: drips, wet
void ground_block(const Brush& b, const Part& p); // base of the pump under a boot; level: tilt. Forms: wobbly, loose
void pipe_ring(const Brush& b, const Part& p);    // a pipe seen into. Forms: lime, rust, slime
void bladder(const Brush& b, const Part& p);      // in a vessel. Forms: wet, missing

// --- pipes, valves on them, heights (parts_pipe.cpp) ---
void site(const Brush& b, const Part& p);         // the whole installation, small
void drive_pipe(const Brush& b, const Part& p);   // down a slope; level: flow. Forms: sag, dented, wet, wobbly
void line_pipe(const Brush& b, const Part& p);    // up a slope; level: flow. Forms: patch, crushed, iced, branch
void profile(const Brush& b, const Part& p);      // pump to tank. Forms: hump, high, sag
void short_pipe(const Brush& b, const Part& p);   // level: flow. Forms: steel, plastic, hose, mixed
void lever_valve(const Brush& b, const Part& p);  // on a short pipe; level: how far open. Forms: missing
void pipe_shape(const Brush& b, const Part& p);   // length and bore against fall. Forms: shorter, longer, large, small
void hand(const Brush& b, const Part& p);         // flat on a pipe
void pulse_marks(const Brush& b, const Part& p);  // what a hand feels; level: how strong. Forms: hard, soft, none
void spout(const Brush& b, const Part& p);        // a pipe's end; level: what comes out. Forms: air, broken, drips, large
void vent(const Brush& b, const Part& p);         // on the highest place. Forms: air, wet, down
void height_bars(const Brush& b, const Part& p);  // fall and lift; level: lift, 22.5 falls at full
void person_height(const Brush& b, const Part& p); // header over the valve beside a person; level: height, 2.7 m at full

// --- water in the open (parts_water.cpp) ---
void header(const Brush& b, const Part& p);       // tank with the mouth of the pipe; level. Forms: large (spills)
void whirl(const Brush& b, const Part& p);        // over the mouth. Forms: small, air
void silt(const Brush& b, const Part& p);         // on the floor of the header; level
void old_level(const Brush& b, const Part& p);    // dashed, and an arrow: two digits, where the water stood and stands
void strainer(const Brush& b, const Part& p);     // forms: partly, matted, iced, torn
void channel(const Brush& b, const Part& p);      // from the source to the header. Forms: wet, away
void jar(const Brush& b, const Part& p);          // of creek water. Forms: silt, leaf, iced
void creek(const Brush& b, const Part& p);        // between its banks; level
void tank(const Brush& b, const Part& p);         // level of the water in it. Forms: large (spills), shut (float valve)
void inflow(const Brush& b, const Part& p);       // into that tank; level: how much. Forms: air, drips
void tap(const Brush& b, const Part& p);          // at its foot; level: what runs out
void bucket(const Brush& b, const Part& p);       // level
void bucket_mark(const Brush& b, const Part& p);  // how full it should be; level
void pit(const Brush& b, const Part& p);          // pump pit with its drain; level of the water. Forms: weak, shut, missing
void thermometer(const Brush& b, const Part& p);  // level

// --- signs (parts_signs.cpp) ---
void trace(const Brush& b, const Part& p);        // the course itself as a strip at the foot: when, how long, how much. Forms: large
void graph(const Brush& b, const Part& p);        // the course as a line over the whole drawing: how it went in time
void sound(const Brush& b, const Part& p);        // the course as loudness, both sides of a line
void heard(const Brush& b, const Part& p);        // rings from a noise; level. Forms: hard, soft
void clock(const Brush& b, const Part& p);        // level: how much of the hour
void page(const Brush& b, const Part& p);         // the record
void arrow(const Brush& b, const Part& p);        // forms: left, right, up, down, both (up and down), sticky
void cross(const Brush& b, const Part& p);        // it is not there, it does not
void tick(const Brush& b, const Part& p);         // it is so
void asked(const Brush& b, const Part& p);        // a question mark: nobody knows
void snow(const Brush& b, const Part& p);
void rain(const Brush& b, const Part& p);
void sun(const Brush& b, const Part& p);
void spanner(const Brush& b, const Part& p);
void spade(const Brush& b, const Part& p);
void animal(const Brush& b, const Part& p);
void frog(const Brush& b, const Part& p);
void boot(const Brush& b, const Part& p);
void person(const Brush& b, const Part& p);
void years(const Brush& b, const Part& p);        // a line of years with a rubber on it; level: how long ago. Forms: question
void plus(const Brush& b, const Part& p);
void change(const Brush& b, const Part& p);       // the same as before; forms: up, down (more, less); level: full is much

} // namespace beckhand::drawings
