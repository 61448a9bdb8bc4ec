// SPDX-License-Identifier: MIT
//
// Labels, setup cards and kit list, read with Python's HTML parser: what must stand on them, that
// nothing in a name becomes markup, and that numbers of things add up.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/items.h"
#include "fieldkit/labels.h"
#include "fieldkit/list.h"
#include "fieldkit/setup.h"

static struct fieldkit_scene *scene;
static char *labels, *cards, *list; // as written
static char *labels_text, *cards_text, *list_text;

static void prepare(struct output_scene *survey) {
    for (size_t i = 0; i < survey->survey.site_count; i++) {
        struct sel_site *site = &survey->survey.sites[i];
        survey->survey.candidates[site->candidate].measure[SEL_CRITERION_SUN] =
            i % 4 == 0 ? 0.76 : 0.74;
        site->support = i % 3 == 0;
        site->declination_deg = 4.0;
        site->panel_magnetic_deg = site->bearings.panel_deg - 4.0;
        site->head_magnetic_deg = site->bearings.head_deg - 4.0;
    }
}

static char *page(const char *name, char **text,
    void (*make)(const struct sel_fieldkit *kit, struct sel_text *html)) {
    struct sel_text html;
    sel_text_init(&html);
    make(&scene->kit, &html);
    char *path = fieldkit_scene_file(scene, name, &html);
    if (fieldkit_scene_python("fieldkit_page.py", path, text) != 0)
        fprintf(stderr, "%s: %s", name, *text);
    free(path);
    return sel_text_take(&html);
}

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.adjust = prepare;
    wish.field.trap_type = "tent <grey> & \"tall\"";
    wish.field.preservative = "ethanol <80 %>";
    scene = fieldkit_scene_new(wish);
    labels = page("labels.html", &labels_text, sel_fieldkit_labels);
    cards = page("setup.html", &cards_text, sel_fieldkit_setup_cards);
    list = page("kit.html", &list_text, sel_fieldkit_list_html);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    free(labels);
    free(cards);
    free(list);
    free(labels_text);
    free(cards_text);
    free(list_text);
    fieldkit_scene_free(scene);
    return 0;
}

static void pages_are_sound(void **state) {
    (void)state;
    const char *const texts[] = {labels_text, cards_text, list_text};
    for (size_t i = 0; i < 3; i++)
        assert_null(strstr(texts[i], "AssertionError"));
}

static void hostile_names_are_text_on_every_page(void **state) {
    (void)state;
    const char *const pages[] = {labels, cards, list};
    for (size_t i = 0; i < 3; i++) {
        assert_null(strstr(pages[i], "<script"));
        assert_null(strstr(pages[i], "<grey>"));
        assert_null(strchr(pages[i], '\x1B'));
    }
    assert_non_null(strstr(cards_text, "<script>alert('x')</script>"));
    assert_non_null(strstr(labels_text, "tent <grey> & \"tall\""));
    assert_non_null(strstr(labels_text, "ethanol <80 %>"));
    assert_non_null(strstr(list_text, "tent <grey> & \"tall\""));
}

static void pages_fetch_and_run_nothing(void **state) {
    (void)state;
    const char *const pages[] = {labels, cards, list};
    for (size_t i = 0; i < 3; i++) {
        assert_non_null(strstr(pages[i], "default-src 'none'"));
        assert_null(strstr(pages[i], "http://"));
        assert_null(strstr(pages[i], "https://"));
        assert_null(strstr(pages[i], "url("));
    }
}

// --- labels ---

static void every_bottle_has_a_small_and_a_large_label(void **state) {
    (void)state;
    size_t bottles = scene->kit.primary_count * scene->kit.stint_count;
    size_t reserves = scene->kit.site_count - scene->kit.primary_count;
    assert_int_equal(fieldkit_scene_count(labels, "<div class=\"s\">"), bottles + reserves);
    assert_int_equal(fieldkit_scene_count(labels, "<div class=\"l\">"), bottles + reserves);
    assert_int_equal(fieldkit_scene_count(labels, "S01 / 1</b>"), 2);
    assert_int_equal(fieldkit_scene_count(labels, " / ____</b>"), 2 * reserves);
}

static void a_label_tells_place_uncertainty_elevation_pair_and_trap(void **state) {
    (void)state;
    const struct sel_site_row *row = scene->kit.sites[0].row;
    size_t each = 2 * scene->kit.stint_count;
    char words[200];
    snprintf(words, sizeof words, "%.6f\u00B0 N, %.6f\u00B0 E \u00B1 12 m", row->latitude,
        row->longitude);
    assert_int_equal(fieldkit_scene_count(labels, words), each);
    snprintf(words, sizeof words, "<div class=\"t\">%.0f m a.s.l.", row->elevation_m);
    assert_true(fieldkit_scene_count(labels, words) >= each);
    assert_non_null(strstr(labels_text, row->habitat_a));
    assert_non_null(strstr(labels_text, row->habitat_b));
}

