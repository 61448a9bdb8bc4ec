// SPDX-License-Identifier: MIT
//
// Rows to habitats: one habitat per name, values sorted for look-up by halving.
#include "plan/habitats.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "plan/habitat_rows.h"
#include "plan/words.h"

struct assembly {
    sel_context *context;
    const char *file;
    const struct sel_habitat_row *rows;
    struct sel_habitats *habitats;
    const struct sel_habitat_row *first[SEL_HABITATS_MOST]; // the row that first named a habitat
};

const char *sel_ground_name(enum sel_ground ground) {
    static const char *const names[] = {"firm", "sand", "wet", "rock"};
    return names[ground];
}

static bool same_traits(const struct sel_habitat *a, const struct sel_habitat *b) {
    return a->canopy_m == b->canopy_m && a->cover == b->cover && a->wetness == b->wetness &&
           a->edge == b->edge && a->walk == b->walk && a->trap == b->trap && a->water == b->water &&
           a->ground == b->ground && a->support == b->support;
}

static sel_status add_habitat(struct assembly *assembly, const struct sel_habitat_row *row) {
    struct sel_habitats *habitats = assembly->habitats;
    if (habitats->count == SEL_HABITATS_MOST)
        return sel_fail(assembly->context, SEL_BAD_INPUT,
            "%s:%d: habitat: %s is one habitat more than %d: let similar values share a habitat",
            assembly->file, row->line, sel_quote(row->habitat.name).chars, SEL_HABITATS_MOST);
    struct sel_habitat *habitat = &habitats->items[habitats->count];
    *habitat = row->habitat;
    habitat->name = strdup(row->habitat.name);
    if (!habitat->name)
        return sel_fail_memory(assembly->context);
    assembly->first[habitats->count++] = row;
    return SEL_OK;
}

static sel_status find_or_add(
    struct assembly *assembly, const struct sel_habitat_row *row, sel_habitat_id *id) {
    const struct sel_habitats *habitats = assembly->habitats;
    const char *name = row->habitat.name;
    for (int i = 0; i < habitats->count; i++) {
        const struct sel_habitat *habitat = &habitats->items[i];
        if (!habitat->name || strcasecmp(habitat->name, name) != 0)
            continue;
        if (strcmp(habitat->name, name) != 0)
            return sel_fail(assembly->context, SEL_BAD_INPUT,
                "%s:%d: habitat: %s differs from the name in line %d in capitals only: write both "
                "alike",
                assembly->file, row->line, sel_quote(name).chars, assembly->first[i]->line);
        if (!same_traits(habitat, &row->habitat))
            return sel_fail(assembly->context, SEL_BAD_INPUT,
                "%s:%d: habitat: %s has other traits than in line %d: make the rows agree, or give "
                "the habitats two names",
                assembly->file, row->line, sel_quote(name).chars, assembly->first[i]->line);
        *id = (sel_habitat_id)(i + 1);
        return SEL_OK;
    }
    sel_status status = add_habitat(assembly, row);
    *id = (sel_habitat_id)habitats->count;
    return status;
}

struct numbered_value {
    struct sel_habitat_value value;
    int line;
};

static int by_value_then_line(const void *a, const void *b) {
    const struct numbered_value *left = a, *right = b;
    if (left->value.value != right->value.value)
        return left->value.value < right->value.value ? -1 : 1;
    return (left->line > right->line) - (left->line < right->line);
}

static sel_status keep_values(
    struct assembly *assembly, struct numbered_value *sorted, size_t count) {
    struct sel_habitats *habitats = assembly->habitats;
    if (count > 0)
        qsort(sorted, count, sizeof *sorted, by_value_then_line);
    for (size_t i = 0; i < count; i++) {
        if (i > 0 && sorted[i].value.value == sorted[i - 1].value.value)
            return sel_fail(assembly->context, SEL_BAD_INPUT,
                "%s:%d: value: %lld stands in line %d already: keep one of the rows",
                assembly->file, sorted[i].line, (long long)sorted[i].value.value,
                sorted[i - 1].line);
        habitats->values[habitats->value_count++] = sorted[i].value;
    }
    return SEL_OK;
}

static sel_status assemble(struct assembly *assembly, size_t count, struct numbered_value *sorted) {
    size_t values = 0;
    for (size_t i = 0; i < count; i++) {
        const struct sel_habitat_row *row = &assembly->rows[i];
        sel_habitat_id id = SEL_HABITAT_UNKNOWN;
        sel_status status = find_or_add(assembly, row, &id);
        if (status != SEL_OK)
            return status;
        if (row->has_value)
            sorted[values++] = (struct numbered_value){{row->value, id}, row->line};
    }
    return keep_values(assembly, sorted, values);
}

sel_status sel_habitats_build(sel_context *context, const char *file,
    const struct sel_habitat_row *rows, size_t count, struct sel_habitats *habitats) {
    struct assembly assembly = {
        .context = context, .file = file, .rows = rows, .habitats = habitats};
    *habitats = (struct sel_habitats){0};
    habitats->items = calloc(SEL_HABITATS_MOST, sizeof *habitats->items);
    habitats->values = calloc(count + 1, sizeof *habitats->values);
    struct numbered_value *sorted = calloc(count + 1, sizeof *sorted);
    sel_status status = SEL_NO_MEMORY;
    if (habitats->items && habitats->values && sorted)
        status = assemble(&assembly, count, sorted);
    else
        sel_fail_memory(context);
    free(sorted);
    if (status != SEL_OK)
        sel_habitats_clear(habitats);
    return status;
}

void sel_habitats_clear(struct sel_habitats *habitats) {
    for (int i = 0; habitats->items && i < habitats->count; i++)
        free(habitats->items[i].name);
    free(habitats->items);
    free(habitats->values);
    *habitats = (struct sel_habitats){0};
}

sel_habitat_id sel_habitat_of_value(const struct sel_habitats *habitats, int64_t value) {
    int low = 0, high = habitats->value_count;
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (habitats->values[middle].value < value)
            low = middle + 1;
        else
            high = middle;
    }
    bool found = low < habitats->value_count && habitats->values[low].value == value;
    return found ? habitats->values[low].id : SEL_HABITAT_UNKNOWN;
}

sel_habitat_id sel_habitat_by_name(const struct sel_habitats *habitats, const char *name) {
    for (int i = 0; i < habitats->count; i++)
        if (strcmp(habitats->items[i].name, name) == 0)
            return (sel_habitat_id)(i + 1);
    return SEL_HABITAT_UNKNOWN;
}

const struct sel_habitat *sel_habitat_get(const struct sel_habitats *habitats, sel_habitat_id id) {
    return &habitats->items[id - 1];
}
