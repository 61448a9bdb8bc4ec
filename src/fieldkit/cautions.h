// SPDX-License-Identifier: MIT
//
// What can hurt, and what must be asked for first: printed with every paper that goes outdoors.
#ifndef SEL_FIELDKIT_CAUTIONS_H
#define SEL_FIELDKIT_CAUTIONS_H

#include <stddef.h>

// The cautions, one sentence or two each, ended by NULL. The last one says what stands above them.
extern const char *const SEL_CAUTIONS[];

// All of it in two lines, for places with little room.
extern const char SEL_CAUTIONS_SHORT[];

#endif
