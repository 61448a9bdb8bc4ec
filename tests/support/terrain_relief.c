// SPDX-License-Identifier: MIT
#include "terrain_relief.h"

#include <gdal.h>
#include <stdlib.h>

static void *read_band(
    const char *path, GDALDataType type, size_t size, int64_t *rows, int64_t *cols) {
    GDALAllRegister();
    GDALDatasetH file = GDALOpen(path, GA_ReadOnly);
    if (!file)
        return NULL;
    int height = GDALGetRasterYSize(file), width = GDALGetRasterXSize(file);
    void *cells = malloc((size_t)height * (size_t)width * size);
    if (!cells)
        abort();
    CPLErr error = GDALRasterIO(
        GDALGetRasterBand(file, 1), GF_Read, 0, 0, width, height, cells, width, height, type, 0, 0);
    GDALClose(file);
    *rows = height;
    *cols = width;
    if (error == CE_None)
        return cells;
    free(cells);
    return NULL;
}

bool terrain_relief_read(struct terrain_relief *relief, const char *path) {
    *relief = (struct terrain_relief){0};
    relief->metres = read_band(path, GDT_Float32, sizeof(float), &relief->rows, &relief->cols);
    return relief->metres != NULL;
}

bool terrain_relief_read_classes(struct terrain_relief *relief, const char *path, int64_t first_row,
    int64_t first_col, const struct terrain_cell *of_class) {
    relief->classes = read_band(path, GDT_Byte, 1, &relief->class_rows, &relief->class_cols);
    relief->first_row = first_row;
    relief->first_col = first_col;
    relief->of_class = of_class;
    return relief->classes != NULL;
}

void terrain_relief_clear(struct terrain_relief *relief) {
    free(relief->metres);
    free(relief->classes);
    *relief = (struct terrain_relief){0};
}

static int64_t mirrored(int64_t index, int64_t size) {
    int64_t turned = ((index % (2 * size)) + 2 * size) % (2 * size);
    return turned < size ? turned : 2 * size - 1 - turned;
}

// What stands on a cell of the ground.
static struct terrain_cell of_land_cover(
    const struct terrain_relief *relief, int64_t row, int64_t col) {
    int64_t i = row - relief->first_row, j = col - relief->first_col;
    if (i < 0 || j < 0 || i >= relief->class_rows || j >= relief->class_cols)
        return (struct terrain_cell){0};
    return relief->of_class[relief->classes[i * relief->class_cols + j]];
}

struct terrain_cell terrain_on_relief(const void *scene, int level, int64_t row, int64_t col) {
    const struct terrain_relief *relief = scene;
    const uint32_t salt = 77;
    int64_t i = mirrored(row, relief->rows), j = mirrored(col, relief->cols);
    struct terrain_cell cell =
        relief->classes ? of_land_cover(relief, i, j) : terrain_rolling(&salt, level, row, col);
    cell.ground_m = relief->metres[i * relief->cols + j];
    return cell;
}
