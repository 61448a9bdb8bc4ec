// SPDX-License-Identifier: MIT
//
// Checks that hold between the keys of a plan: dates in order, quotas that can be met, limits with
// a side, a weight to score by, habitats that exist.
#include "plan/reader.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "plan/dates.h"
#include "plan/numbers.h"
#include "plan/words.h"

// The years for which the sun's position is good to 0.01 degrees: see docs/method.md.
enum { YEAR_LEAST = 1950, YEAR_MOST = 2050, SEASON_DAYS_MOST = 366 };

// The longest walk that can be asked for: four hours there and as many back.
enum { MINUTES_MOST = 240 };

static sel_status fail_at(
    struct sel_plan_reader *reader, const char *name, struct sel_place place, const char *what) {
    const struct sel_yaml_node node = {.key_place = place};
    return sel_reader_fail(reader, &node, sel_key_find(name), "%s", what);
}

static sel_status fail_key(struct sel_plan_reader *reader, const char *name, const char *what) {
    return fail_at(reader, name, sel_plan_place(reader->plan, name), what);
}

static sel_status check_year(
    struct sel_plan_reader *reader, const char *name, struct sel_date date) {
    if (date.year >= YEAR_LEAST && date.year <= YEAR_MOST)
        return SEL_OK;
    char what[128];
    snprintf(what, sizeof what,
        "year %d is not in %d..%d: give a year for which the sun's position is known", date.year,
        YEAR_LEAST, YEAR_MOST);
    return fail_key(reader, name, what);
}

static sel_status check_season(struct sel_plan_reader *reader) {
    const struct sel_plan *plan = reader->plan;
    bool from_given = sel_plan_place(plan, "season.from").line > 0;
    bool to_given = sel_plan_place(plan, "season.to").line > 0;
    if (from_given != to_given)
        return fail_key(reader, from_given ? "season.from" : "season.to",
            "stands alone: give both season.from and season.to");
    sel_status status = check_year(reader, "season.from", plan->season_from);
    if (status == SEL_OK)
        status = check_year(reader, "season.to", plan->season_to);
    if (status != SEL_OK)
        return status;
    int64_t days =
        sel_date_day_number(plan->season_to) - sel_date_day_number(plan->season_from) + 1;
    if (days < 1)
        return fail_key(reader, "season.to",
            "lies before season.from: give the last day of the season; a season across New Year "
            "ends in the next year");
    if (days > SEASON_DAYS_MOST) {
        char what[128];
        snprintf(what, sizeof what, "the season has %lld days: give at most %d", (long long)days,
            SEASON_DAYS_MOST);
        return fail_key(reader, "season.to", what);
    }
    return SEL_OK;
}

// `key` is "choose.per_pair" or "choose.per_block".
static sel_status check_quota(
    struct sel_plan_reader *reader, const char *key, int least, int most) {
    char name[64], what[160];
    snprintf(name, sizeof name, "%s.min", key);
    if (most > 0 && least > most) {
        snprintf(what, sizeof what,
            "%d is more than %s.max, which is %d: lower the one or raise the other", least, key,
            most);
        return fail_key(reader, name, what);
    }
    if (least > reader->plan->choose.sites) {
        snprintf(what, sizeof what,
            "%d is more than choose.sites, which is %d: lower the one or raise the other", least,
            reader->plan->choose.sites);
        return fail_key(reader, name, what);
    }
    return SEL_OK;
}

// Blocks and their quotas need each other.
static sel_status check_blocks(struct sel_plan_reader *reader) {
    const struct sel_plan *plan = reader->plan;
    bool squares = plan->choose.block_m > 0, polygons = plan->blocks.file != NULL;
    bool quotas = plan->choose.block_min > 0 || plan->choose.block_max > 0;
    if (squares && polygons)
        return fail_key(reader, "choose.block_m",
            "stands beside choose.blocks: blocks are squares or polygons: keep one of the two");
    if (quotas && !squares && !polygons)
        return fail_key(reader, "choose.per_block",
            "there are no blocks: give choose.block_m or choose.blocks");
    if (!quotas && (squares || polygons))
        return fail_key(reader, squares ? "choose.block_m" : "choose.blocks",
            "no quota counts by blocks: give choose.per_block, with min or max");
    return SEL_OK;
}

static sel_status check_quotas(struct sel_plan_reader *reader) {
    const struct sel_plan_choose *choose = &reader->plan->choose;
    sel_status status = check_quota(reader, "choose.per_pair", choose->pair_min, choose->pair_max);
    if (status == SEL_OK)
        status = check_quota(reader, "choose.per_block", choose->block_min, choose->block_max);
    return status == SEL_OK ? check_blocks(reader) : status;
}

