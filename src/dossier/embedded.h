// SPDX-License-Identifier: MIT
//
// The dossier's style sheet and scripts as texts. They are files of their own (dossier.css,
// map.js, choice.js, weights.js in this folder), which the build puts into the library.
#ifndef SEL_DOSSIER_EMBEDDED_H
#define SEL_DOSSIER_EMBEDDED_H

#include <stddef.h>

extern const char sel_dossier_style[], sel_dossier_map_script[], sel_dossier_choice_script[],
    sel_dossier_weights_script[];
extern const size_t sel_dossier_style_length, sel_dossier_map_script_length,
    sel_dossier_choice_script_length, sel_dossier_weights_script_length;

#endif
