// SPDX-License-Identifier: MIT
//
// Builds the tree from libyaml's events with an explicit stack, so that no input can exhaust the
// C stack. Every node hangs on one chain, by which the tree is freed.
#include "plan/yaml_tree.h"

#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "plan/words.h"

struct builder {
    sel_context *context;
    const char *file;
    struct sel_yaml_tree *tree;
    struct sel_yaml_node *open[SEL_YAML_DEPTH_MOST];
    int depth;
    char *key; // read, and waiting for its value; owned
    struct sel_place key_place;
    int documents;
    bool done;
};

static struct sel_place place_of(const yaml_event_t *event) {
    return (struct sel_place){(int)event->start_mark.line + 1, (int)event->start_mark.column + 1};
}

static struct sel_yaml_node *innermost(struct builder *builder) {
    return builder->depth > 0 ? builder->open[builder->depth - 1] : NULL;
}

static void attach(struct builder *builder, struct sel_yaml_node *node) {
    struct sel_yaml_node *parent = innermost(builder);
    node->chain = builder->tree->newest;
    builder->tree->newest = node;
    builder->tree->count++;
    node->key = builder->key;
    node->key_place = builder->key ? builder->key_place : node->place;
    builder->key = NULL;
    if (!parent) {
        builder->tree->root = node;
        return;
    }
    if (parent->last)
        parent->last->next = node;
    else
        parent->first = node;
    parent->last = node;
    parent->count++;
}

static sel_status add_node(struct builder *builder, enum sel_yaml_kind kind, struct sel_place place,
    struct sel_yaml_node **added) {
    if (builder->tree->count >= SEL_YAML_NODES_MOST)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: holds more than %d values: a plan is short; keep data in files of their own",
            builder->file, place.line, SEL_YAML_NODES_MOST);
    struct sel_yaml_node *node = calloc(1, sizeof *node);
    if (!node)
        return sel_fail_memory(builder->context);
    node->kind = kind;
    node->place = place;
    attach(builder, node);
    *added = node;
    return SEL_OK;
}

static sel_status refuse_marks(struct builder *builder, struct sel_place place,
    const yaml_char_t *anchor, const yaml_char_t *tag) {
    if (anchor)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: anchor &%s: anchors are not read: write the value out where it is needed",
            builder->file, place.line, sel_quote((const char *)anchor).chars);
    if (tag)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: tag %s: tags are not read: take it out", builder->file, place.line,
            sel_quote((const char *)tag).chars);
    return SEL_OK;
}

static sel_status refuse_complex_key(struct builder *builder, struct sel_place place) {
    struct sel_yaml_node *parent = innermost(builder);
    if (parent && parent->kind == SEL_YAML_MAP && !builder->key)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: a list or mapping stands where a key is expected: write key: value",
            builder->file, place.line);
    return SEL_OK;
}

static sel_status open_node(struct builder *builder, enum sel_yaml_kind kind,
    struct sel_place place, const yaml_char_t *anchor, const yaml_char_t *tag) {
    sel_status status = refuse_marks(builder, place, anchor, tag);
    if (status == SEL_OK)
        status = refuse_complex_key(builder, place);
    if (status != SEL_OK)
        return status;
    if (builder->depth == SEL_YAML_DEPTH_MOST)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: is nested more than %d deep: no key of a plan lies so deep", builder->file,
            place.line, SEL_YAML_DEPTH_MOST);
    struct sel_yaml_node *node = NULL;
    status = add_node(builder, kind, place, &node);
    if (status == SEL_OK)
        builder->open[builder->depth++] = node;
    return status;
}

static sel_status take_key(struct builder *builder, struct sel_place place, const char *key) {
    const struct sel_yaml_node *parent = innermost(builder);
    if (parent->count >= SEL_YAML_KEYS_MOST)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: a mapping of more than %d keys: no part of a plan has so many", builder->file,
            place.line, SEL_YAML_KEYS_MOST);
    const struct sel_yaml_node *earlier = sel_yaml_find(parent, key);
    if (earlier)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: %s: is given twice, first in line %d: keep one of them", builder->file,
            place.line, sel_quote(key).chars, earlier->key_place.line);
    builder->key = strdup(key);
    builder->key_place = place;
    return builder->key ? SEL_OK : sel_fail_memory(builder->context);
}