// A limit excludes on the side where the value function is worth less, so its ends must differ.
static sel_status check_limit(struct sel_plan_reader *reader, enum sel_criterion criterion) {
    const struct sel_plan_criterion *rule = &reader->plan->criteria[criterion];
    bool has_side = criterion == SEL_CRITERION_ACCESS && rule->by == SEL_ACCESS_BY_TIME;
    if (!rule->has_limit || has_side ||
        rule->value[0].worth != rule->value[rule->value_count - 1].worth)
        return SEL_OK;
    char name[64];
    snprintf(name, sizeof name, "criteria.%s.limit", sel_criterion_name(criterion));
    struct sel_place place = sel_plan_place(reader->plan, name);
    if (place.line == 0)
        place = rule->place;
    return fail_at(reader, name, place,
        "the value function begins and ends with the same worth, so it cannot be told which side "
        "the limit excludes: write limit: none, or let one end be worth less");
}

static sel_status check_weights(struct sel_plan_reader *reader) {
    const struct sel_plan *plan = reader->plan;
    double sum = 0.0;
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (i != SEL_CRITERION_ACCESS || plan->access_count > 0)
            sum += plan->criteria[i].weight;
    if (sum > 0.0)
        return SEL_OK;
    const char *name = sel_plan_place(plan, "weights").line > 0 ? "weights" : "criteria";
    if (plan->criteria[SEL_CRITERION_ACCESS].weight > 0.0)
        return fail_key(reader, name,
            "only access has a weight, and the plan has no access layer: give access: or another "
            "criterion's weight");
    return fail_key(reader, name, "no criterion has a weight above 0: give at least one");
}

static sel_status check_same_raster(struct sel_plan_reader *reader) {
    const struct sel_plan *plan = reader->plan;
    if (plan->landcover.band != plan->elevation.band ||
        strcmp(plan->landcover.file, plan->elevation.file) != 0)
        return SEL_OK;
    return fail_key(reader, "rasters.elevation",
        "is the same file and band as rasters.landcover: give the raster of the ground's "
        "elevation");
}

static sel_status check_habitat(
    struct sel_plan_reader *reader, const char *name, struct sel_place place, const char *habitat) {
    const struct sel_habitats *habitats = &reader->plan->habitats;
    if (sel_habitat_by_name(habitats, habitat) != SEL_HABITAT_UNKNOWN)
        return SEL_OK;
    const char *names[SEL_HABITATS_MOST];
    for (int i = 0; i < habitats->count; i++)
        names[i] = habitats->items[i].name;
    const char *nearest = sel_nearest_word(habitat, names, (size_t)habitats->count);
    char what[1024];
    snprintf(what, sizeof what,
        "%s is no habitat of %.400s%s%s%s: give a name from its column habitat, or add a row",
        sel_quote(habitat).chars, reader->plan->habitats_source, nearest ? "; did you mean " : "",
        nearest ? sel_quote(nearest).chars : "", nearest ? "?" : "");
    return fail_at(reader, name, place, what);
}

static sel_status check_line_habitats(struct sel_plan_reader *reader) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < reader->plan->lines_count && status == SEL_OK; i++) {
        const struct sel_plan_lines *lines = &reader->plan->lines[i];
        status = check_habitat(reader, "lines[].habitat", lines->source.place, lines->habitat);
    }
    return status;
}

static bool same_pair(const struct sel_plan_contrast *a, const struct sel_plan_contrast *b) {
    return (strcmp(a->habitat_a, b->habitat_a) == 0 && strcmp(a->habitat_b, b->habitat_b) == 0) ||
           (strcmp(a->habitat_a, b->habitat_b) == 0 && strcmp(a->habitat_b, b->habitat_a) == 0);
}

static sel_status check_contrast_pair(struct sel_plan_reader *reader, size_t index) {
    const struct sel_plan_contrast *pairs = reader->plan->contrast, *pair = &pairs[index];
    sel_status status = check_habitat(reader, "contrast[].a", pair->place, pair->habitat_a);
    if (status == SEL_OK)
        status = check_habitat(reader, "contrast[].b", pair->place, pair->habitat_b);
    if (status != SEL_OK)
        return status;
    if (strcmp(pair->habitat_a, pair->habitat_b) == 0)
        return fail_at(reader, "contrast[]", pair->place,
            "a and b are the same habitat: give two that differ");
    for (size_t i = 0; i < index; i++) {
        if (same_pair(&pairs[i], pair)) {
            char what[128];
            snprintf(what, sizeof what, "this pair was given in line %d already: keep one of them",
                pairs[i].place.line);
            return fail_at(reader, "contrast[]", pair->place, what);
        }
    }
    return SEL_OK;
}

