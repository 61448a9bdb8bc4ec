// SPDX-License-Identifier: MIT
//
// Parts are put in the order of their numbers; then each must follow the one before it, first by
// number and then by ground.
#include "api/part_set.h"

#include <stdlib.h>
#include <string.h>

static int by_number(const void *a, const void *b) {
    const struct sel_part_given *first = a, *second = b;
    return (first->facts.part > second->facts.part) - (first->facts.part < second->facts.part);
}

static sel_status check_plan(
    sel_context *context, const struct sel_part_given *part, const char *fingerprint) {
    if (strcmp(part->facts.fingerprint, fingerprint) == 0)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: was made with another plan, habitat table, grid or version: make it anew with this "
        "plan",
        part->path);
}

static sel_status read_facts(
    sel_context *context, const struct sel_opened *opened, struct sel_part_set *set) {
    char fingerprint[SEL_FINGERPRINT_SIZE];
    sel_status status = sel_part_fingerprint(context, &opened->plan, &opened->study, fingerprint);
    for (size_t i = 0; i < set->count && status == SEL_OK; i++) {
        struct sel_part_given *part = &set->parts[i];
        status = sel_part_facts_read(context, part->path, &part->facts);
        if (status == SEL_OK)
            status = check_plan(context, part, fingerprint);
        if (status == SEL_OK && part->facts.parts != set->parts[0].facts.parts)
            status = sel_fail(context, SEL_BAD_INPUT,
                "%s: is part %d of %d, but %s is one of %d: cut the run in one way only",
                part->path, part->facts.part, part->facts.parts, set->parts[0].path,
                set->parts[0].facts.parts);
    }
    return status;
}

static sel_status missing(sel_context *context, const struct sel_part_set *set, int part) {
    int parts = set->parts[0].facts.parts;
    return sel_fail(context, SEL_BAD_INPUT,
        "part %d of %d is missing among the %zu given: make it with 'selvedge rank PLAN --part "
        "%d/%d', or name its file",
        part, parts, set->count, part, parts);
}

static sel_status check_numbers(sel_context *context, const struct sel_part_set *set) {
    int next = 1;
    for (size_t i = 0; i < set->count; i++, next++) {
        const struct sel_part_given *part = &set->parts[i];
        if (part->facts.part < next)
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: is part %d, and so is %s: name each part once", part->path, part->facts.part,
                set->parts[i - 1].path);
        if (part->facts.part > next)
            return missing(context, set, next);
    }
    return next > set->parts[0].facts.parts ? SEL_OK : missing(context, set, next);
}

// The numbers fit; the ground must too, whatever made the files.
static sel_status check_ground(sel_context *context, struct sel_part_set *set) {
    const struct sel_window *blocks = &set->parts[0].facts.cut.blocks;
    int64_t all = blocks->rows * blocks->cols, next = 0;
    for (size_t i = 0; i < set->count; i++) {
        const struct sel_part_given *part = &set->parts[i];
        const struct sel_cut *cut = &part->facts.cut;
        bool last = i + 1 == set->count;
        if (memcmp(&cut->blocks, blocks, sizeof *blocks) != 0)
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: was made for other ground than %s: the study area was changed between; make "
                "the parts anew",
                part->path, set->parts[0].path);
        if (cut->first != next || cut->end < next || (last && cut->end != all))
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: holds the blocks %lld to %lld, where part %d of %d begins at %lld of %lld: "
                "make it anew",
                part->path, (long long)cut->first, (long long)cut->end, part->facts.part,
                part->facts.parts, (long long)next, (long long)all);
        next = cut->end;
    }
    set->ground = (struct sel_cut){*blocks, 0, all};
    return SEL_OK;
}

sel_status sel_part_set_read(sel_context *context, const struct sel_opened *opened,
    const char *const *paths, size_t count, struct sel_part_set *set) {
    *set = (struct sel_part_set){.parts = calloc(count, sizeof *set->parts), .count = count};
    if (!set->parts)
        return sel_fail_memory(context);
    for (size_t i = 0; i < count; i++)
        set->parts[i].path = paths[i];
    sel_status status = read_facts(context, opened, set);
    if (status != SEL_OK)
        return status;
    qsort(set->parts, count, sizeof *set->parts, by_number);
    status = check_numbers(context, set);
    return status == SEL_OK ? check_ground(context, set) : status;
}

void sel_part_set_clear(struct sel_part_set *set) {
    free(set->parts);
    *set = (struct sel_part_set){0};
}
