// SPDX-License-Identifier: MIT
//
// Hexagonal lattice in axial coordinates: centres at q * (sqrt 3, 0) + r * (sqrt 3 / 2, 3 / 2) in
// units of the hexagon's side, which is half its longest diagonal. The nearest centre is found by
// rounding in the three directions that sum to zero and mending the one that was rounded most.
// Numbers are dealt out through a hash.
#include "choose/cover.h"

#include <math.h>
#include <stdlib.h>

static const double SQRT_3 = 1.7320508075688772;
static const double MARGIN = 1e-9; // of apart_m: the diagonal stays below it whatever rounding does

static const double SHIFTS[SEL_COVERS][2] = {{0, 0}, {1.0 / 3, 1.0 / 3}, {2.0 / 3, 2.0 / 3},
    {0.5, 0}, {0, 0.5}, {0.5, 0.5}}; // of the lattice's two steps

struct hexagon {
    int64_t q, r;
};

struct slot {
    struct hexagon hexagon;
    int32_t number; // -1: free
};

static struct hexagon hexagon_at(double q, double r) {
    double round_q = round(q), round_r = round(r), round_s = round(-q - r);
    double off_q = fabs(round_q - q), off_r = fabs(round_r - r), off_s = fabs(round_s + q + r);
    if (off_q > off_r && off_q > off_s)
        round_q = -round_r - round_s;
    else if (off_r > off_s)
        round_r = -round_q - round_s;
    return (struct hexagon){(int64_t)round_q, (int64_t)round_r};
}

// A place in steps of the lattice.
struct steps {
    double q, r;
};

static struct steps steps_to(
    const struct sel_choice_item *item, double side, double shift_q, double shift_r) {
    double r = item->y_m / (1.5 * side), q = item->x_m / (SQRT_3 * side) - r / 2;
    return (struct steps){q + shift_q, r + shift_r};
}

static struct hexagon hexagon_of(const struct sel_choice_item *item, double side, int cover) {
    struct steps at = steps_to(item, side, SHIFTS[cover][0], SHIFTS[cover][1]);
    return hexagon_at(at.q, at.r);
}

static int32_t number_of(
    struct slot *slots, size_t mask, struct hexagon hexagon, int32_t *cell_count) {
    uint64_t mixed = (uint64_t)hexagon.q * 0x9e3779b97f4a7c15u;
    mixed = (mixed ^ (mixed >> 29)) + (uint64_t)hexagon.r * 0xbb67ae8584caa73bu;
    size_t at = (size_t)(mixed ^ (mixed >> 32)) & mask;
    while (slots[at].number >= 0 &&
           (slots[at].hexagon.q != hexagon.q || slots[at].hexagon.r != hexagon.r))
        at = (at + 1) & mask;
    if (slots[at].number < 0)
        slots[at] = (struct slot){hexagon, (*cell_count)++};
    return slots[at].number;
}

static void number_each(size_t count, int32_t *cells, int32_t *cell_count) {
    for (size_t i = 0; i < count; i++)
        cells[i] = (int32_t)i;
    *cell_count = (int32_t)count;
}

static struct slot *free_slots(size_t count, size_t *room) {
    *room = 16;
    while (*room < 2 * count)
        *room *= 2;
    struct slot *slots = malloc(*room * sizeof *slots);
    for (size_t i = 0; slots && i < *room; i++)
        slots[i].number = -1;
    return slots;
}

bool sel_cover_number(const struct sel_choice_item *items, size_t count, double apart_m, int cover,
    int32_t *cells, int32_t *cell_count) {
    *cell_count = 0;
    if (!(apart_m > 0)) {
        number_each(count, cells, cell_count);
        return true;
    }
    size_t room;
    struct slot *slots = free_slots(count, &room);
    if (!slots)
        return false;
    double side = apart_m / 2 * (1 - MARGIN);
    for (size_t i = 0; i < count; i++)
        cells[i] = number_of(slots, room - 1, hexagon_of(&items[i], side, cover), cell_count);
    free(slots);
    return true;
}

bool sel_discs_number(const struct sel_choice_item *items, size_t count, double apart_m,
    int lattice, int32_t *cells, int32_t *cell_count) {
    size_t room;
    struct slot *slots = free_slots(count, &room);
    *cell_count = 1; // no disc
    if (!slots)
        return false;
    double width = apart_m * (1 - MARGIN), side = width / SQRT_3;
    for (size_t i = 0; i < count; i++) {
        cells[i] = 0;
        if (!(apart_m > 0))
            continue;
        int across = lattice % 4, down = lattice / 4; // of four by four shifts
        struct steps at = steps_to(&items[i], side, across / 4.0, down / 4.0);
        struct hexagon hexagon = hexagon_at(at.q, at.r);
        double q = at.q - (double)hexagon.q, r = at.r - (double)hexagon.r;
        if (q * q + q * r + r * r <= 0.25) // in squares of the lattice's step, which is the width
            cells[i] = number_of(slots, room - 1, hexagon, cell_count);
    }
    free(slots);
    return true;
}
