// SPDX-License-Identifier: MIT
//
// How the field kit writes dates, times, places and quantities.
#ifndef SEL_FIELDKIT_WORDS_H
#define SEL_FIELDKIT_WORDS_H

#include <stdint.h>

#include "base/text.h"
#include "output/duration.h"

// Days are counted as sel_date_day_number does.
void sel_add_iso_date(struct sel_text *text, int64_t day);     // 2027-05-15
void sel_add_compact_date(struct sel_text *text, int64_t day); // 20270515
void sel_add_long_date(struct sel_text *text, int64_t day);    // Sat 15 May 2027

// "2027-05-15/2027-05-22" (ISO 8601), or one date when both are the same.
void sel_add_interval(struct sel_text *text, int64_t from_day, int64_t to_day);

// "49.923965° N, 14.482933° E", WGS 84 to 0.1 m.
void sel_add_position(struct sel_text *text, double latitude, double longitude);

// "500 ml", "1.5 l", from 1 litre on in litres.
void sel_add_volume(struct sel_text *text, double millilitres);

// "3° east", "0.4° west", "0°": an angle of a north from true north, to a tenth of a degree.
void sel_add_turn(struct sel_text *text, double degrees);

// "007°", a bearing to the whole degree with three digits, as compasses show it.
void sel_add_bearing(struct sel_text *text, double degrees);

#endif
