// SPDX-License-Identifier: MIT
//
// One Markdown table from the table of keys, with a few words before it.
#include "plan/reference.h"

#include "plan/keys.h"
#include "plan/numbers.h"

static const char opening[] =
    "# The plan: every key of survey.yaml\n"
    "\n"
    "This page is made from the table of keys in `src/plan/keys_table.c`, the same that checks a\n"
    "plan. To make it anew after a change there:\n"
    "\n"
    "    SELVEDGE_REGENERATE=1 ctest --test-dir build -R plan_reference\n"
    "\n"
    "A plan is a YAML file in UTF-8. `selvedge start` writes one to begin with, with comments.\n"
    "Paths are relative to the plan's folder; paths that begin with `/vsi` go to GDAL's virtual\n"
    "file systems (archives, web addresses, object storage). Distances are metres, angles "
    "degrees.\n"
    "\n"
    "- Only the two rasters and the habitat table must be given. A key left out has its default;\n"
    "  inside an optional section or an entry of a list, a required key is required only when the\n"
    "  section or entry is there.\n"
    "- `auto` is worked out from the rasters and printed by `selvedge check`.\n"
    "- A key that is not listed here is an error, as is a key given twice. Anchors, aliases, tags\n"
    "  and a second document are refused.\n"
    "- Where a section is marked *or a path*, a path alone stands for `{ file: path }`. One entry "
    "of\n"
    "  a list may stand without the list.\n"
    "- A value function is a list of 2 to 32 pairs `[measure, worth]`, the measure rising, the "
    "worth\n"
    "  from 0 to 1; between pairs it is a straight line, beyond the ends it stays level. A limit\n"
    "  excludes places beyond it on the side where the value function is worth less.\n"
    "- A criterion that gives only some of its keys keeps the defaults of the others.\n"
    "- Weights may be numbers (`criteria.slope.weight`) or an order of importance (`weights`), "
    "not\n"
    "  both. An order of n criteria gives rank-order centroid weights, w_k = (1/n) (1/k + ... + "
    "1/n)\n"
    "  (Barron & Barrett 1996): for four .5208, .2708, .1458, .0625.\n"
    "- The default season suits the temperate north. It is a guess, and every output says so; set\n"
    "  your own.\n"
    "\n"
    "| key | type | unit | range | default | what to give |\n"
    "| --- | --- | --- | --- | --- | --- |\n";

static void add_choices(const struct sel_plan_key *key, struct sel_text *text) {
    for (const struct sel_key_choice *choice = key->choices; choice->word; choice++)
        sel_text_addf(text, "%s`%s`", choice == key->choices ? "" : ", ", choice->word);
}

static void add_type(const struct sel_plan_key *key, struct sel_text *text) {
    static const char *const types[SEL_KEY_KINDS] = {
        [SEL_KEY_SECTION] = "section",
        [SEL_KEY_LIST] = "list",
        [SEL_KEY_TEXT] = "text",
        [SEL_KEY_PATH] = "path",
        [SEL_KEY_WHOLE] = "whole number",
        [SEL_KEY_LONG] = "whole number",
        [SEL_KEY_NUMBER] = "number",
        [SEL_KEY_CHOICE] = "one of ",
        [SEL_KEY_DATE] = "date",
        [SEL_KEY_VALUE] = "value function",
        [SEL_KEY_LIMIT] = "number or `none`",
        [SEL_KEY_ORDER] = "list of criteria",
        [SEL_KEY_SIZE] = "two numbers",
        [SEL_KEY_HABITATS] = "path or legend",
    };
    sel_text_add(text, types[key->kind]);
    if (key->kind == SEL_KEY_CHOICE)
        add_choices(key, text);
    if (key->short_form)
        sel_text_add(text, " *or a path*");
    if (key->automatic)
        sel_text_add(text, " or `auto`");
}

static void add_range(const struct sel_plan_key *key, struct sel_text *text) {
    if (key->least == key->most && key->most == 0.0)
        return;
    sel_add_number(text, key->least);
    if (key->most > key->least) {
        sel_text_add(text, " to ");
        sel_add_number(text, key->most);
    }
}

static void add_default(const struct sel_plan_key *key, struct sel_text *text) {
    if (key->presence == SEL_KEY_REQUIRED)
        sel_text_add(text, "required");
    else if (key->fallback)
        sel_text_addf(text, "`%s`", key->fallback);
    else if (key->presence == SEL_KEY_OPTIONAL)
        sel_text_add(text, "none");
}

static void add_row(const struct sel_plan_key *key, struct sel_text *text) {
    sel_text_addf(text, "| `%s` | ", key->name);
    add_type(key, text);
    sel_text_addf(text, " | %s | ", key->unit ? key->unit : "");
    add_range(key, text);
    sel_text_add(text, " | ");
    add_default(key, text);
    sel_text_addf(text, " | %s |\n", key->meaning);
}

void sel_plan_reference(struct sel_text *text) {
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    sel_text_add(text, opening);
    for (size_t i = 0; i < count; i++)
        add_row(&keys[i], text);
}
