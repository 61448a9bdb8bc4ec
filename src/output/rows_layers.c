// SPDX-License-Identifier: MIT
//
// The columns of the layers beside `sites`.
#include "output/decimals.h"
#include "output/rows.h"

static const struct sel_column FLYWAYS[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_flyway_row, rank), 0, "",
        "place in the ranking, 1 the best; a reserve has its site's"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, site), 0, "",
        "the site, \"S01\", or its reserve, \"S01R1\""},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, role), 0, "",
        "`primary` or `reserve`"},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, pair), 0, "",
        "both habitats, \"a \\| b\""},
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, habitat_a), 0, "",
        "habitat on side a, where the line begins"},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, habitat_b), 0, "",
        "habitat on side b, where it ends"},
    {"flyway_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, flyway_true_deg), BEARING,
        "deg", "its direction, from true north, 0 to 180"},
    {"length_m", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, length_m), METRES, "m",
        "of the line, twice `reach_m`"},
    {"depth_a_m", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, depth_a_m), METRES, "m",
        "along the centre line until habitat a ends, at most `reach_m`"},
    {"depth_b_m", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, depth_b_m), METRES, "m",
        "along the centre line until habitat b ends, at most `reach_m`"},
};

const struct sel_table_kind SEL_TABLE_FLYWAYS = {"flyways",
    "The transect across the edge at each site, from side a to side b", wkbLineString, false,
    FLYWAYS, sizeof FLYWAYS / sizeof *FLYWAYS, sizeof(struct sel_flyway_row)};

static const struct sel_column WALKS[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_walk_row, rank), 0, "",
        "place in the ranking, 1 the best; a reserve has its site's"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_walk_row, site), 0, "",
        "the site, \"S01\", or its reserve, \"S01R1\""},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_walk_row, role), 0, "", "`primary` or `reserve`"},
    {"walk_m", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, walk_m), METRES, "m",
        "length of the walk, on the map"},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, walk_min), TIME, "min",
        "mean of out and back"},
    {"out_min", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, out_min), TIME, "min",
        "to the site"},
    {"back_min", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, back_min), TIME, "min",
        "from the site"},
    {"climb_m", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, climb_m), METRES, "m",
        "metres risen on the way to the site"},
    {"climb_back_m", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, climb_back_m), METRES, "m",
        "metres risen on the way back"},
};

const struct sel_table_kind SEL_TABLE_WALKS = {"walks",
    "The walk to each site from where a vehicle can come; Z: elevation, metres, M: minutes walked, "
    "mean of out and back",
    wkbLineStringZM, false, WALKS, sizeof WALKS / sizeof *WALKS, sizeof(struct sel_walk_row)};

static const struct sel_column EDGES[] = {
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_edge_row, habitat_a), 0, "",
        "habitat to the left of the line"},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_edge_row, habitat_b), 0, "",
        "habitat to its right"},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_edge_row, pair), 0, "",
        "both habitats, \"a \\| b\""},
    {"length_m", SEL_COLUMN_REAL, offsetof(struct sel_edge_row, length_m), METRES, "m",
        "length of the smoothed line"},
    {"cracks", SEL_COLUMN_INTEGER, offsetof(struct sel_edge_row, cracks), 0, "",
        "cell sides that it was traced from"},
    {"closed", SEL_COLUMN_BOOLEAN, offsetof(struct sel_edge_row, closed), 0, "",
        "whether it is a ring"},
};

const struct sel_table_kind SEL_TABLE_EDGES = {"edges",
    "Traced and smoothed habitat edges, cut at junctions and every 512 cells; side a lies left of "
    "the line",
    wkbLineString, true, EDGES, sizeof EDGES / sizeof *EDGES, sizeof(struct sel_edge_row)};