// What the plan names is printed, what it does not name is a line to write on.
static void what_is_not_known_is_a_blank_line(void **state) {
    (void)state;
    size_t all = 2 * (scene->kit.primary_count * scene->kit.stint_count + scene->kit.site_count -
                         scene->kit.primary_count);
    assert_int_equal(
        fieldkit_scene_count(labels, "<span>from</span><i></i><span>to</span><i></i>"), all);
    assert_int_equal(fieldkit_scene_count(labels, "<span>collector</span><i></i>"), all / 2);
    assert_int_equal(fieldkit_scene_count(labels, "<span>coll.</span><i></i>"), all / 2);
    assert_int_equal(fieldkit_scene_count(labels, "<span>preservative</span><i></i>"), 0);
}

// --- cards ---

static void every_site_and_reserve_has_a_card(void **state) {
    (void)state;
    assert_int_equal(
        fieldkit_scene_count(cards, "<article class=\"card\">"), scene->kit.site_count);
    assert_int_equal(fieldkit_scene_count(cards, "<svg class=\"plan\""), scene->kit.site_count);
    assert_int_equal(fieldkit_scene_count(cards, "Position really used"), scene->kit.site_count);
}

// The scene's head points to 204.137 true; 4 degrees of east declination make 200 by compass.
static void bearings_are_told_true_and_by_compass(void **state) {
    (void)state;
    assert_int_equal(fieldkit_scene_count(cards, "204\u00B0</td><td class=\"num\"><b>200\u00B0<"),
        scene->kit.site_count);
    assert_int_equal(fieldkit_scene_count(cards_text, "Magnetic north lies 4.0\u00B0 east"),
        scene->kit.site_count);
    assert_int_equal(
        fieldkit_scene_count(cards_text, "for Thu 8 July 2027"), scene->kit.site_count);
    assert_int_equal(fieldkit_scene_count(cards_text, "Grid north of the map lies 0.1\u00B0 east"),
        scene->kit.site_count);
    assert_true(fieldkit_scene_count(cards_text, "each year") == scene->kit.site_count);
}

// The drawing's head lies at the end of a panel of 44 units toward 204.137 degrees.
static void the_drawing_shows_the_head_where_the_bearing_is(void **state) {
    (void)state;
    double angle = 204.137 * 3.14159265358979323846 / 180;
    char circle[120];
    snprintf(circle, sizeof circle, "<circle cx=\"%.2f\" cy=\"%.2f\" r=\"7.5\"",
        44 * sin(204.14 * 3.14159265358979323846 / 180),
        -44 * cos(204.14 * 3.14159265358979323846 / 180));
    assert_true(fabs(44 * sin(angle) + 18.0) < 0.1);
    assert_int_equal(fieldkit_scene_count(cards, circle), scene->kit.site_count);
}

static void a_card_leads_to_its_reserve(void **state) {
    (void)state;
    for (size_t i = 0; i < scene->kit.site_count; i++) {
        const struct sel_fieldkit_site *site = &scene->kit.sites[i];
        if (!site->primary)
            continue;
        double x = site->row->x - site->primary->row->x, y = site->row->y - site->primary->row->y;
        char words[120];
        snprintf(
            words, sizeof words, "<b>%s</b>, %.0f m to the ", sel_fieldkit_id(site), hypot(x, y));
        assert_int_equal(fieldkit_scene_count(cards, words), 1);
    }
    assert_true(fieldkit_scene_count(cards, "report back") > 0);
}

static void what_must_be_checked_is_asked(void **state) {
    (void)state;
    static const char *const WORDS[] = {"Stems or poles", "Level ground", "Panel clear",
        "Head in the light", "May a trap stand here", "Above any water that can rise"};
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++)
        assert_int_equal(fieldkit_scene_count(cards_text, WORDS[i]), scene->kit.site_count);
    assert_int_equal(
        fieldkit_scene_count(cards_text, "Nothing may be cut here"), 1); // of the scene's sites
}

// --- kit list ---

static size_t item_named(const char *name) {
    for (size_t i = 0; i < sel_kit_items(); i++)
        if (strcmp(sel_kit_count(&scene->kit, i, 0).name, name) == 0)
            return i;
    fail_msg("no item %s", name);
    return 0;
}

static struct sel_kit_item total(const char *name) {
    return sel_kit_count(&scene->kit, item_named(name), scene->kit.round_count);
}

// Twelve traps: a bottle of half a litre each at the set-up and at all but the last of the visits.
static void bottles_and_fluid_add_up(void **state) {
    (void)state;
    double stints = (double)scene->kit.stint_count;
    assert_true(total("trap").season == 12);
    assert_true(total("bottle with lid").setup == 12 && total("bottle with lid").change == 12);
    assert_true(total("bottle with lid").season == 12 * stints);
    assert_true(total("preservative").change == 6000);
    assert_true(total("preservative").season == 6000 * stints);
    assert_true(total("collecting head").season == 24);
    assert_true(total("open pan").season == 0 && total("propylene glycol").season == 0);
}

