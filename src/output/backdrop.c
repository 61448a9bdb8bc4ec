// SPDX-License-Identifier: MIT
//
// Pictures of the ground: the habitat's colour, darkened and lightened by the hillshade, unknown
// ground left out. The backdrop becomes GeoPackage raster tiles, written by GDAL's own GeoPackage
// raster driver after the layers into the same file. Close-ups become rows of a table of ours, an
// image each: a tile table apiece would cost a table and half a dozen triggers a site, and
// GDAL would open the whole file anew for every one.
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "output/writer.h"

enum { BANDS = 4, TILE_MOST = 2048 };

static const char BACKDROP[] = "backdrop"; // the tile table

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

// A picture in memory. NULL when GDAL or memory fail.
static GDALDatasetH in_memory(const struct sel_picture *picture, const uint8_t *rgba) {
    int cols = (int)picture->cols, rows = (int)picture->rows;
    GDALDatasetH memory =
        GDALCreate(GDALGetDriverByName("MEM"), "", cols, rows, BANDS, GDT_Byte, NULL);
    if (!memory || GDALDatasetRasterIO(memory, GF_Write, 0, 0, cols, rows, (void *)rgba, cols, rows,
                       GDT_Byte, BANDS, NULL, BANDS, BANDS * cols, 1) == CE_None)
        return memory;
    GDALClose(memory);
    return NULL;
}

static void place(
    const struct sel_grid *grid, const struct sel_picture *picture, double transform[6]) {
    transform[0] = sel_grid_x(grid, 2.0 * (double)picture->window.col);
    transform[1] = grid->dx * (double)picture->step;
    transform[3] = sel_grid_y(grid, 2.0 * (double)picture->window.row);
    transform[5] = -grid->dy * (double)picture->step;
    transform[2] = transform[4] = 0.0;
}

// --- backdrop ---

// PNG's third level of nine: half the time of the usual sixth, files 2 % larger.
static const char PACKED[] = "3";

static char **tile_options(const struct sel_picture *picture) {
    char **options = CSLSetNameValue(NULL, "APPEND_SUBDATASET", "YES");
    options = CSLSetNameValue(options, "RASTER_TABLE", BACKDROP);
    options = CSLSetNameValue(options, "RASTER_IDENTIFIER", BACKDROP);
    options = CSLSetNameValue(
        options, "RASTER_DESCRIPTION", "Habitats in the colours of the table habitats, shaded");
    options = CSLSetNameValue(options, "TILE_FORMAT", "PNG");
    options = CSLSetNameValue(options, "ZLEVEL", PACKED);
    int64_t width = picture->cols < TILE_MOST ? picture->cols : TILE_MOST;
    int64_t height = picture->rows < TILE_MOST ? picture->rows : TILE_MOST;
    options = CSLSetNameValue(options, "BLOCKXSIZE", CPLSPrintf("%d", (int)width));
    return CSLSetNameValue(options, "BLOCKYSIZE", CPLSPrintf("%d", (int)height));
}

static bool append(
    struct sel_geopackage *file, const struct sel_picture *picture, const uint8_t *rgba) {
    GDALDatasetH memory = in_memory(picture, rgba);
    if (!memory)
        return false;
    double transform[6];
    place(&file->study->grid, picture, transform);
    char **options = tile_options(picture);
    CPLErrorReset();
    GDALDatasetH written = NULL;
    if (GDALSetGeoTransform(memory, transform) == CE_None &&
        GDALSetSpatialRef(memory, file->crs) == CE_None)
        written = GDALCreateCopy(
            GDALGetDriverByName("GPKG"), file->temporary, memory, FALSE, options, NULL, NULL);
    if (written)
        GDALClose(written);
    CSLDestroy(options);
    GDALClose(memory);
    return written && !sel_gdal_failed();
}

sel_status sel_write_backdrop(struct sel_geopackage *file, const struct sel_survey *survey) {
    const struct sel_picture *picture = &survey->backdrop;
    if (!picture->habitat || picture->rows <= 0 || picture->cols <= 0)
        return SEL_OK;
    uint8_t *rgba = paint(picture, file->colours);
    if (!rgba)
        return sel_fail_memory(file->context);
    bool written = append(file, picture, rgba);
    free(rgba);
    if (!written)
        return sel_fail_gdal(
            file->context, SEL_IO, file->path, "picture backdrop cannot be written");
    return SEL_OK;
}

// --- close-ups ---

// The picture as a PNG image; free with VSIFree. NULL when GDAL or memory fail.
static unsigned char *encode(
    const struct sel_picture *picture, const uint8_t *rgba, size_t *length) {
    GDALDatasetH memory = in_memory(picture, rgba);
    if (!memory)
        return NULL;
    char name[64];
    snprintf(name, sizeof name, "/vsimem/selvedge-%p.png", (const void *)rgba); // ours alone
    GDALDatasetH written =
        GDALCreateCopy(GDALGetDriverByName("PNG"), name, memory, FALSE, NULL, NULL, NULL);
    if (written)
        GDALClose(written);
    GDALClose(memory);
    vsi_l_offset size = 0;
    unsigned char *png = VSIGetMemFileBuffer(name, &size, TRUE);
    *length = (size_t)size;
    if (png && (!written || sel_gdal_failed())) {
        VSIFree(png);
        png = NULL;
    }
    return png;
}

static sel_status add_close_up(struct sel_geopackage *file, struct sel_table *table,
    const struct sel_picture *picture, const char *site) {
    uint8_t *rgba = paint(picture, file->colours);
    if (!rgba)
        return sel_fail_memory(file->context);
    struct sel_close_up_row row = {.site = site};
    double transform[6];
    place(&file->study->grid, picture, transform);
    row.west = transform[0];
    row.north = transform[3];
    row.east = row.west + (double)picture->cols * transform[1];
    row.south = row.north + (double)picture->rows * transform[5];
    unsigned char *png = encode(picture, rgba, &row.png.length);
    free(rgba);
    if (!png)
        return sel_fail_gdal(file->context, SEL_IO, file->path, "a close-up cannot be painted");
    row.png.data = png;
    sel_status status = sel_add_row(file, table, &row);
    VSIFree(png);
    return status;
}

sel_status sel_write_close_ups(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_CLOSE_UP, &table);
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++) {
        const struct sel_site *site = &survey->sites[i];
        char id[SEL_SITE_ID_SIZE];
        sel_site_id(survey, site, id);
        status = sel_check_cancel(file->context);
        if (status == SEL_OK && site->close_up.habitat)
            status = add_close_up(file, &table, &site->close_up, id);
    }
    sel_table_close(&table);
    if (status == SEL_OK && !sel_run_sql(file, "CREATE INDEX close_up_site ON close_up (site)"))
        status =
            sel_fail_gdal(file->context, SEL_IO, file->path, "table close_up cannot be indexed");
    return status;
}
