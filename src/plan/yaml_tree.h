// SPDX-License-Identifier: MIT
//
// A YAML file as a small tree that remembers where everything was written, so that a message can
// name the line. Only what a plan needs: one document of mappings, lists and scalars. Anchors,
// aliases, tags and keys given twice are refused; depth and size are bounded.
#ifndef SEL_PLAN_YAML_TREE_H
#define SEL_PLAN_YAML_TREE_H

#include "plan/plan.h"

enum sel_yaml_kind { SEL_YAML_SCALAR, SEL_YAML_LIST, SEL_YAML_MAP };

enum {
    SEL_YAML_BYTES_MOST = 1 << 20,
    SEL_YAML_DEPTH_MOST = 16,
    SEL_YAML_NODES_MOST = 100000,
    SEL_YAML_KEYS_MOST = 1000 // in one mapping
};

struct sel_yaml_node {
    enum sel_yaml_kind kind;
    struct sel_place place;             // where the value begins
    struct sel_place key_place;         // where its key begins; the value's place in a list
    char *key;                          // owned; NULL when not the value of a key
    char *text;                         // owned; scalars only
    bool plain;                         // a scalar without quotes
    struct sel_yaml_node *first, *last; // children of a mapping or list, in file order
    struct sel_yaml_node *next;         // the next child of the same parent
    size_t count;                       // children
    struct sel_yaml_node *chain;        // the node made before this one, for freeing
};

struct sel_yaml_tree {
    struct sel_yaml_node *root; // NULL: the document is empty
    struct sel_yaml_node *newest;
    size_t count;
};

// Parses `length` bytes; `file` is the name that messages carry ("survey.yaml:12: ...").
// On failure the tree is empty. Free with sel_yaml_clear.
sel_status sel_yaml_parse(sel_context *context, const char *file, const char *bytes, size_t length,
    struct sel_yaml_tree *tree);

void sel_yaml_clear(struct sel_yaml_tree *tree);

// The value of a key of a mapping; NULL when it has no such key or is no mapping.
const struct sel_yaml_node *sel_yaml_find(const struct sel_yaml_node *map, const char *key);

// Whether nothing was written after the key ("title:", "title: ~", "title: null").
bool sel_yaml_is_empty(const struct sel_yaml_node *node);

#endif
