// SPDX-License-Identifier: MIT
//
// One pair of habitats explained: how much edge it has, what became of its candidates, which of
// them were chosen and which of the others come next.
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "explain/explain.h"
#include "explain/site.h"
#include "output/layout.h"
#include "output/names.h"

enum { LEFT_SHOWN = 6, PAIRS_NAMED = 12 };

// ---- finding the pair ----

// The text without blanks at its ends.
struct piece {
    const char *chars;
    size_t length;
};

static struct piece trimmed(const char *from, const char *end) {
    while (from < end && (*from == ' ' || *from == '\t'))
        from++;
    while (end > from && (end[-1] == ' ' || end[-1] == '\t'))
        end--;
    return (struct piece){from, (size_t)(end - from)};
}

static bool equals(struct piece piece, const char *name) {
    return name && strlen(name) == piece.length && memcmp(name, piece.chars, piece.length) == 0;
}

static bool is_pair(const struct sel_pair_row *row, struct piece first, struct piece second) {
    return (equals(first, row->habitat_a) && equals(second, row->habitat_b)) ||
           (equals(first, row->habitat_b) && equals(second, row->habitat_a));
}

// Habitat names may hold a bar themselves, so every bar is tried as the one between them.
static const struct sel_pair_row *find_pair(
    const struct sel_pair_row *rows, size_t count, const char *asked) {
    for (const char *bar = strchr(asked, '|'); bar; bar = strchr(bar + 1, '|')) {
        struct piece first = trimmed(asked, bar);
        struct piece second = trimmed(bar + 1, asked + strlen(asked));
        for (size_t i = 0; i < count; i++)
            if (is_pair(&rows[i], first, second))
                return &rows[i];
    }
    return NULL;
}

static sel_status fail_pair(const struct sel_package *package, const struct sel_pair_row *rows,
    size_t count, const char *asked) {
    struct sel_text names;
    sel_text_init(&names);
    for (size_t i = 0; i < count && i < PAIRS_NAMED; i++)
        sel_text_addf(&names, "%s\"%s\"", i > 0 ? ", " : "", rows[i].pair ? rows[i].pair : "");
    if (count > PAIRS_NAMED)
        sel_text_addf(&names, " and %zu more in its table pairs", count - PAIRS_NAMED);
    sel_status status =
        names.failed
            ? sel_fail_memory(package->context)
            : sel_fail(package->context, SEL_BAD_INPUT,
                  "%s: pair \"%s\": is not there: write two habitats with a bar between them; the "
                  "file has %s",
                  package->path, asked, names.chars ? names.chars : "none");
    sel_text_clear(&names);
    return status;
}

// ---- telling of it ----

static const char *plan_value(const struct sel_plan_row *rows, size_t count, const char *key) {
    for (size_t i = 0; i < count; i++)
        if (rows[i].key && rows[i].value && strcmp(rows[i].key, key) == 0)
            return rows[i].value;
    return "0";
}

static void add_quota(const struct sel_plan_row *rows, size_t count,
    const struct sel_pair_row *pair, struct sel_text *line) {
    const char *least = plan_value(rows, count, "choose.per_pair.min");
    const char *most = plan_value(rows, count, "choose.per_pair.max");
    if (strcmp(least, "0") != 0)
        sel_text_addf(line, " The plan asks for at least %s.", least);
    if (pair->sites < strtol(least, NULL, 10))
        sel_text_addf(line,
            " It has %" PRId64 " fewer: not all minimums are met, and of those the choice misses "
            "as few sites as the search found a way to (choose.relax).",
            strtol(least, NULL, 10) - pair->sites);
    if (strcmp(most, "0") != 0)
        sel_text_addf(line, " The plan allows %s at most.", most);
}

static sel_status add_head(
    struct sel_package *package, const struct sel_pair_row *pair, struct sel_text *text) {
    void *plan = NULL;
    size_t count = 0;
    struct sel_text line;
    sel_status status = sel_package_rows(package, &SEL_TABLE_PLAN, &plan, &count);
    if (status != SEL_OK)
        return status;
    sel_text_init(&line);
    sel_text_addf(&line,
        "%s: %.1f km of edge, %.1f %% of all; %" PRId64 " eligible candidate%s, %" PRId64
        " site%s, which is %.1f %% of all.",
        pair->pair ? pair->pair : "", pair->length_m / 1000, 100 * pair->length_share,
        pair->candidates, pair->candidates == 1 ? "" : "s", pair->sites,
        pair->sites == 1 ? "" : "s", 100 * pair->site_share);
    add_quota(plan, count, pair, &line);
    sel_wrap_text(text, "", &line);
    sel_rows_free(&SEL_TABLE_PLAN, plan, count);
    return SEL_OK;
}

static void add_fates(const struct sel_pair_row *pair, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {SEL_RIGHT, SEL_LEFT};
    const struct {
        int64_t count;
        const char *words;
    } fates[] = {{pair->sites, "sites"}, {pair->reserves, "reserves"},
        {pair->near_occupied, "too near an occupied place"},
        {pair->near_chosen, "too near a chosen site"},
        {pair->pair_full, "kept out by the quota of the pair"},
        {pair->block_full, "kept out by the quota of their block"},
        {pair->outweighed, "gave way to a minimum, or to even spread where that is asked for"},
        {pair->lower_score, "scored lower than the sites"},
        {pair->left_aside, "left aside: not among the best whatever its light"}};
    struct sel_cells table;
    sel_cells_init(&table, 2, ALIGN);
    for (size_t i = 0; i < sizeof fates / sizeof *fates; i++) {
        if (fates[i].count == 0)
            continue;
        sel_cellf(&table, "%" PRId64, fates[i].count);
        sel_cell(&table, fates[i].words);
    }
    sel_text_add(text, "\nWhat became of its candidates\n");
    if (table.count == 0)
        sel_text_add(text, "  it has none\n");
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
}

