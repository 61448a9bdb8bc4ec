// SPDX-License-Identifier: MIT
//
// Groups cracks by lattice square and pair in an open-addressing hash table (linear probing, Knuth
// vol. 3, algorithm 6.4 L) and keeps the best candidate and the furthest fate of each group.
//
// Every comparison is between whole numbers or values that were rounded before, and the last tie is
// broken by position, so the winners depend on the set of prospects and not on their order.
#include "flyway/lattice.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/whole.h"

#include "base/array.h"

enum { FIRST_SLOTS = 1024 }; // a power of two

static const size_t NO_WINNER = SIZE_MAX;

struct group {
    int64_t row, col; // lattice square
    sel_habitat_id a, b;
    enum sel_fate fate;
    size_t winner;
};

// A winner with its position, to be sorted.
struct placed {
    int32_t hy, hx;
    size_t index;
};

struct sel_lattice_scratch {
    struct group *groups;
    size_t group_count, group_capacity;
    size_t *slots; // 1 + index of a group; 0: free
    size_t slot_count;
    struct placed *placed;
    size_t placed_capacity;
};

const char *sel_fate_name(enum sel_fate fate) {
    static const char *const names[SEL_FATES] = {
        [SEL_FATE_OUTSIDE] = "outside the study area",
        [SEL_FATE_NO_GROUND] = "neither side may hold a trap",
        [SEL_FATE_EXCLUDED] = "in an exclusion zone",
        [SEL_FATE_NEAR_WAY] = "too near a public way",
        [SEL_FATE_NO_SLOPE] = "no elevation around it",
        [SEL_FATE_STEEP] = "slope beyond the limit",
        [SEL_FATE_NO_DIRECTION] = "no clear edge direction",
        [SEL_FATE_UNKNOWN_BELT] = "too little of the belt is known",
        [SEL_FATE_CANDIDATE] = "candidate",
    };
    return names[fate];
}

static int64_t ceil_div(int64_t value, int64_t divisor) {
    return -sel_floor_div(-value, divisor);
}

struct sel_lattice_range sel_lattice_owned(int64_t side, struct sel_window core) {
    return (struct sel_lattice_range){.side = side,
        .first_row = ceil_div(2 * core.row, side),
        .last_row = ceil_div(2 * (core.row + core.rows), side),
        .first_col = ceil_div(2 * core.col, side),
        .last_col = ceil_div(2 * (core.col + core.cols), side)};
}

struct sel_window sel_lattice_cells(const struct sel_lattice_range *range) {
    struct sel_window cells = {.row = sel_floor_div(range->first_row * range->side, 2),
        .col = sel_floor_div(range->first_col * range->side, 2)};
    if (range->last_row > range->first_row)
        cells.rows = ceil_div(range->last_row * range->side, 2) - cells.row;
    if (range->last_col > range->first_col)
        cells.cols = ceil_div(range->last_col * range->side, 2) - cells.col;
    return cells;
}

struct sel_lattice_scratch *sel_lattice_scratch_new(void) {
    return calloc(1, sizeof(struct sel_lattice_scratch));
}

void sel_lattice_scratch_free(struct sel_lattice_scratch *scratch) {
    if (!scratch)
        return;
    free(scratch->groups);
    free(scratch->slots);
    free(scratch->placed);
    free(scratch);
}

// Mixes the key's bits (finaliser of SplitMix64, Steele, Lea & Flood 2014).
static uint64_t hash_of(const struct group *group) {
    uint64_t bits = (uint64_t)group->row << 36 ^ (uint64_t)group->col << 16 ^
                    (uint64_t)group->a << 8 ^ (uint64_t)group->b;
    bits = (bits ^ bits >> 30) * 0xbf58476d1ce4e5b9u;
    bits = (bits ^ bits >> 27) * 0x94d049bb133111ebu;
    return bits ^ bits >> 31;
}

static bool same_key(const struct group *one, const struct group *other) {
    return one->row == other->row && one->col == other->col && one->a == other->a &&
           one->b == other->b;
}

// The slot that holds the key's group, or the free slot where it belongs.
static size_t *find_slot(const struct sel_lattice_scratch *scratch, const struct group *key) {
    size_t mask = scratch->slot_count - 1;
    size_t at = (size_t)hash_of(key) & mask;
    while (scratch->slots[at] && !same_key(&scratch->groups[scratch->slots[at] - 1], key))
        at = (at + 1) & mask;
    return &scratch->slots[at];
}

// Gives the table `slot_count` free slots and puts the groups back.
static bool reset_slots(struct sel_lattice_scratch *scratch, size_t slot_count) {
    if (slot_count > scratch->slot_count) {
        size_t *slots = calloc(slot_count, sizeof *slots);
        if (!slots)
            return false;
        free(scratch->slots);
        scratch->slots = slots;
        scratch->slot_count = slot_count;
    } else {
        memset(scratch->slots, 0, scratch->slot_count * sizeof *scratch->slots);
    }
    for (size_t i = 0; i < scratch->group_count; i++)
        *find_slot(scratch, &scratch->groups[i]) = i + 1;
    return true;
}

static bool start(struct sel_lattice_scratch *scratch) {
    scratch->group_count = 0;
    return reset_slots(scratch, FIRST_SLOTS);
}

