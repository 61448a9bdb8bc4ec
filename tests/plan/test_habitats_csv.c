// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "plan/habitats.h"
#include "plan_files.h"

#define HEADER "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support\n"

static struct plan_files files;

static int open_files(void **state) {
    (void)state;
    plan_files_open(&files);
    return 0;
}

static int close_files(void **state) {
    (void)state;
    plan_files_close(&files);
    return 0;
}

static struct sel_habitats habitats;

static sel_status read_named(const char *name, const char *text) {
    char *path = plan_files_path(&files, name);
    plan_files_write(&files, name, text);
    sel_context_begin(files.context);
    sel_habitats_clear(&habitats);
    sel_status status = sel_habitats_read(files.context, path, &habitats);
    free(path);
    return status;
}

static sel_status read_table(const char *text) {
    return read_named("t.csv", text);
}

static void refused(const char *text, const char *message) {
    sel_status status = read_table(text);
    if (status == SEL_OK)
        fail_msg("was accepted, but should say: %s", message);
    plan_files_message(&files, message);
    assert_int_equal(status, SEL_BAD_INPUT);
    assert_null(habitats.items);
}

static void every_trait_is_read(void **state) {
    (void)state;
    assert_int_equal(read_table(HEADER "42,alder wood,14.5,0.8,0.75,1,0.5,yes,no,wet,yes\n"
                                       "-7,pond,0,0,1,0.3,0,no,yes,rock,no\n"),
        SEL_OK);
    assert_int_equal(habitats.count, 2);
    const struct sel_habitat *wood =
        sel_habitat_get(&habitats, sel_habitat_of_value(&habitats, 42));
    assert_string_equal(wood->name, "alder wood");
    assert_true(wood->canopy_m == 14.5 && wood->cover == 0.8 && wood->wetness == 0.75);
    assert_true(wood->edge == 1.0 && wood->walk == 0.5);
    assert_true(wood->trap && !wood->water && wood->support);
    assert_int_equal(wood->ground, SEL_GROUND_WET);
    const struct sel_habitat *pond =
        sel_habitat_get(&habitats, sel_habitat_of_value(&habitats, -7));
    assert_true(!pond->trap && pond->water && !pond->support);
    assert_int_equal(pond->ground, SEL_GROUND_ROCK);
}

static void values_may_share_a_habitat_and_a_habitat_may_have_none(void **state) {
    (void)state;
    assert_int_equal(read_table(plan_files_table), SEL_OK);
    assert_int_equal(habitats.count, 4);
    assert_int_equal(habitats.value_count, 3);
    assert_int_equal(sel_habitat_of_value(&habitats, 2), sel_habitat_of_value(&habitats, 3));
    assert_int_equal(sel_habitat_of_value(&habitats, 4), SEL_HABITAT_UNKNOWN);
    assert_int_equal(sel_habitat_by_name(&habitats, "brook"), 3);
    assert_int_equal(sel_habitat_by_name(&habitats, "creek"), SEL_HABITAT_UNKNOWN);
    assert_string_equal(sel_habitat_get(&habitats, 1)->name, "hay meadow");
}

static void values_are_found_whatever_their_order(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add(&text, HEADER);
    for (int i = 0; i < 199; i++)
        sel_text_addf(&text, "%d,h%d,1,0,0,1,1,yes,no,firm,no\n", (i * 83) % 199 - 50, i);
    assert_int_equal(read_table(text.chars), SEL_OK);
    for (int i = 0; i < 199; i++)
        assert_int_equal(sel_habitat_of_value(&habitats, (i * 83) % 199 - 50), i + 1);
    assert_int_equal(sel_habitat_of_value(&habitats, -51), SEL_HABITAT_UNKNOWN);
    assert_int_equal(sel_habitat_of_value(&habitats, 149), SEL_HABITAT_UNKNOWN);
    sel_text_clear(&text);
}

static void columns_may_stand_in_any_order_and_notes_are_ignored(void **state) {
    (void)state;
    assert_int_equal(
        read_table("note,habitat,cells,value,support,ground,water,trap,walk,edge,wetness,cover,"
                   "canopy_m,share,area_ha,legend_name\n"
                   "\"ours, roughly\",heath,12,5,FALSE,sand,0,True,.7,1,.4,.2,.6,0.1,3,Heath\n"),
        SEL_OK);
    const struct sel_habitat *heath = sel_habitat_get(&habitats, 1);
    assert_string_equal(heath->name, "heath");
    assert_true(heath->trap && !heath->water && !heath->support);
    assert_true(heath->canopy_m == 0.6 && heath->walk == 0.7);
    assert_int_equal(heath->ground, SEL_GROUND_SAND);
}