static void poles_ballast_and_foil_follow_the_ground(void **state) {
    (void)state;
    double poles = 0, ballast = 0, foil = 0;
    for (size_t i = 0; i < scene->survey->survey.site_count; i++) {
        const struct sel_site *site = &scene->survey->survey.sites[i];
        const struct sel_candidate *made = &scene->survey->survey.candidates[site->candidate];
        const struct sel_habitats *habitats = &scene->survey->plan.habitats;
        if (site->reserve > 0)
            continue;
        bool sand = sel_habitat_get(habitats, made->a)->ground == SEL_GROUND_SAND ||
                    sel_habitat_get(habitats, made->b)->ground == SEL_GROUND_SAND;
        poles += site->support ? 0 : 2;
        ballast += sand ? 4 : 0;
        foil += made->measure[SEL_CRITERION_SUN] > 0.75 ? 1 : 0;
    }
    assert_true(poles > 0 && poles < 24 && foil > 0 && foil < 12);
    assert_true(total("pole").setup == poles);
    assert_true(total("ballast bag").setup == ballast);
    assert_true(total("foil for the bottle").setup == foil);
}

static void rounds_add_up_to_the_total(void **state) {
    (void)state;
    for (size_t i = 0; i < sel_kit_items(); i++) {
        double setup = 0, season = 0;
        for (size_t round = 0; round < scene->kit.round_count; round++) {
            setup += sel_kit_count(&scene->kit, i, round).setup;
            season += sel_kit_count(&scene->kit, i, round).season;
        }
        struct sel_kit_item all = sel_kit_count(&scene->kit, i, scene->kit.round_count);
        assert_true(all.setup == setup && all.season == season);
    }
}

static void open_pans_get_glycol_in_the_sun_and_soap_in_shade(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.field.pans = 2;
    wish.adjust = prepare;
    struct fieldkit_scene *pans = fieldkit_scene_new(wish), *kept = scene;
    scene = pans;
    double sunny = total("foil for the bottle").setup;
    assert_true(total("open pan").setup == 24);
    assert_true(total("propylene glycol").setup == sunny * 600);
    assert_true(total("soapy water").setup == (12 - sunny) * 600);
    scene = kept;
    fieldkit_scene_free(pans);
}

static void the_list_tells_rounds_and_cautions(void **state) {
    (void)state;
    static const char *const WORDS[] = {"Ethanol burns", "Knives", "Insecticide only as its label",
        "Streams flood", "Steep and wet ground", "Permission", "protected species", "Used fluids",
        "Walking times and distances are estimates", "Local codes and licensed practice"};
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++)
        assert_non_null(strstr(list_text, WORDS[i]));
    for (size_t round = 1; round <= scene->kit.round_count; round++) {
        char head[40];
        snprintf(head, sizeof head, "<h1>Round %zu</h1>", round);
        assert_int_equal(fieldkit_scene_count(list, head), 1);
    }
}

static void the_table_has_a_row_per_thing_and_round(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_fieldkit_list_csv(&scene->kit, &csv);
    assert_int_equal(
        fieldkit_scene_count(csv.chars, "\n"), 1 + (scene->kit.round_count + 1) * sel_kit_items());
    assert_non_null(strstr(csv.chars, "round,item,unit,setup,each_change,season,sites,note\n"));
    assert_non_null(strstr(csv.chars, "\nall,trap,piece,12,0,12,all,"));
    sel_text_clear(&csv);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pages_are_sound),
        cmocka_unit_test(hostile_names_are_text_on_every_page),
        cmocka_unit_test(pages_fetch_and_run_nothing),
        cmocka_unit_test(every_bottle_has_a_small_and_a_large_label),
        cmocka_unit_test(a_label_tells_place_uncertainty_elevation_pair_and_trap),
        cmocka_unit_test(what_is_not_known_is_a_blank_line),
        cmocka_unit_test(every_site_and_reserve_has_a_card),
        cmocka_unit_test(bearings_are_told_true_and_by_compass),
        cmocka_unit_test(the_drawing_shows_the_head_where_the_bearing_is),
        cmocka_unit_test(a_card_leads_to_its_reserve),
        cmocka_unit_test(what_must_be_checked_is_asked),
        cmocka_unit_test(bottles_and_fluid_add_up),
        cmocka_unit_test(poles_ballast_and_foil_follow_the_ground),
        cmocka_unit_test(rounds_add_up_to_the_total),
        cmocka_unit_test(open_pans_get_glycol_in_the_sun_and_soap_in_shade),
        cmocka_unit_test(the_list_tells_rounds_and_cautions),
        cmocka_unit_test(the_table_has_a_row_per_thing_and_round),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
