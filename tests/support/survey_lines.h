// SPDX-License-Identifier: MIT
//
// Vector layers for whole surveys in a test.
#ifndef SEL_TEST_SURVEY_LINES_H
#define SEL_TEST_SURVEY_LINES_H

#include "survey_scene.h"

// Writes folder/NAME, a GeoPackage with the one layer `lines` of geometries in WKT, in the scene's
// CRS. NULL ends the list. Aborts when it cannot.
void survey_scene_lines(const struct survey_scene *scene, const char *name, const char *const *wkt);

// Writes folder/NAME, a GeoPackage with the one layer `polygons` and its columns id and sort, in
// EPSG:32633; `rows` are lines of CSV, "1,west,\"POLYGON((...))\"\\n". Fails the test when it
// cannot.
void survey_scene_polygons(const struct survey_scene *scene, const char *name, const char *rows);

#endif
