// SPDX-License-Identifier: MIT
//
// One row per kind of thing; how many a trap needs at the set-up and at a change. All numbers per
// trap are common practice, no source: they are meant to be looked at and changed by hand.
#include "fieldkit/items.h"

#include <math.h>

enum { POLES_PER_TRAP = 2, LINES_PER_TRAP = 4, PEGS_PER_TRAP = 6, BALLAST_PER_TRAP = 4 };

typedef double amount_fn(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site);

struct item_kind {
    const char *name, *note;
    bool fluid;
    bool used_up; // needed anew at every change; else carried to and fro
    amount_fn *setup, *change;
};

// --- amounts ---

static double none(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit, (void)site;
    return 0.0;
}

static double one(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit, (void)site;
    return 1.0;
}

static double half(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit, (void)site;
    return 0.5;
}

static double bottle_fluid(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)site;
    return kit->plan.field.fluid_ml;
}

static double poles(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit;
    return site->row->support == 1 ? 0.0 : POLES_PER_TRAP;
}

static double lines(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit, (void)site;
    return LINES_PER_TRAP;
}

static double pegs(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit, (void)site;
    return PEGS_PER_TRAP;
}

static double ballast(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit;
    return site->sand || site->rock ? BALLAST_PER_TRAP : 0.0;
}

// Where it is not known how sunny a place is, foil is taken along.
static double foil(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)kit;
    return site->row->shade == 0 ? 0.0 : 1.0;
}

static double pans(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    (void)site;
    return kit->plan.field.pans;
}

// Open pans in the sun dry out: glycol there, soapy water elsewhere.
static double glycol(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    return foil(kit, site) > 0.0 ? kit->plan.field.pans * kit->plan.field.pan_ml : 0.0;
}

static double soap(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    return foil(kit, site) > 0.0 ? 0.0 : kit->plan.field.pans * kit->plan.field.pan_ml;
}

static const struct item_kind KINDS[] = {
    {"trap", "panel, frame, lines; see the setup cards", false, false, one, none},
    {"collecting head", "two for each trap, in turn", false, false, one, one},
    {"bottle with lid", "numbered as the labels are", false, true, one, one},
    {"preservative", "for the bottles; flammable if it is alcohol: carry little, closed, upright",
        true, true, bottle_fluid, bottle_fluid},
    {"label, small and large", "write in pencil; the small one goes inside", false, true, one, one},
    {"spare head and bottle", "for breakage: one for every two traps", false, false, half, none},
    {"pole", "where no stems stand near", false, false, poles, none},
    {"guy line", "four for each trap", false, false, lines, none},
    {"spare guy line", "animals and wind take them", false, true, one, half},
    {"peg", "six for each trap", false, false, pegs, none},
    {"ballast bag", "sand or rock, where pegs may not hold: fill on site", false, false, ballast,
        none},
    {"foil for the bottle", "sunny places: shade the bottle, never the upper head", false, false,
        foil, none},
    {"open pan", "as the plan says (field.pans)", false, false, pans, none},
    {"propylene glycol", "for open pans in sunny places, which dry out", true, true, glycol,
        glycol},
    {"soapy water", "for open pans in shade: a drop of unscented soap", true, true, soap, soap},
};

enum { KINDS_COUNT = sizeof KINDS / sizeof *KINDS };

size_t sel_kit_items(void) {
    return KINDS_COUNT;
}

// --- counting ---

struct stretch {
    size_t first, end; // of the order
};

static struct stretch stretch_of(const struct sel_fieldkit *kit, size_t round) {
    if (round == kit->round_count)
        return (struct stretch){0, kit->primary_count};
    size_t first = kit->rounds[round].first;
    return (struct stretch){first, first + kit->rounds[round].count};
}

// Pieces are whole for every round, since each round packs its own bag.
static struct sel_kit_item count_round(
    const struct sel_fieldkit *kit, const struct item_kind *kind, size_t round) {
    struct sel_kit_item item = {.name = kind->name, .note = kind->note, .fluid = kind->fluid};
    struct stretch stretch = stretch_of(kit, round);
    for (size_t place = stretch.first; place < stretch.end; place++) {
        item.setup += kit->plan.traps * kind->setup(kit, sel_fieldkit_at(kit, place));
        item.change += kit->plan.traps * kind->change(kit, sel_fieldkit_at(kit, place));
    }
    if (kit->stint_count == 1)
        item.change = 0.0; // nothing is hung up again
    item.setup = kind->fluid ? item.setup : ceil(item.setup);
    item.change = kind->fluid ? item.change : ceil(item.change);
    double changes = kind->used_up ? (double)(kit->stint_count - 1) : 1.0;
    item.season = item.setup + item.change * changes;
    return item;
}

struct sel_kit_item sel_kit_count(const struct sel_fieldkit *kit, size_t item, size_t round) {
    if (round < kit->round_count)
        return count_round(kit, &KINDS[item], round);
    struct sel_kit_item total = {
        .name = KINDS[item].name, .note = KINDS[item].note, .fluid = KINDS[item].fluid};
    for (size_t i = 0; i < kit->round_count; i++) {
        struct sel_kit_item part = count_round(kit, &KINDS[item], i);
        total.setup += part.setup;
        total.change += part.change;
        total.season += part.season;
    }
    return total;
}

// Whether a site is one of those the thing is for. Pans are told apart by their fluid even when the
// plan has none, so that somebody who adds pans knows what to put in.
static bool is_for(const struct sel_fieldkit *kit, const struct item_kind *kind,
    const struct sel_fieldkit_site *site) {
    if (kind->setup == glycol)
        return foil(kit, site) > 0.0;
    if (kind->setup == soap)
        return foil(kit, site) == 0.0;
    return kind->setup(kit, site) > 0.0;
}

void sel_kit_sites(
    const struct sel_fieldkit *kit, size_t item, size_t round, struct sel_text *text) {
    struct stretch stretch = stretch_of(kit, round);
    size_t count = 0;
    for (size_t place = stretch.first; place < stretch.end; place++)
        count += is_for(kit, &KINDS[item], sel_fieldkit_at(kit, place)) ? 1 : 0;
    if (count == stretch.end - stretch.first) {
        sel_text_add(text, "all");
        return;
    }
    const char *between = "";
    for (size_t place = stretch.first; place < stretch.end; place++) {
        const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, place);
        if (!is_for(kit, &KINDS[item], site))
            continue;
        sel_text_addf(text, "%s%s", between, sel_fieldkit_id(site));
        between = " ";
    }
}
