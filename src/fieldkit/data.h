// SPDX-License-Identifier: MIT
//
// What all parts of the field kit are made from, read once from the GeoPackage: sites with the
// habitats on both sides, access points, rounds and their days.
#ifndef SEL_FIELDKIT_DATA_H
#define SEL_FIELDKIT_DATA_H

#include "fieldkit/plan.h"
#include "fieldkit/rounds.h"
#include "fieldkit/schedule.h"

enum { SEL_NO_ROUND = -1, SEL_NO_ACCESS = -1 };

// How the walk to a site is known.
enum sel_walk_source {
    SEL_WALK_UNKNOWN,  // no access layer
    SEL_WALK_STRAIGHT, // straight-line distance at off-path speed on the flat
    SEL_WALK_GROUND    // least time over the ground
};

// Where the walk to one or more sites begins.
struct sel_access_point {
    char name[16]; // "P01"
    double latitude, longitude;
    double x, y; // CRS units
};

// A walk, from the access point to the site, as it is in the file.
struct sel_walk_line {
    double *longitude, *latitude; // owned; degrees
    double *elevation_m;          // owned; NAN: unknown
    size_t count;
};

struct sel_fieldkit_site {
    const struct sel_site_row *row;
    const struct sel_habitat_row *a, *b; // NULL: the table does not know them
    enum sel_walk_source walk_source;
    double walk_min;        // one way, mean of out and back; NAN: unknown
    double walk_m, climb_m; // NAN: unknown
    int access;             // index of an access point, or SEL_NO_ACCESS
    struct sel_walk_line walk;
    double convergence_deg;   // of grid north from true north, east positive; NAN: unknown
    double annual_change_deg; // of the declination; NAN: outside the model
    double toward_b_deg;      // true bearing from side a to side b; NAN: unknown
    bool sand, rock;          // where the trap may stand
    const struct sel_fieldkit_site *primary; // of a reserve; NULL for a primary
    int round;                               // index of the round, or SEL_NO_ROUND for a reserve
    int setup_offset;    // days after its round's first day on which it is set up
    int takedown_offset; // days after its round's first day of taking down
};

struct sel_fieldkit {
    struct sel_package *package;
    struct sel_fieldkit_plan plan;
    char *slug;                       // begins every identifier: "alder-brook-flyways-2027"
    const char *title;                // borrowed, never NULL
    const char *written;              // "2026-01-31T12:00:00.000Z"; borrowed, never NULL
    double metres;                    // per CRS unit
    int64_t middle_day;               // of the season: the magnetic bearings are for this day
    struct sel_habitat_row *habitats; // owned
    size_t habitat_count;
    struct sel_fieldkit_site *sites; // owned; as the file orders them
    size_t site_count, primary_count;
    struct sel_access_point *access; // owned
    size_t access_count;
    size_t *order;            // owned; indices of primaries, round after round
    struct sel_round *rounds; // owned
    int64_t *setup_day;       // owned; by round, the first day of its set-up
    int *setup_days;          // owned; by round, how many days its set-up takes
    int *takedown_days;       // owned; by round, how many days it takes to take it down
    size_t round_count;
    struct sel_stint *stints; // owned; days after the set-up, the same for every round
    size_t stint_count;
    int64_t unused_days;             // at the end of the season, for want of a team
    bool walks_left_out;             // the file holds no walks
    struct sel_profile_row *profile; // owned; all sites' in turn
    size_t profile_count;
};

// Reads the kit's data from an open package, which must outlive it. SEL_NOTHING when the file has
// no site. Clear with sel_fieldkit_clear whatever comes.
sel_status sel_fieldkit_read(struct sel_package *package, struct sel_fieldkit *kit);
void sel_fieldkit_clear(struct sel_fieldkit *kit);

// --- parts of the reading, in order ---

// Sites, their habitats, convergence and annual change.
sel_status sel_fieldkit_read_sites(struct sel_fieldkit *kit);

// Which way side b lies, and the ground along the flyway.
sel_status sel_fieldkit_read_flyways(struct sel_fieldkit *kit);

// Walks and access points.
sel_status sel_fieldkit_read_walks(struct sel_fieldkit *kit);

// Rounds (false: out of memory), and the days on which they go out.
bool sel_fieldkit_make_rounds(struct sel_fieldkit *kit);
sel_status sel_fieldkit_lay_rounds(struct sel_fieldkit *kit);

// --- questions ---

// The site at a place of the order, over all rounds.
const struct sel_fieldkit_site *sel_fieldkit_at(const struct sel_fieldkit *kit, size_t place);

// A site by its id; NULL: there is none.
const struct sel_fieldkit_site *sel_fieldkit_find(const struct sel_fieldkit *kit, const char *id);

// The days of a stint of a round, and of a site that has one: its first begins when it is set up,
// its last ends when it is taken down.
struct sel_stint sel_fieldkit_stint(const struct sel_fieldkit *kit, size_t round, size_t stint);
struct sel_stint sel_fieldkit_site_stint(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, size_t stint);

// From set-up to take-down of a primary: what its stints sum up to. A day is one of 24 hours, from
// one date to the next.
int64_t sel_fieldkit_site_days(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site);

// The first day on which a round is taken down.
int64_t sel_fieldkit_takedown_day(const struct sel_fieldkit *kit, size_t round);

// "S01"; "?" when the file was changed to hold none.
const char *sel_fieldkit_id(const struct sel_fieldkit_site *site);

// "Alder Brook valley", or the title where the plan names no place; never NULL.
const char *sel_fieldkit_place(const struct sel_fieldkit *kit);

// "hay meadow", or "unknown habitat".
const char *sel_fieldkit_habitat(const char *name);

// What is done at a site, by all its traps.
enum sel_visit { SEL_VISIT_SETUP, SEL_VISIT_CHANGE, SEL_VISIT_TAKEDOWN };

// Walking, work and travel of `count` sites from a place of the order on. Walks that are not known
// count as nothing: see tour_words.h.
struct sel_round sel_fieldkit_tour(
    const struct sel_fieldkit *kit, size_t first, size_t count, enum sel_visit visit);

// The same for those of a round that are set up on one of its set-up days, 0 being the first.
struct sel_round sel_fieldkit_setup(const struct sel_fieldkit *kit, size_t round, int day);

// The same for those that are taken down on one of its days of taking down.
struct sel_round sel_fieldkit_takedown(const struct sel_fieldkit *kit, size_t round, int day);

#endif
