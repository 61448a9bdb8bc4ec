// SPDX-License-Identifier: MIT
//
// usage: dossier_scene FOLDER wide|tall
// Writes FOLDER/sites.gpkg and FOLDER/dossier.html from the hand-made valley: twenty sites with
// reserves, names with markup, quotes, right-to-left writing and emoji, some that are very long,
// and some without a place to break them. The tall one is twice as high as wide and goes by time.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/status.h"
#include "dossier/dossier.h"
#include "output_scene.h"

static char *copied(const char *text) {
    char *copy = strdup(text);
    if (!copy)
        abort();
    return copy;
}

// "<i>long</i> & long & ..." of some hundred characters.
static char *long_name(const char *begin) {
    char *name = calloc(1, 700);
    if (!name)
        abort();
    snprintf(name, 700, "%s", begin);
    while (strlen(name) < 600)
        strncat(name, " <i>and so on</i> & \"on\"", 699 - strlen(name));
    return name;
}

// One word of some hundred letters.
static char *long_word(void) {
    char *word = calloc(1, 401);
    if (!word)
        abort();
    memset(word, 'w', 400);
    return word;
}

static void make_hostile(struct output_scene *scene) {
    struct sel_plan *plan = &scene->plan;
    free(plan->title);
    plan->title =
        copied("Alder Brook </title><script>alert(1)</script> \xD7\x97\xD7\x9C\xD7\xA7\xD7\x94 "
               "\xF0\x9F\x90\x9D");
    plan->permit = (struct sel_plan_permit){.applicant = copied("O'Brook & \"Sons\" <b>Ltd</b>"),
        .authority = copied("\xE2\x80\xAEturned"),
        .contact = long_word(),
        .purpose = long_name("Counting"),
        .traps_per_site = 2,
        .clearing_m = {2.0, 4.5}};
    free(scene->survey.sites[4].zone);
    scene->survey.sites[4].zone = long_name("hay meadow ]]> --> </section>");
    free(scene->survey.sites[6].notes);
    scene->survey.sites[6].notes = long_name("heed <img src=x onerror=alert(2)>");
    free(scene->survey.sites[8].parcel);
    scene->survey.sites[8].parcel = long_name("12/7");
    free(scene->survey.sites[9].parcel);
    scene->survey.sites[9].parcel = long_word();
    free(scene->survey.sites[9].owner);
    scene->survey.sites[9].owner = long_word();
    free(scene->survey.sites[9].zone);
    scene->survey.sites[9].zone = long_word();
    free(scene->survey.sites[10].notes);
    scene->survey.sites[10].notes = long_word();
}

static void free_permit(struct sel_plan_permit *permit) {
    free(permit->applicant);
    free(permit->authority);
    free(permit->contact);
    free(permit->purpose);
}

int main(int argc, char **argv) {
    char geopackage[4096], page[4096];
    if (argc != 3)
        return 1;
    mkdir(argv[1], 0777);
    snprintf(geopackage, sizeof geopackage, "%s/sites.gpkg", argv[1]);
    snprintf(page, sizeof page, "%s/dossier.html", argv[1]);
    bool tall = strcmp(argv[2], "tall") == 0;
    struct output_scene *scene =
        tall ? output_scene_on_foot((struct output_scene_size){800, 400, 20, 1, 400, false})
             : output_scene_new((struct output_scene_size){500, 600, 20, 1, 400, false});
    make_hostile(scene);
    sel_status status = output_scene_write(scene, geopackage, true, false);
    if (status == SEL_OK)
        status = sel_dossier_write(scene->context, geopackage, page, true);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    free_permit(&scene->plan.permit);
    output_scene_free(scene);
    return (int)status;
}
