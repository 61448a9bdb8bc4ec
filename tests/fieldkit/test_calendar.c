// SPDX-License-Identifier: MIT
//
// calendar.ics as python3-icalendar reads it.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/calendar.h"

enum { NOT_RUN = 77 };

static struct fieldkit_scene *scene;
static struct sel_text ics;
static char *path, *read_back; // one line per event

static void hostile_title(struct output_scene *survey) {
    free(survey->plan.title);
    survey->plan.title = strdup("Alder; Brook, \\n \u05E1\u05D5\u05E3 <b>\r\nBEGIN:VALARM");
}

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.adjust = hostile_title;
    scene = fieldkit_scene_new(wish);
    sel_fieldkit_calendar(&scene->kit, &ics);
    path = fieldkit_scene_file(scene, "calendar.ics", &ics);
    int status = fieldkit_scene_python("fieldkit_calendar.py", path, &read_back);
    if (status == NOT_RUN) {
        fprintf(stderr, "!! SKIPPED: %s", read_back);
        exit(NOT_RUN);
    }
    if (status != 0)
        fprintf(stderr, "%s\n", read_back);
    return status;
}

static int close_scene(void **state) {
    (void)state;
    free(path);
    free(read_back);
    sel_text_clear(&ics);
    fieldkit_scene_free(scene);
    return 0;
}

static size_t events_expected(void) {
    const struct sel_fieldkit *kit = &scene->kit;
    size_t count = kit->round_count * (kit->stint_count - 1);
    for (size_t i = 0; i < kit->round_count; i++)
        count += (size_t)kit->setup_days[i] + (size_t)kit->takedown_days[i];
    return count;
}

static void every_visit_is_an_event_of_one_day(void **state) {
    (void)state;
    assert_int_equal(fieldkit_scene_count(read_back, "\n"), events_expected());
    assert_int_equal(fieldkit_scene_count(ics.chars, "BEGIN:VEVENT\r\n"), events_expected());
    assert_non_null(strstr(read_back, "-round1-visit0@selvedge.invalid|2027-05-15|2027-05-16|"));
}

// A week after the set-up of 15 May is 22 May; the season ends on 31 August.
static void heads_are_changed_weekly_and_taken_down_at_the_end(void **state) {
    (void)state;
    assert_non_null(strstr(read_back, "-round1-visit1@selvedge.invalid|2027-05-22|2027-05-23|Round "
                                      "1: change heads, bottle 1 of "));
    assert_non_null(strstr(read_back, "-round1-visit2@selvedge.invalid|2027-05-29|"));
    assert_non_null(strstr(read_back, "|2027-08-31|2027-09-01|"));
    size_t takedowns = 0;
    for (size_t i = 0; i < scene->kit.round_count; i++)
        takedowns += (size_t)scene->kit.takedown_days[i];
    assert_int_equal(fieldkit_scene_count(read_back, "take down"), takedowns);
}

static void identifiers_are_unique(void **state) {
    (void)state;
    for (const char *at = read_back; *at; at = strchr(at, '\n') + 1) {
        char uid[200];
        size_t length = strcspn(at, "|");
        assert_true(length < sizeof uid - 1);
        memcpy(uid, at, length);
        uid[length] = '|';
        uid[length + 1] = '\0';
        assert_int_equal(fieldkit_scene_count(read_back, uid), 1);
    }
}

static void every_site_is_told_with_its_walk_and_the_round_with_its_total(void **state) {
    (void)state;
    char flat[4096] = "";
    size_t used = 0;
    const char *event = strstr(ics.chars, "visit1@");
    const char *from = strstr(event, "DESCRIPTION:"), *to = strstr(from, "LOCATION:");
    for (const char *at = from; at < to && used < sizeof flat - 1; at++) {
        if (strncmp(at, "\r\n ", 3) == 0)
            at += 2;
        else
            flat[used++] = *at;
    }
    flat[used] = '\0';
    const struct sel_round *round = &scene->kit.rounds[0];
    for (size_t i = 0; i < round->count; i++)
        assert_non_null(strstr(flat, sel_fieldkit_id(sel_fieldkit_at(&scene->kit, i))));
    assert_non_null(strstr(flat, "Walking in all: at least "));
    assert_non_null(strstr(flat, ". Travel between "));
    assert_non_null(strstr(flat, "at the latest it comes in on Tue 25 May 2027 (10 days)"));
    assert_non_null(strstr(flat, "Ethanol is flammable"));
}

// A title with line breaks, commas and a property name in it stays one value.
static void a_hostile_title_opens_no_component(void **state) {
    (void)state;
    assert_null(strstr(ics.chars, "\r\nBEGIN:VALARM"));
    assert_null(strstr(ics.chars, "\nBEGIN:VALARM"));
    assert_non_null(strstr(ics.chars, "LOCATION:Alder\\; Brook\\, \\\\n "));
}

static void lines_are_short_and_end_with_cr_lf(void **state) {
    (void)state;
    for (const char *at = ics.chars; *at;) {
        const char *end = strstr(at, "\r\n");
        assert_non_null(end);
        assert_in_range(end - at, 1, 75);
        assert_null(memchr(at, '\n', (size_t)(end - at)));
        at = end + 2;
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_visit_is_an_event_of_one_day),
        cmocka_unit_test(heads_are_changed_weekly_and_taken_down_at_the_end),
        cmocka_unit_test(identifiers_are_unique),
        cmocka_unit_test(every_site_is_told_with_its_walk_and_the_round_with_its_total),
        cmocka_unit_test(a_hostile_title_opens_no_component),
        cmocka_unit_test(lines_are_short_and_end_with_cr_lf),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