static bool is_of(const char *pair, const struct sel_pair_row *row) {
    return pair && row->pair && strcmp(pair, row->pair) == 0;
}

static void add_sites(
    const struct sel_package *package, const struct sel_pair_row *pair, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {SEL_RIGHT, SEL_LEFT, SEL_RIGHT, SEL_RIGHT, SEL_LEFT};
    static const char *const HEADS[] = {"rank", "site", "score", "kept %", "latitude, longitude"};
    struct sel_cells table;
    sel_cells_init(&table, 5, ALIGN);
    for (int i = 0; i < 5; i++)
        sel_cell(&table, HEADS[i]);
    for (size_t i = 0; i < package->site_count; i++) {
        const struct sel_site_row *site = &package->sites[i];
        if (!is_of(site->pair, pair) || site->reserve_for)
            continue;
        sel_cellf(&table, "%" PRId64, site->rank);
        sel_cell(&table, site->site);
        sel_cell_number(&table, site->score, 4);
        sel_cell_number(&table, 100 * site->share_chosen, 0);
        sel_cellf(&table, "%.5f, %.5f", site->latitude, site->longitude);
    }
    if (table.count > 5) {
        sel_text_add(text, "\nIts sites\n");
        sel_cells_write(text, 2, &table);
    }
    sel_cells_clear(&table);
}

static void add_left_row(struct sel_cells *table, const struct sel_candidate_row *row) {
    sel_cell_number(table, row->score, 4);
    sel_cell_number(table, row->edge_contrast, 2);
    sel_cell_number(table, row->slope_deg, 1);
    sel_cell_number(table, row->sun_share, 2);
    sel_cell_number(table, row->access_m, 0);
    sel_cellf(table, "%.0f, %.0f", row->x, row->y);
    sel_cell(table, row->fate ? row->fate : "");
}

// The layer lists candidates best first.
static void add_left(const struct sel_candidate_row *rows, size_t count,
    const struct sel_pair_row *pair, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {
        SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_LEFT, SEL_LEFT};
    static const char *const HEADS[] = {
        "score", "contrast", "slope", "sun", "access", "map position", "what became of it"};
    struct sel_cells table;
    int shown = 0;
    sel_cells_init(&table, 7, ALIGN);
    for (int i = 0; i < 7; i++)
        sel_cell(&table, HEADS[i]);
    for (size_t i = 0; i < count && shown < LEFT_SHOWN; i++) {
        bool chosen = rows[i].fate && strcmp(rows[i].fate, "site") == 0;
        if (is_of(rows[i].pair, pair) && !chosen) {
            add_left_row(&table, &rows[i]);
            shown++;
        }
    }
    if (shown > 0) {
        sel_text_add(text, "\nThe best of its other candidates\n");
        sel_cells_write(text, 2, &table);
    }
    sel_cells_clear(&table);
}

// The layer of candidates may have been left out of the file.
static sel_status tell_left(
    struct sel_package *package, const struct sel_pair_row *pair, struct sel_text *text) {
    void *read = NULL;
    size_t count = 0;
    const char *limit = sel_package_fact(package, "candidates.limit");
    if (limit && strcmp(limit, "0") == 0)
        return SEL_OK;
    sel_status status = sel_package_rows(package, &SEL_TABLE_CANDIDATES, &read, &count);
    if (status != SEL_OK)
        return status;
    add_left(read, count, pair, text);
    sel_rows_free(&SEL_TABLE_CANDIDATES, read, count);
    return SEL_OK;
}

static sel_status tell(
    struct sel_package *package, const struct sel_pair_row *pair, struct sel_text *text) {
    sel_status status = add_head(package, pair, text);
    if (status != SEL_OK)
        return status;
    add_fates(pair, text);
    add_sites(package, pair, text);
    status = tell_left(package, pair, text);
    sel_text_add(text, "\n");
    sel_wrap(text, "", SEL_CAUTION);
    return status;
}

static sel_status find_and_tell(
    struct sel_package *package, const char *asked, struct sel_text *text) {
    void *read = NULL;
    size_t count = 0;
    sel_status status = sel_package_rows(package, &SEL_TABLE_PAIRS, &read, &count);
    if (status != SEL_OK)
        return status;
    const struct sel_pair_row *pair = find_pair(read, count, asked);
    status = pair ? tell(package, pair, text) : fail_pair(package, read, count, asked);
    sel_rows_free(&SEL_TABLE_PAIRS, read, count);
    return status;
}

sel_status sel_explain_pair_write(
    sel_context *context, const char *geopackage, const char *pair, struct sel_text *text) {
    struct sel_package package;
    sel_status status = sel_package_open(context, geopackage, &package);
    if (status == SEL_OK)
        status = find_and_tell(&package, pair, text);
    if (status == SEL_OK && text->failed)
        status = sel_fail_memory(context);
    sel_package_close(&package);
    return status;
}
