// SPDX-License-Identifier: MIT
//
// The values of a plan that are more than one word: value functions, limits, the order of
// importance, and the habitat table.
#include "plan/reader.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/files.h"
#include "plan/legends.h"
#include "plan/numbers.h"
#include "plan/order_weights.h"
#include "plan/words.h"

static sel_status read_pair(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, struct sel_breakpoint *pair) {
    if (node->kind != SEL_YAML_LIST || node->count != 2)
        return sel_reader_fail(reader, node, key,
            "an entry is not a pair: write each as [measure, worth], like %s", key->fallback);
    sel_status status = sel_scalar_number(reader, key, node->first, &pair->at);
    if (status != SEL_OK)
        return status;
    struct sel_plan_key worth = *key;
    worth.least = 0.0;
    worth.most = 1.0;
    worth.unit = NULL;
    worth.meaning = "the worth, second in its pair, from 0 to 1";
    return sel_scalar_number(reader, &worth, node->last, &pair->worth);
}

sel_status sel_set_value(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    struct sel_plan_criterion *criterion = (struct sel_plan_criterion *)(base + key->offset);
    if (node->kind != SEL_YAML_LIST || node->count < 2 || node->count > SEL_BREAKPOINTS_MOST)
        return sel_reader_fail(reader, node, key,
            "is not a list of 2 to %d pairs: give %s, like %s", SEL_BREAKPOINTS_MOST, key->meaning,
            key->fallback);
    int count = 0;
    for (const struct sel_yaml_node *item = node->first; item; item = item->next, count++) {
        struct sel_breakpoint *pair = &criterion->value[count];
        sel_status status = read_pair(reader, key, item, pair);
        if (status != SEL_OK)
            return status;
        if (count > 0 && pair->at <= pair[-1].at)
            return sel_reader_fail(reader, item, key,
                "%s comes after %s: give the pairs with the measure rising",
                sel_number_text(pair->at).chars, sel_number_text(pair[-1].at).chars);
    }
    criterion->value_count = count;
    return SEL_OK;
}

sel_status sel_set_limit(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    struct sel_plan_criterion *criterion = (struct sel_plan_criterion *)(base + key->offset);
    criterion->has_limit = node->kind != SEL_YAML_SCALAR || strcmp(node->text, "none") != 0;
    criterion->limit = (double)NAN;
    if (!criterion->has_limit)
        return SEL_OK;
    return sel_scalar_number(reader, key, node, &criterion->limit);
}

sel_status sel_set_size(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    double *size = (void *)(base + key->offset);
    if (node->kind != SEL_YAML_LIST || node->count != 2)
        return sel_reader_fail(
            reader, node, key, "is not a list of two numbers: give %s, like [2, 4]", key->meaning);
    sel_status status = sel_scalar_number(reader, key, node->first, &size[0]);
    if (status == SEL_OK)
        status = sel_scalar_number(reader, key, node->last, &size[1]);
    return status;
}

static sel_status read_criterion(const struct sel_plan_reader *reader,
    const struct sel_plan_key *key, const struct sel_yaml_node *node, enum sel_criterion *found) {
    const char *text = NULL;
    sel_status status = sel_scalar_text(reader, key, node, &text);
    if (status != SEL_OK)
        return status;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        if (strcmp(text, sel_criterion_name((enum sel_criterion)i)) == 0) {
            *found = (enum sel_criterion)i;
            return SEL_OK;
        }
    }
    return sel_reader_fail(reader, node, key,
        "%s is no criterion: the criteria are edge_contrast, slope, sun, access",
        sel_quote(text).chars);
}

static sel_status refuse_weight_numbers(const struct sel_plan_reader *reader,
    const struct sel_plan_key *key, const struct sel_yaml_node *node) {
    for (int i = 0; i < SEL_CRITERIA; i++) {
        char name[64];
        snprintf(
            name, sizeof name, "criteria.%s.weight", sel_criterion_name((enum sel_criterion)i));
        int line = sel_plan_place(reader->plan, name).line;
        if (line > 0)
            return sel_reader_fail(reader, node, key,
                "gives an order of importance, but line %d gives %s as a number: keep one of the "
                "two ways",
                line, name);
    }
    return SEL_OK;
}

// Runs after the criteria were filled: the table has its row below theirs.
sel_status sel_set_order(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    struct sel_plan *plan = (struct sel_plan *)base;
    if (node->kind != SEL_YAML_LIST || node->count == 0 || node->count > SEL_CRITERIA)
        return sel_reader_fail(reader, node, key,
            "is not a list of 1 to %d criteria: give %s, like [edge_contrast, sun, slope]",
            SEL_CRITERIA, key->meaning);
    sel_status status = refuse_weight_numbers(reader, key, node);
    double weights[SEL_CRITERIA];
    sel_order_weights((int)node->count, weights);
    bool named[SEL_CRITERIA] = {false};
    for (int i = 0; i < SEL_CRITERIA; i++)
        plan->criteria[i].weight = 0.0;
    int rank = 0;
    for (const struct sel_yaml_node *item = node->first; item && status == SEL_OK;
         item = item->next) {
        enum sel_criterion criterion = SEL_CRITERION_EDGE_CONTRAST;
        status = read_criterion(reader, key, item, &criterion);
        if (status == SEL_OK && named[criterion])
            status = sel_reader_fail(
                reader, item, key, "names %s twice: keep one", sel_criterion_name(criterion));
        named[criterion] = true;
        plan->criteria[criterion].weight = weights[rank++];
    }
    return status;
}

static sel_status fail_no_table(const struct sel_plan_reader *reader,
    const struct sel_plan_key *key, const struct sel_yaml_node *node, const char *path) {
    const char *names[SEL_LEGENDS_MOST];
    size_t count = sel_legend_names(names);
    char list[256] = "";
    for (size_t i = 0; i < count; i++) {
        size_t used = strlen(list);
        snprintf(list + used, sizeof list - used, "%s%s", i > 0 ? ", " : "", names[i]);
    }
    const char *nearest = sel_nearest_word(node->text, names, count);
    return sel_reader_fail(reader, node, key,
        "%s: is neither a file (looked for %s) nor a built-in legend (%s)%s%s%s: give %s",
        node->text, path, list, nearest ? "; did you mean " : "", nearest ? nearest : "",
        nearest ? "?" : "", key->meaning);
}

// A file wins over a legend of the same name.
sel_status sel_set_habitats(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    struct sel_plan *plan = (struct sel_plan *)base;
    const char *text = NULL;
    sel_status status = sel_scalar_line(reader, key, node, &text);
    if (status != SEL_OK)
        return status;
    char *path = sel_join_path(plan->folder, text);
    if (!path)
        return sel_fail_memory(reader->context);
    struct stat facts;
    bool is_file = strncmp(path, "/vsi", 4) == 0 || stat(path, &facts) == 0;
    if (!is_file && !sel_legend_get(text)) {
        status = fail_no_table(reader, key, node, path);
        free(path);
        return status;
    }
    plan->habitats_is_legend = !is_file;
    if (is_file) {
        plan->habitats_source = path;
        status = sel_keep_written(reader, path, text);
        return status == SEL_OK ? sel_habitats_read(reader->context, path, &plan->habitats)
                                : status;
    }
    free(path);
    plan->habitats_source = strdup(text);
    if (!plan->habitats_source)
        return sel_fail_memory(reader->context);
    return sel_habitats_from_legend(reader->context, text, &plan->habitats);
}