static sel_status take_scalar(struct builder *builder, const yaml_event_t *event) {
    struct sel_place place = place_of(event);
    const char *text = (const char *)event->data.scalar.value;
    sel_status status =
        refuse_marks(builder, place, event->data.scalar.anchor, event->data.scalar.tag);
    if (status != SEL_OK)
        return status;
    if (strlen(text) != event->data.scalar.length)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: %s: holds a NUL character: take the \\0 out", builder->file, place.line,
            sel_quote(text).chars);
    const struct sel_yaml_node *parent = innermost(builder);
    if (parent && parent->kind == SEL_YAML_MAP && !builder->key)
        return take_key(builder, place, text);
    struct sel_yaml_node *node = NULL;
    status = add_node(builder, SEL_YAML_SCALAR, place, &node);
    if (status != SEL_OK || !node)
        return status;
    node->plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    node->text = strdup(text);
    return node->text ? SEL_OK : sel_fail_memory(builder->context);
}

static sel_status take_document(struct builder *builder, struct sel_place place) {
    if (builder->documents++ > 0)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: a second document begins here (---): a plan is one document", builder->file,
            place.line);
    return SEL_OK;
}

static sel_status take_event(struct builder *builder, const yaml_event_t *event) {
    struct sel_place place = place_of(event);
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        return take_document(builder, place);
    case YAML_ALIAS_EVENT:
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%d: alias *%s: aliases are not read: write the value out", builder->file,
            place.line, sel_quote((const char *)event->data.alias.anchor).chars);
    case YAML_SCALAR_EVENT:
        return take_scalar(builder, event);
    case YAML_SEQUENCE_START_EVENT:
        return open_node(builder, SEL_YAML_LIST, place, event->data.sequence_start.anchor,
            event->data.sequence_start.tag);
    case YAML_MAPPING_START_EVENT:
        return open_node(builder, SEL_YAML_MAP, place, event->data.mapping_start.anchor,
            event->data.mapping_start.tag);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        builder->depth--;
        return SEL_OK;
    case YAML_STREAM_END_EVENT:
        builder->done = true;
        return SEL_OK;
    default:
        return SEL_OK;
    }
}

static size_t line_of_offset(const char *bytes, size_t length, size_t offset) {
    size_t line = 1;
    for (size_t i = 0; i < offset && i < length; i++)
        line += bytes[i] == '\n';
    return line;
}

static sel_status fail_parse(
    struct builder *builder, const yaml_parser_t *parser, const char *bytes, size_t length) {
    if (parser->error == YAML_MEMORY_ERROR)
        return sel_fail_memory(builder->context);
    if (parser->error == YAML_READER_ERROR)
        return sel_fail(builder->context, SEL_BAD_INPUT,
            "%s:%zu: %s: save the file as plain text in UTF-8", builder->file,
            line_of_offset(bytes, length, parser->problem_offset), parser->problem);
    return sel_fail(builder->context, SEL_BAD_INPUT,
        "%s:%zu: is not YAML: %s: look at the indents, colons, brackets and quotes here and just "
        "above",
        builder->file, parser->problem_mark.line + 1,
        parser->problem ? parser->problem : "cannot be read");
}

sel_status sel_yaml_parse(sel_context *context, const char *file, const char *bytes, size_t length,
    struct sel_yaml_tree *tree) {
    struct builder builder = {.context = context, .file = file, .tree = tree};
    *tree = (struct sel_yaml_tree){0};
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser))
        return sel_fail_memory(context);
    yaml_parser_set_input_string(&parser, (const unsigned char *)bytes, length);
    sel_status status = SEL_OK;
    while (status == SEL_OK && !builder.done) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            status = fail_parse(&builder, &parser, bytes, length);
        } else {
            status = take_event(&builder, &event);
            yaml_event_delete(&event);
        }
    }
    yaml_parser_delete(&parser);
    free(builder.key);
    if (status != SEL_OK)
        sel_yaml_clear(tree);
    return status;
}

void sel_yaml_clear(struct sel_yaml_tree *tree) {
    while (tree->newest) {
        struct sel_yaml_node *node = tree->newest;
        tree->newest = node->chain;
        free(node->key);
        free(node->text);
        free(node);
    }
    *tree = (struct sel_yaml_tree){0};
}

const struct sel_yaml_node *sel_yaml_find(const struct sel_yaml_node *map, const char *key) {
    if (!map || map->kind != SEL_YAML_MAP)
        return NULL;
    for (const struct sel_yaml_node *node = map->first; node; node = node->next)
        if (strcmp(node->key, key) == 0)
            return node;
    return NULL;
}

bool sel_yaml_is_empty(const struct sel_yaml_node *node) {
    if (node->kind != SEL_YAML_SCALAR || !node->plain)
        return false;
    return node->text[0] == '\0' || strcmp(node->text, "~") == 0 || strcmp(node->text, "null") == 0;
}