static void spreadsheets_may_use_semicolons_a_byte_order_mark_and_empty_rows(void **state) {
    (void)state;
    assert_int_equal(
        read_named("t.txt", "\xEF\xBB\xBFvalue;habitat;canopy_m;cover;wetness;edge;walk;trap;"
                            "water;ground;support\r\n"
                            " 5 ; heath ;0.6;0;0.4;1;0.7; yes ;no; firm ;no\r\n"
                            ";;;;;;;;;;\r\n"
                            "\r\n"
                            "6;mire;0.3;0;0.9;1;0.4;yes;no;wet;no\r\n"),
        SEL_OK);
    assert_int_equal(habitats.count, 2);
    assert_string_equal(
        sel_habitat_get(&habitats, sel_habitat_of_value(&habitats, 5))->name, "heath");
}

static void a_missing_column_is_named(void **state) {
    (void)state;
    refused("value,habitat,canopy_m,cover,edge,walk,trap,water,ground,support\n1,a,1,0,1,1,yes,no,"
            "firm,no\n",
        "@/t.csv:1: column wetness is missing: add it to the header and to every row");
}

static void an_unknown_column_is_named(void **state) {
    (void)state;
    refused("value,habitat,canopy,cover,wetness,edge,walk,trap,water,ground,support\n",
        "@/t.csv:1: \"canopy\": is no column of a habitat table: did you mean canopy_m?: the "
        "columns are value, habitat, canopy_m, cover, wetness, edge, walk, trap, water, ground, "
        "support, and for notes cells, area_ha, share, legend_name, note");
    refused("value,habitat,colour\n",
        "@/t.csv:1: \"colour\": is no column of a habitat table: the columns are value, habitat, "
        "canopy_m, cover, wetness, edge, walk, trap, water, ground, support, and for notes cells, "
        "area_ha, share, legend_name, note");
    refused(
        "value,habitat,value,cover\n1,a,1,0\n", "@/t.csv:1: column value comes twice: keep one");
}

static void a_value_given_twice_names_both_lines(void **state) {
    (void)state;
    refused(HEADER "4,a,1,0,0,1,1,yes,no,firm,no\n5,b,1,0,0,1,1,yes,no,firm,no\n\n"
                   "4,b,1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv:5: value: 4 stands in line 2 already: keep one of the rows");
}

static void rows_of_one_habitat_must_agree(void **state) {
    (void)state;
    refused(HEADER "4,a,1,0,0,1,1,yes,no,firm,no\n5,a,1,0,0,0.9,1,yes,no,firm,no\n",
        "@/t.csv:3: habitat: \"a\" has other traits than in line 2: make the rows agree, or give "
        "the habitats two names");
    refused(HEADER "4,Wood,1,0,0,1,1,yes,no,firm,no\n5,wood,1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv:3: habitat: \"wood\" differs from the name in line 2 in capitals only: write both "
        "alike");
}

static void a_blank_trait_asks_to_be_filled_in(void **state) {
    (void)state;
    refused(HEADER "4,class 4,,,,,,,,,\n",
        "@/t.csv:2: canopy_m: is blank for habitat \"class 4\": fill in every trait "
        "(docs/habitats.md tells how): give the height of the vegetation in metres, 0..120");
    refused(HEADER "4,fen,1,0,0.9,1,0.4,yes,no, ,no\n",
        "@/t.csv:2: ground: is blank for habitat \"fen\": fill in every trait (docs/habitats.md "
        "tells how): write firm, sand, wet or rock");
    refused(HEADER "4,fen,1,0\n",
        "@/t.csv:2: wetness: is blank for habitat \"fen\": fill in every trait (docs/habitats.md "
        "tells how): give a number from 0 (dry) to 1 (under water)");
}