// The group of a key, new when it was not there; NULL when memory is out.
static struct group *group_of(struct sel_lattice_scratch *scratch, const struct group *key) {
    if (2 * scratch->group_count >= scratch->slot_count &&
        !reset_slots(scratch, 2 * scratch->slot_count))
        return NULL;
    size_t *slot = find_slot(scratch, key);
    if (*slot)
        return &scratch->groups[*slot - 1];
    struct group *groups = sel_grow(scratch->groups, scratch->group_count + 1,
        &scratch->group_capacity, sizeof *scratch->groups);
    if (!groups)
        return NULL;
    scratch->groups = groups;
    groups[scratch->group_count] = *key;
    *slot = ++scratch->group_count;
    return &groups[scratch->group_count - 1];
}

// Squared distance, in quarter cells, from a crack to the centre of its square.
static int64_t off_centre(const struct sel_crack *crack, const struct group *group, int64_t side) {
    int64_t x = 2 * (int64_t)crack->hx - (2 * group->col + 1) * side;
    int64_t y = 2 * (int64_t)crack->hy - (2 * group->row + 1) * side;
    return x * x + y * y;
}

// Lower row, lower column, horizontal before vertical.
static bool comes_before(const struct sel_crack *one, const struct sel_crack *other) {
    int64_t row = sel_floor_div(one->hy, 2), other_row = sel_floor_div(other->hy, 2);
    if (row != other_row)
        return row < other_row;
    int64_t col = sel_floor_div(one->hx, 2), other_col = sel_floor_div(other->hx, 2);
    if (col != other_col)
        return col < other_col;
    return !sel_crack_is_vertical(one) && sel_crack_is_vertical(other);
}

static bool is_better(const struct sel_prospect *one, const struct sel_prospect *other,
    const struct group *group, int64_t side) {
    if (one->belt.contrast != other->belt.contrast)
        return one->belt.contrast > other->belt.contrast;
    int64_t off = off_centre(&one->crack, group, side);
    int64_t other_off = off_centre(&other->crack, group, side);
    if (off != other_off)
        return off < other_off;
    return comes_before(&one->crack, &other->crack);
}

static bool in_range(const struct group *key, const struct sel_lattice_range *range) {
    return key->row >= range->first_row && key->row < range->last_row &&
           key->col >= range->first_col && key->col < range->last_col;
}

static sel_status add_prospect(const struct sel_prospect *prospects, size_t index,
    const struct sel_lattice_range *range, struct sel_lattice_scratch *scratch) {
    const struct sel_prospect *prospect = &prospects[index];
    struct group key = {.row = sel_floor_div(prospect->crack.hy, range->side),
        .col = sel_floor_div(prospect->crack.hx, range->side),
        .a = prospect->crack.a,
        .b = prospect->crack.b,
        .fate = prospect->fate,
        .winner = NO_WINNER};
    if (!in_range(&key, range))
        return SEL_OK;
    struct group *group = group_of(scratch, &key);
    if (!group)
        return SEL_NO_MEMORY;
    if (prospect->fate > group->fate)
        group->fate = prospect->fate;
    if (prospect->fate == SEL_FATE_CANDIDATE &&
        (group->winner == NO_WINNER ||
            is_better(prospect, &prospects[group->winner], group, range->side)))
        group->winner = index;
    return SEL_OK;
}

static int compare_placed(const void *one_item, const void *other_item) {
    const struct placed *one = one_item, *other = other_item;
    if (one->hy != other->hy)
        return one->hy < other->hy ? -1 : 1;
    return (one->hx > other->hx) - (one->hx < other->hx);
}

static sel_status write_winners(const struct sel_prospect *prospects,
    struct sel_lattice_scratch *scratch, size_t *winners, size_t *winner_count) {
    struct placed *placed = sel_grow(
        scratch->placed, scratch->group_count, &scratch->placed_capacity, sizeof *scratch->placed);
    if (!placed)
        return SEL_NO_MEMORY;
    scratch->placed = placed;
    size_t count = 0;
    for (size_t i = 0; i < scratch->group_count; i++) {
        size_t winner = scratch->groups[i].winner;
        if (winner != NO_WINNER)
            placed[count++] =
                (struct placed){prospects[winner].crack.hy, prospects[winner].crack.hx, winner};
    }
    qsort(placed, count, sizeof *placed, compare_placed);
    for (size_t i = 0; i < count; i++)
        winners[i] = placed[i].index;
    *winner_count = count;
    return SEL_OK;
}

sel_status sel_lattice_pick(const struct sel_prospect *prospects, size_t count,
    const struct sel_lattice_range *range, struct sel_lattice_scratch *scratch, size_t *winners,
    size_t *winner_count, int64_t fates[SEL_FATES]) {
    *winner_count = 0;
    if (!start(scratch))
        return SEL_NO_MEMORY;
    for (size_t i = 0; i < count; i++)
        if (add_prospect(prospects, i, range, scratch) != SEL_OK)
            return SEL_NO_MEMORY;
    if (write_winners(prospects, scratch, winners, winner_count) != SEL_OK)
        return SEL_NO_MEMORY;
    for (size_t i = 0; i < scratch->group_count; i++)
        fates[scratch->groups[i].fate]++;
    return SEL_OK;
}
