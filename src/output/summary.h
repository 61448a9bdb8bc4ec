// SPDX-License-Identifier: MIT
//
// The table for a terminal after `rank`, and the account of what was dropped.
#ifndef SEL_OUTPUT_SUMMARY_H
#define SEL_OUTPUT_SUMMARY_H

#include "base/text.h"
#include "survey/result.h"

void sel_summary_write(const struct sel_survey *survey, struct sel_text *text);

#endif
