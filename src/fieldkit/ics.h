// SPDX-License-Identifier: MIT
//
// Lines of iCalendar (RFC 5545, section 3.1): folded at 75 octets, ended by CR LF, text escaped.
#ifndef SEL_FIELDKIT_ICS_H
#define SEL_FIELDKIT_ICS_H

#include "base/text.h"

// Appends "line" CR LF, folded between characters so that no piece is longer than 75 octets.
void sel_ics_line(struct sel_text *ics, const char *line);

// Appends `chars` to a line being made as a TEXT value: backslash, semicolon, comma and line break
// are escaped, other control characters replaced.
void sel_ics_escape(struct sel_text *line, const char *chars);

#endif