static const struct sel_column CANDIDATES[] = {
    {"score", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, score), WORTH, "0..1",
        "weighted mean of the worths by criterion"},
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, habitat_a), 0, "",
        "habitat on side a"},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, habitat_b), 0, "",
        "habitat on side b"},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, pair), 0, "",
        "both habitats, \"a \\| b\""},
    {"block", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, block), 0, "",
        "the block of the plan's quotas that it lies in"},
    {"edge_contrast", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, edge_contrast), SHARE,
        "0..1", "contrast of the habitats sampled on the two sides of the belt"},
    {"slope_deg", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, slope_deg), SLOPE, "deg",
        "the steepest slope of the cells that hold the trap"},
    {"sun_share", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, sun_share), SHARE, "0..1",
        "share of a clear season's light that reaches the head; 1 on open flat ground"},
    {"sun_hours", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, sun_hours), TIME, "h/day",
        "mean daily hours of sun under a clear sky; an hour behind canopy counts by what it lets "
        "through"},
    {"access_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, access_m), METRES, "m",
        "straight line to the nearest access geometry with the role start"},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, walk_min), TIME, "min",
        "on foot from where the walk begins, mean of out and back"},
    {"elevation_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, elevation_m), METRES, "m",
        "elevation of the ground"},
    {"edge_straightness", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, edge_straightness),
        SHARE, "0..1", "how straight the edge is here: 1 for a straight line"},
    {"depth_a_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, depth_a_m), METRES, "m",
        "along the centre line until habitat a ends, at most `reach_m`"},
    {"depth_b_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, depth_b_m), METRES, "m",
        "along the centre line until habitat b ends, at most `reach_m`"},
    {"horizon_complete", SEL_COLUMN_BOOLEAN, offsetof(struct sel_candidate_row, horizon_complete),
        0, "", "whether elevations reach as far as the horizon was looked for"},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, site), 0, "",
        "the site or reserve made of it"},
    {"fate", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, fate), 0, "",
        "what the choice made of it, and why"},
    {"x", SEL_COLUMN_POINT_X, offsetof(struct sel_candidate_row, x), 0, "CRS",
        "easting of the point"},
    {"y", SEL_COLUMN_POINT_Y, offsetof(struct sel_candidate_row, y), 0, "CRS",
        "northing of the point"},
};

const struct sel_table_kind SEL_TABLE_CANDIDATES = {"candidates",
    "Eligible candidates of the pool, best first, up to the limit that the table run tells, and "
    "all sites",
    wkbPoint, false, CANDIDATES, sizeof CANDIDATES / sizeof *CANDIDATES,
    sizeof(struct sel_candidate_row)};

static const struct sel_column GROUND_AREA[] = {
    {"within_m", SEL_COLUMN_REAL, offsetof(struct sel_ground_area_row, within_m), METRES, "m",
        "how far the lines may lie from the given ones, for thinning"},
};

const struct sel_table_kind SEL_TABLE_GROUND_AREA = {"ground_area",
    "The study area as far as the backdrop shows it, thinned", wkbMultiPolygon, false, GROUND_AREA,
    sizeof GROUND_AREA / sizeof *GROUND_AREA, sizeof(struct sel_ground_area_row)};

static const struct sel_column GROUND_ZONES[] = {
    {"rule", SEL_COLUMN_TEXT, offsetof(struct sel_ground_zone_row, rule), 0, "",
        "`exclude`, `no_clearing` or `note`"},
    {"reason", SEL_COLUMN_TEXT, offsetof(struct sel_ground_zone_row, reason), 0, "",
        "as the plan gives it"},
    {"within_m", SEL_COLUMN_REAL, offsetof(struct sel_ground_zone_row, within_m), METRES, "m",
        "how far the lines may lie from the given ones, for thinning"},
};

const struct sel_table_kind SEL_TABLE_GROUND_ZONES = {"ground_zones",
    "The plan's zones as far as the backdrop shows them, thinned", wkbMultiPolygon, false,
    GROUND_ZONES, sizeof GROUND_ZONES / sizeof *GROUND_ZONES, sizeof(struct sel_ground_zone_row)};

static const struct sel_column GROUND_ACCESS[] = {
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_ground_access_row, role), 0, "",
        "`start` or `way`"},
    {"within_m", SEL_COLUMN_REAL, offsetof(struct sel_ground_access_row, within_m), METRES, "m",
        "how far the lines may lie from the given ones, for thinning"},
};

const struct sel_table_kind SEL_TABLE_GROUND_ACCESS = {"ground_access",
    "The plan's access layers as far as the backdrop shows them, thinned", wkbUnknown, false,
    GROUND_ACCESS, sizeof GROUND_ACCESS / sizeof *GROUND_ACCESS,
    sizeof(struct sel_ground_access_row)};

static const struct sel_column GROUND_OCCUPIED[] = {
    {"x", SEL_COLUMN_POINT_X, offsetof(struct sel_ground_occupied_row, x), 0, "CRS",
        "easting of the point"},
    {"y", SEL_COLUMN_POINT_Y, offsetof(struct sel_ground_occupied_row, y), 0, "CRS",
        "northing of the point"},
};

const struct sel_table_kind SEL_TABLE_GROUND_OCCUPIED = {"ground_occupied",
    "Traps that stand already, from which the sites keep apart", wkbPoint, false, GROUND_OCCUPIED,
    sizeof GROUND_OCCUPIED / sizeof *GROUND_OCCUPIED, sizeof(struct sel_ground_occupied_row)};
