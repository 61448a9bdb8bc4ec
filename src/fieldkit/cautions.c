// SPDX-License-Identifier: MIT
//
// Common practice, no source.
#include "fieldkit/cautions.h"

const char *const SEL_CAUTIONS[] = {
    "Permission: have the landowner's and the authority's in hand before a trap goes up, and carry "
    "copies.",
    "Ethanol burns, and so does its vapour: no flame, no smoking, no hot engine beside it; carry "
    "it "
    "closed, upright and in small amounts, and label every bottle.",
    "Insecticide only as its label and local law allow, and only by those allowed to use it.",
    "Knives, saws and stakes cut: close them to carry them, and cut away from yourself. Clear only "
    "where the permit says so.",
    "Streams flood. Do not go to a trap beside water when it rises, and do not cross deep or fast "
    "water.",
    "Steep and wet ground: slopes come from a map. Turn back where it feels unsafe. Go in pairs, "
    "and tell somebody when to expect you.",
    "Catches may hold protected species: know the list that applies, release or report as the "
    "permit says, and keep the catch small.",
    "Used fluids, glycol and soapy water go home with you and to the proper collection, never into "
    "soil or water.",
    "Walking times and distances are estimates from maps.",
    "Local codes and licensed practice stand above this paper.", NULL};

const char SEL_CAUTIONS_SHORT[] =
    "Ethanol is flammable; knives cut; insecticide only as its label and local law allow; streams "
    "flood; ground may be steep; landowner and authority must have agreed; protected species may "
    "be in the catch; take used fluids home; walking times are estimates. Local codes and licensed "
    "practice stand above this.";
