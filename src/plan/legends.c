// SPDX-License-Identifier: MIT
//
// The built-in legends: found by name, matched to values, turned into habitats, printed.
#include "plan/legends.h"

#include <stdlib.h>
#include <string.h>

#include "plan/habitat_print.h"
#include "plan/habitat_rows.h"
#include "plan/words.h"

// Fewer values than this say too little about where they come from.
enum { MATCH_LEAST = 5 };

static const struct sel_legend *const legends[] = {&sel_legend_worldcover, &sel_legend_nlcd,
    &sel_legend_corine, &sel_legend_cgls_lc100, &sel_legend_modis_igbp};

enum { LEGENDS = sizeof legends / sizeof legends[0] };

size_t sel_legend_names(const char *names[SEL_LEGENDS_MOST]) {
    for (size_t i = 0; i < LEGENDS; i++)
        names[i] = legends[i]->name;
    return LEGENDS;
}

const struct sel_legend *sel_legend_get(const char *name) {
    for (size_t i = 0; i < LEGENDS; i++)
        if (strcmp(legends[i]->name, name) == 0)
            return legends[i];
    return NULL;
}

const struct sel_legend_class *sel_legend_find(const struct sel_legend *legend, int64_t value) {
    for (size_t i = 0; i < legend->class_count; i++)
        if (legend->classes[i].value == value || legend->classes[i].also == value)
            return &legend->classes[i];
    return NULL;
}

static bool lists_all(const struct sel_legend *legend, const int64_t *values, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (!sel_legend_find(legend, values[i]))
            return false;
    return true;
}

static int by_value(const void *a, const void *b) {
    int64_t left = *(const int64_t *)a, right = *(const int64_t *)b;
    return (left > right) - (left < right);
}

// Sorted, and each value once.
static size_t sort_distinct(int64_t *values, size_t count) {
    size_t kept = 0;
    qsort(values, count, sizeof *values, by_value);
    for (size_t i = 0; i < count; i++)
        if (i == 0 || values[i] != values[kept - 1])
            values[kept++] = values[i];
    return kept;
}

static bool counts_up(const int64_t *sorted, size_t count) {
    for (size_t i = 2; i < count; i++)
        if (sorted[i] - sorted[i - 1] != sorted[1] - sorted[0])
            return false;
    return true;
}

static const struct sel_legend *only_legend(const int64_t *values, size_t count) {
    const struct sel_legend *found = NULL;
    for (size_t i = 0; i < LEGENDS; i++) {
        if (!lists_all(legends[i], values, count))
            continue;
        if (found)
            return NULL;
        found = legends[i];
    }
    return found;
}

const struct sel_legend *sel_legend_match(const int64_t *values, size_t count) {
    int64_t sorted[SEL_HABITATS_MOST];
    if (count < MATCH_LEAST || count > SEL_HABITATS_MOST)
        return NULL;
    memcpy(sorted, values, count * sizeof *values);
    count = sort_distinct(sorted, count);
    const struct sel_legend *found = only_legend(sorted, count); // bounds the values
    return found && count >= MATCH_LEAST && !counts_up(sorted, count) ? found : NULL;
}

static struct sel_habitat_row row_of(const struct sel_legend_class *class, int64_t value) {
    // The name is only read by sel_habitats_build, which makes a copy.
    return (struct sel_habitat_row){.has_value = true,
        .value = value,
        .habitat = {.name = (char *)class->habitat,
            .canopy_m = class->canopy_m,
            .cover = class->cover,
            .wetness = class->wetness,
            .edge = class->edge,
            .walk = class->walk,
            .trap = class->trap,
            .water = class->water,
            .ground = class->ground,
            .support = class->support}};
}

sel_status sel_habitats_from_legend(
    sel_context *context, const char *legend_name, struct sel_habitats *habitats) {
    *habitats = (struct sel_habitats){0};
    const struct sel_legend *legend = sel_legend_get(legend_name);
    if (!legend)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is no built-in legend: `selvedge legend` lists them",
            sel_quote(legend_name).chars);
    struct sel_habitat_row *rows = calloc(2 * legend->class_count, sizeof *rows);
    if (!rows)
        return sel_fail_memory(context);
    size_t count = 0;
    for (size_t i = 0; i < legend->class_count; i++) {
        const struct sel_legend_class *class = &legend->classes[i];
        rows[count++] = row_of(class, class->value);
        if (class->also != class->value)
            rows[count++] = row_of(class, class->also);
    }
    sel_status status = sel_habitats_build(context, legend_name, rows, count, habitats);
    free(rows);
    return status;
}

static void print_line(int64_t value, const struct sel_legend_class *class, struct sel_text *text) {
    sel_print_habitat_class(value, class, text);
    sel_text_add(text, ",");
    sel_print_csv_field(class->name, text);
    sel_text_add(text, ",traits are our estimate\n");
}

void sel_legend_print_csv(const struct sel_legend *legend, struct sel_text *text) {
    sel_print_habitat_columns(text);
    sel_text_add(text, ",legend_name,note\n");
    for (size_t i = 0; i < legend->class_count; i++)
        print_line(legend->classes[i].value, &legend->classes[i], text);
    for (size_t i = 0; i < legend->class_count; i++)
        if (legend->classes[i].also != legend->classes[i].value)
            print_line(legend->classes[i].also, &legend->classes[i], text);
}

void sel_legend_list(struct sel_text *text) {
    for (size_t i = 0; i < LEGENDS; i++)
        sel_text_addf(text, "%-12s %3zu classes  %s\n", legends[i]->name, legends[i]->class_count,
            legends[i]->title);
}
