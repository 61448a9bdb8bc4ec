// SPDX-License-Identifier: MIT
//
// Pictures of the ground as GeoPackage raster tiles: the habitat's colour, darkened and lightened
// by the hillshade, unknown ground left out. Written by GDAL's own GeoPackage raster driver, after
// the layers, into the same file.
#include <cpl_string.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "output/writer.h"

enum { BANDS = 4, TILE_MOST = 2048, TABLE_NAME_SIZE = 64 };

// How far the shade changes a colour: darkest and lightest factor.
static const double SHADE_DARKEST = 0.62, SHADE_LIGHTEST = 1.12;

static uint8_t shaded(uint8_t channel, uint8_t shade) {
    double factor = SHADE_DARKEST + (SHADE_LIGHTEST - SHADE_DARKEST) * shade / 255.0;
    return (uint8_t)lround(fmin(255.0, channel * factor));
}

// Pixel-interleaved red, green, blue, alpha. NULL: out of memory.
static uint8_t *paint(const struct sel_picture *picture, const struct sel_rgb *colours) {
    size_t pixels = (size_t)(picture->rows * picture->cols);
    uint8_t *rgba = calloc(pixels, BANDS);
    for (size_t i = 0; rgba && i < pixels; i++) {
        if (picture->habitat[i] == SEL_HABITAT_UNKNOWN)
            continue;
        struct sel_rgb colour = colours[picture->habitat[i] - 1];
        rgba[BANDS * i] = shaded(colour.red, picture->shade[i]);
        rgba[BANDS * i + 1] = shaded(colour.green, picture->shade[i]);
        rgba[BANDS * i + 2] = shaded(colour.blue, picture->shade[i]);
        rgba[BANDS * i + 3] = 255;
    }
    return rgba;
}

// A picture in memory, placed on the map. NULL when GDAL or memory fail.
static GDALDatasetH place(
    struct sel_geopackage *file, const struct sel_picture *picture, const uint8_t *rgba) {
    const struct sel_grid *grid = &file->study->grid;
    int cols = (int)picture->cols, rows = (int)picture->rows;
    double transform[6] = {sel_grid_x(grid, 2.0 * (double)picture->window.col),
        grid->dx * (double)picture->step, 0.0, sel_grid_y(grid, 2.0 * (double)picture->window.row),
        0.0, -grid->dy * (double)picture->step};
    GDALDatasetH memory =
        GDALCreate(GDALGetDriverByName("MEM"), "", cols, rows, BANDS, GDT_Byte, NULL);
    if (!memory)
        return NULL;
    bool placed = GDALSetGeoTransform(memory, transform) == CE_None &&
                  GDALSetSpatialRef(memory, file->crs) == CE_None &&
                  GDALDatasetRasterIO(memory, GF_Write, 0, 0, cols, rows, (void *)rgba, cols, rows,
                      GDT_Byte, BANDS, NULL, BANDS, BANDS * cols, 1) == CE_None;
    if (placed)
        return memory;
    GDALClose(memory);
    return NULL;
}

static char **tile_options(const struct sel_picture *picture, const char *name) {
    char **options = CSLSetNameValue(NULL, "APPEND_SUBDATASET", "YES");
    options = CSLSetNameValue(options, "RASTER_TABLE", name);
    options = CSLSetNameValue(options, "RASTER_IDENTIFIER", name);
    options = CSLSetNameValue(
        options, "RASTER_DESCRIPTION", "Habitats in the colours of the table habitats, shaded");
    options = CSLSetNameValue(options, "TILE_FORMAT", "PNG");
    int64_t width = picture->cols < TILE_MOST ? picture->cols : TILE_MOST;
    int64_t height = picture->rows < TILE_MOST ? picture->rows : TILE_MOST;
    options = CSLSetNameValue(options, "BLOCKXSIZE", CPLSPrintf("%d", (int)width));
    return CSLSetNameValue(options, "BLOCKYSIZE", CPLSPrintf("%d", (int)height));
}

static bool append(struct sel_geopackage *file, const struct sel_picture *picture, const char *name,
    const uint8_t *rgba) {
    GDALDatasetH memory = place(file, picture, rgba);
    if (!memory)
        return false;
    char **options = tile_options(picture, name);
    CPLErrorReset();
    GDALDatasetH written = GDALCreateCopy(
        GDALGetDriverByName("GPKG"), file->temporary, memory, FALSE, options, NULL, NULL);
    if (written)
        GDALClose(written);
    CSLDestroy(options);
    GDALClose(memory);
    return written && !sel_gdal_failed();
}

static sel_status write_picture(
    struct sel_geopackage *file, const struct sel_picture *picture, const char *name) {
    if (!picture->habitat || picture->rows <= 0 || picture->cols <= 0)
        return SEL_OK;
    uint8_t *rgba = paint(picture, file->colours);
    if (!rgba)
        return sel_fail_memory(file->context);
    bool written = append(file, picture, name, rgba);
    free(rgba);
    if (!written) {
        char what[TABLE_NAME_SIZE + 32];
        snprintf(what, sizeof what, "picture %s cannot be written", name);
        return sel_fail_gdal(file->context, SEL_IO, file->path, what);
    }
    return SEL_OK;
}

static void close_up_name(const struct sel_site *site, char name[TABLE_NAME_SIZE]) {
    if (site->reserve > 0)
        snprintf(name, TABLE_NAME_SIZE, "close_up_%d_r%d", site->rank, site->reserve);
    else
        snprintf(name, TABLE_NAME_SIZE, "close_up_%d", site->rank);
}

sel_status sel_write_pictures(struct sel_geopackage *file, const struct sel_survey *survey) {
    sel_status status = write_picture(file, &survey->backdrop, "backdrop");
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++) {
        char name[TABLE_NAME_SIZE];
        close_up_name(&survey->sites[i], name);
        status = sel_check_cancel(file->context);
        if (status == SEL_OK)
            status = write_picture(file, &survey->sites[i].close_up, name);
    }
    return status;
}