static sel_status check_contrasts(struct sel_plan_reader *reader) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < reader->plan->contrast_count && status == SEL_OK; i++)
        status = check_contrast_pair(reader, i);
    return status;
}

static sel_status check_access_roles(struct sel_plan_reader *reader) {
    const struct sel_plan *plan = reader->plan;
    for (size_t i = 0; i < plan->access_count; i++)
        if (plan->access[i].role == SEL_ACCESS_START)
            return SEL_OK;
    if (plan->access_count == 0)
        return SEL_OK;
    return fail_at(reader, "access", plan->access[0].source.place,
        "no layer has the role start, so no walk begins anywhere: give one that a vehicle can "
        "reach");
}

static bool is_given(const struct sel_plan *plan, const char *key) {
    return sel_plan_place(plan, key).line > 0;
}

// The keys' own defaults are in metres; by time these stand for them.
static void set_time_defaults(struct sel_plan *plan) {
    struct sel_plan_criterion *access = &plan->criteria[SEL_CRITERION_ACCESS];
    if (!is_given(plan, "criteria.access.value")) {
        access->value[0] = (struct sel_breakpoint){5, 1};
        access->value[1] = (struct sel_breakpoint){45, 0};
        access->value_count = 2;
    }
    if (!is_given(plan, "criteria.access.limit")) {
        access->has_limit = true;
        access->limit = 60;
    }
}

static sel_status check_access_time(struct sel_plan_reader *reader) {
    struct sel_plan_criterion *access = &reader->plan->criteria[SEL_CRITERION_ACCESS];
    if (access->by == SEL_ACCESS_BY_DISTANCE)
        return SEL_OK;
    set_time_defaults(reader->plan);
    double last = access->value[access->value_count - 1].at;
    char what[192];
    if (!access->has_limit)
        return fail_key(reader, "criteria.access.limit",
            "none: by time nothing is searched beyond the limit, so it needs one: give minutes, "
            "like 60");
    snprintf(what, sizeof what,
        "%s is not in 1..%d min: give the longest walk one way, in minutes, like 60",
        sel_number_text(access->limit).chars, MINUTES_MOST);
    if (access->limit < 1 || access->limit > MINUTES_MOST)
        return fail_key(reader, "criteria.access.limit", what);
    snprintf(what, sizeof what,
        "%s is not in 0..%d min: by time the pairs are [minutes, worth], like [[5, 1], [45, 0]]",
        sel_number_text(last).chars, 2 * MINUTES_MOST);
    return last > 2 * MINUTES_MOST ? fail_key(reader, "criteria.access.value", what) : SEL_OK;
}

// The event table gives both as they stand.
static sel_status check_locality(struct sel_plan_reader *reader) {
    const struct sel_plan_field *field = &reader->plan->field;
    char what[256];
    if (field->country_code && !sel_is_country_code(field->country_code)) {
        snprintf(what, sizeof what,
            "%s is no country code: give the two capital letters of ISO 3166-1, like SI",
            sel_quote(field->country_code).chars);
        return fail_key(reader, "field.country_code", what);
    }
    if (field->region && !sel_begins_with_letter(field->region)) {
        snprintf(what, sizeof what,
            "%s begins with no letter, and a spreadsheet might compute it: give a name",
            sel_quote(field->region).chars);
        return fail_key(reader, "field.region", what);
    }
    return SEL_OK;
}

static sel_status check_limits(struct sel_plan_reader *reader) {
    sel_status status = SEL_OK;
    for (int i = 0; i < SEL_CRITERIA && status == SEL_OK; i++)
        status = check_limit(reader, (enum sel_criterion)i);
    return status;
}

sel_status sel_plan_validate(struct sel_plan_reader *reader) {
    static sel_status (*const checks[])(struct sel_plan_reader *) = {check_same_raster,
        check_season, check_access_roles, check_access_time, check_limits, check_weights,
        check_quotas, check_line_habitats, check_contrasts, check_locality};
    sel_status status = SEL_OK;
    for (size_t i = 0; i < sizeof checks / sizeof checks[0] && status == SEL_OK; i++)
        status = checks[i](reader);
    return status;
}