static void every_trait_has_its_range(void **state) {
    (void)state;
    static const struct {
        const char *row, *message;
    } cases[] = {
        {"4,a,-1,0,0,1,1,yes,no,firm,no\n",
            "@/t.csv:2: canopy_m: \"-1\": give the height of the vegetation in metres, 0..120"},
        {"4,a,1400,0,0,1,1,yes,no,firm,no\n",
            "@/t.csv:2: canopy_m: \"1400\": give the height of the vegetation in metres, 0..120"},
        {"4,a,1,80,0,1,1,yes,no,firm,no\n",
            "@/t.csv:2: cover: \"80\": give the share of sky that the canopy closes, 0..1"},
        {"4,a,1,0,1.1,1,1,yes,no,firm,no\n",
            "@/t.csv:2: wetness: \"1.1\": give a number from 0 (dry) to 1 (under water)"},
        {"4,a,1,0,0,2,1,yes,no,firm,no\n",
            "@/t.csv:2: edge: \"2\": give what an edge with it is worth to insects, 0..1"},
        {"4,a,1,0,0,1,fast,yes,no,firm,no\n",
            "@/t.csv:2: walk: \"fast\": give its walking speed from 0 (a barrier) to 1 (open "
            "ground)"},
        {"4,a,1,0,0,1,1,perhaps,no,firm,no\n", "@/t.csv:2: trap: \"perhaps\": write yes or no"},
        {"4,a,1,0,0,1,1,yes,y,firm,no\n", "@/t.csv:2: water: \"y\": write yes or no"},
        {"4,a,1,0,0,1,1,yes,no,mud,no\n",
            "@/t.csv:2: ground: \"mud\": write firm, sand, wet or rock"},
        {"4,a,1,0,0,1,1,yes,no,firm,2\n", "@/t.csv:2: support: \"2\": write yes or no"},
        {"4.5,a,1,0,0,1,1,yes,no,firm,no\n",
            "@/t.csv:2: value: \"4.5\": write a whole number as the raster holds it, or nothing "
            "for a habitat of lines"},
        {"4,a,\"0,5\",0,0,1,1,yes,no,firm,no\n",
            "@/t.csv:2: canopy_m: \"0,5\": give the height of the vegetation in metres, 0..120"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[512];
        snprintf(text, sizeof text, HEADER "%s", cases[i].row);
        refused(text, cases[i].message);
    }
}

static void a_name_must_be_one_short_line_of_utf8(void **state) {
    (void)state;
    refused(HEADER "4, ,1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv:2: habitat: is blank: give the habitat a name");
    refused(HEADER "1,ok,1,0,0,1,1,yes,no,firm,no\n4,Geb\xFCsch,1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv:3: habitat: \"Geb\xFCsch\": is not UTF-8: save the table as CSV in UTF-8");
    refused(HEADER "4,\"two\nlines\",1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv:2: habitat: \"two?lines\": give a name of one line and at most 80 bytes");
    refused(HEADER "4,aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
                   "aaaaaaaaaaaaaa,1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv:2: habitat: \"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa...\": "
        "give a name of one line and at most 80 bytes");
}

static void lines_are_counted_as_an_editor_counts_them(void **state) {
    (void)state;
    refused(HEADER "\n4,a,1,0,0,1,1,yes,no,firm,no\n\n\n5,b,1,0,0,1,1,yes,no,mud,no\n",
        "@/t.csv:6: ground: \"mud\": write firm, sand, wet or rock");
}

static void there_are_at_most_254_habitats(void **state) {
    (void)state;
    for (int most = 254; most <= 255; most++) {
        struct sel_text text;
        sel_text_init(&text);
        sel_text_add(&text, HEADER);
        for (int i = 1; i <= most; i++)
            sel_text_addf(&text, "%d,h%d,1,0,0,1,1,yes,no,firm,no\n", i, i);
        if (most == 254) {
            assert_int_equal(read_table(text.chars), SEL_OK);
            assert_int_equal(habitats.count, SEL_HABITATS_MOST);
            assert_int_equal(sel_habitat_of_value(&habitats, 254), 254);
        } else {
            refused(text.chars, "@/t.csv:256: habitat: \"h255\" is one habitat more than 254: let "
                                "similar values share a habitat");
        }
        sel_text_clear(&text);
    }
}

static void a_table_that_cannot_be_read_is_named(void **state) {
    (void)state;
    refused("", "@/t.csv: is empty: `selvedge start` or `selvedge legend` write a habitat table");
    refused("\n" HEADER "4,a,1,0,0,1,1,yes,no,firm,no\n",
        "@/t.csv: is not a CSV table: give a text file whose first line names the columns");
    refused(HEADER, "@/t.csv: has no rows: give one for each value of the land-cover raster");
    char *path = plan_files_path(&files, "absent.csv");
    sel_context_begin(files.context);
    assert_int_equal(sel_habitats_read(files.context, path, &habitats), SEL_BAD_INPUT);
    const char *message = sel_context_message(files.context);
    assert_ptr_equal(strstr(message, path), message);
    assert_non_null(strstr(message, "cannot be read as a habitat table"));
    free(path);
}

static void a_table_too_large_is_refused(void **state) {
    (void)state;
    size_t length = (4 << 20) + 1;
    char *text = malloc(length + 1);
    assert_non_null(text);
    memset(text, 'x', length);
    text[length] = '\0';
    assert_int_equal(read_table(text), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(files.context), "a file of at most 4 MiB"));
    free(text);
}

static int close_all(void **state) {
    sel_habitats_clear(&habitats);
    return close_files(state);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_trait_is_read),
        cmocka_unit_test(values_may_share_a_habitat_and_a_habitat_may_have_none),
        cmocka_unit_test(values_are_found_whatever_their_order),
        cmocka_unit_test(columns_may_stand_in_any_order_and_notes_are_ignored),
        cmocka_unit_test(spreadsheets_may_use_semicolons_a_byte_order_mark_and_empty_rows),
        cmocka_unit_test(a_missing_column_is_named),
        cmocka_unit_test(an_unknown_column_is_named),
        cmocka_unit_test(a_value_given_twice_names_both_lines),
        cmocka_unit_test(rows_of_one_habitat_must_agree),
        cmocka_unit_test(a_blank_trait_asks_to_be_filled_in),
        cmocka_unit_test(every_trait_has_its_range),
        cmocka_unit_test(a_name_must_be_one_short_line_of_utf8),
        cmocka_unit_test(lines_are_counted_as_an_editor_counts_them),
        cmocka_unit_test(there_are_at_most_254_habitats),
        cmocka_unit_test(a_table_that_cannot_be_read_is_named),
        cmocka_unit_test(a_table_too_large_is_refused),
    };
    return cmocka_run_group_tests(tests, open_files, close_all);
}
