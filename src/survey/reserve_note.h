// SPDX-License-Identifier: MIT
//
// Why a site has fewer reserves than were asked for, in words.
#ifndef SEL_SURVEY_RESERVE_NOTE_H
#define SEL_SURVEY_RESERVE_NOTE_H

#include "survey/result.h"

// Fills reserve_note of every primary that comes short.
sel_status sel_reserve_notes_write(sel_context *context, struct sel_survey *survey);

#endif
