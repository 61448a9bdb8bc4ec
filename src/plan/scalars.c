// SPDX-License-Identifier: MIT
//
// Single values of a plan: texts, paths, numbers, choices and dates, each checked against its row
// of the table of keys.
#include "plan/reader.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/files.h"
#include "plan/dates.h"
#include "plan/numbers.h"
#include "plan/words.h"

sel_status sel_scalar_text(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, const char **text) {
    if (node->kind != SEL_YAML_SCALAR)
        return sel_reader_fail(reader, node, key, "is a %s where one value is expected: give %s",
            node->kind == SEL_YAML_LIST ? "list" : "mapping", key->meaning);
    *text = node->text;
    return SEL_OK;
}

static bool is_auto(const struct sel_plan_key *key, const char *text) {
    return key->automatic && strcmp(text, "auto") == 0;
}

sel_status sel_scalar_line(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, const char **text) {
    sel_status status = sel_scalar_text(reader, key, node, text);
    const char *chars = *text;
    if (status != SEL_OK || !chars)
        return status;
    if (chars[strspn(chars, " \t\r\n")] == '\0')
        return sel_reader_fail(reader, node, key, "is blank: give %s", key->meaning);
    for (const char *at = chars; *at; at++)
        if ((unsigned char)*at < 0x20 || *at == 0x7F)
            return sel_reader_fail(reader, node, key,
                "%s: holds a line break or another control character: write it in one line",
                sel_quote(chars).chars);
    return SEL_OK;
}

sel_status sel_set_text(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    const char *text = NULL;
    sel_status status = sel_scalar_line(reader, key, node, &text);
    if (status != SEL_OK || is_auto(key, text))
        return status;
    char **kept = (char **)(base + key->offset);
    *kept = strdup(text);
    return *kept ? SEL_OK : sel_fail_memory(reader->context);
}

static bool is_remote(const char *path) {
    return strstr(path, "://") != NULL;
}

static sel_status fail_missing(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, const char *path) {
    int reason = errno;
    if (is_remote(node->text))
        return sel_reader_fail(reader, node, key,
            "%s: is an address, not a path: GDAL reads http addresses as /vsicurl/http...",
            node->text);
    return sel_reader_fail(reader, node, key,
        "%s: %s (looked for %s): mend the path, which is relative to the plan's folder", node->text,
        reason == ENOENT ? "no such file" : strerror(reason), path);
}

sel_status sel_set_path(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    const char *text = NULL;
    sel_status status = sel_scalar_line(reader, key, node, &text);
    if (status != SEL_OK)
        return status;
    char *path = sel_join_path(reader->plan->folder, text);
    if (!path)
        return sel_fail_memory(reader->context);
    struct stat facts;
    if (strncmp(path, "/vsi", 4) != 0 && stat(path, &facts) != 0) {
        status = fail_missing(reader, key, node, path);
        free(path);
        return status;
    }
    *(char **)(base + key->offset) = path;
    return sel_keep_written(reader, path, text);
}

static const char *unit_after(const struct sel_plan_key *key) {
    return key->unit ? key->unit : "";
}

static sel_status check_range(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, double number) {
    if (number >= key->least && number <= key->most)
        return SEL_OK;
    return sel_reader_fail(reader, node, key, "%s is not in %s..%s%s%s: give %s",
        sel_number_text(number).chars, sel_number_text(key->least).chars,
        sel_number_text(key->most).chars, key->unit ? " " : "", unit_after(key), key->meaning);
}

sel_status sel_scalar_number(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, double *number) {
    const char *text = NULL;
    sel_status status = sel_scalar_text(reader, key, node, &text);
    if (status != SEL_OK)
        return status;
    if (!sel_parse_number(text, number))
        return sel_reader_fail(reader, node, key,
            "%s is not a number%s: give %s, as digits with a point and without a unit",
            sel_quote(text).chars, key->automatic ? " or auto" : "", key->meaning);
    return check_range(reader, key, node, *number);
}

sel_status sel_set_number(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    double *number = (void *)(base + key->offset);
    if (node->kind == SEL_YAML_SCALAR && is_auto(key, node->text)) {
        *number = (double)NAN;
        return SEL_OK;
    }
    return sel_scalar_number(reader, key, node, number);
}

static sel_status read_whole(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, int64_t *number) {
    const char *text = NULL;
    sel_status status = sel_scalar_text(reader, key, node, &text);
    if (status != SEL_OK)
        return status;
    if (!sel_parse_whole(text, number))
        return sel_reader_fail(reader, node, key, "%s is not a whole number: give %s",
            sel_quote(text).chars, key->meaning);
    return check_range(reader, key, node, (double)*number);
}

sel_status sel_set_whole(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    int64_t number = 0;
    sel_status status = read_whole(reader, key, node, &number);
    if (status == SEL_OK)
        *(int *)(base + key->offset) = (int)number; // the table's ranges lie within an int
    return status;
}

sel_status sel_set_long(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    return read_whole(reader, key, node, (int64_t *)(base + key->offset));
}

static sel_status fail_choice(const struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node) {
    char words[256] = "";
    for (const struct sel_key_choice *choice = key->choices; choice->word; choice++) {
        size_t used = strlen(words);
        snprintf(words + used, sizeof words - used, "%s%s", used > 0 ? ", " : "", choice->word);
    }
    return sel_reader_fail(reader, node, key, "%s is not one of %s: give %s",
        sel_quote(node->text).chars, words, key->meaning);
}

sel_status sel_set_choice(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    const char *text = NULL;
    sel_status status = sel_scalar_text(reader, key, node, &text);
    if (status != SEL_OK || !text)
        return status;
    for (const struct sel_key_choice *choice = key->choices; choice->word; choice++) {
        if (strcmp(choice->word, text) == 0) {
            *(int *)(base + key->offset) = choice->stored;
            return SEL_OK;
        }
    }
    return fail_choice(reader, key, node);
}

sel_status sel_set_date(struct sel_plan_reader *reader, const struct sel_plan_key *key,
    const struct sel_yaml_node *node, char *base) {
    const char *text = NULL;
    sel_status status = sel_scalar_text(reader, key, node, &text);
    if (status != SEL_OK)
        return status;
    if (!sel_date_parse(text, (struct sel_date *)(base + key->offset)))
        return sel_reader_fail(reader, node, key,
            "%s is no day of the calendar: give %s, like 2027-05-15", sel_quote(text).chars,
            key->meaning);
    return SEL_OK;
}
