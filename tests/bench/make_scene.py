# SPDX-License-Identifier: MIT
"""usage: make_scene.py SIDE FOLDER

Made-up ground for the benchmark, SIDE x SIDE cells of 10 m (UTM zone 33 north, nowhere in particular):
FOLDER/lc.tif (eight habitats in patches, 1 to 8, NoData 0), dem.tif (hills, metres) and roads.gpkg
(lines that wind across). Heights are value noise, summed over octaves; patches are the cells nearest to
scattered points, bent by noise so that borders are not straight. All randomness is a hash of whole
numbers, so a scene is the same every time and a smaller one is the corner of a larger one.
"""
import os
import sys

import numpy
from osgeo import gdal, ogr, osr

CELL_M = 10.0
WEST, NORTH = 400000.0, 5400000.0
STRIP = 256  # rows made at a time
PATCH_CELLS = 24  # one patch in a square of this side, on the mean
BEND_CELLS = 10.0
HABITATS = 8
ROAD_EVERY_CELLS = 150
ROAD_STEP_CELLS = 12
# Octaves of the heights: spacing in cells, metres from lowest to highest.
HILLS = ((512, 420.0), (192, 160.0), (72, 60.0), (27, 22.0), (10, 8.0), (4, 2.5))
LOWEST_M = 200.0


def hashed(column, row, salt):
    """0 <= h < 1 from whole numbers (a multiply-and-shift mixer)."""
    with numpy.errstate(over="ignore"):
        h = (numpy.asarray(column).astype(numpy.uint64) * numpy.uint64(0x9E3779B97F4A7C15)
             ^ numpy.asarray(row).astype(numpy.uint64) * numpy.uint64(0xC2B2AE3D27D4EB4F)
             ^ numpy.uint64(salt) * numpy.uint64(0x165667B19E3779F9))
        for _ in range(2):
            h ^= h >> numpy.uint64(31)
            h *= numpy.uint64(0xD6E8FEB86659FD93)
        h ^= h >> numpy.uint64(32)
    return (h >> numpy.uint64(11)).astype(numpy.float64) / float(1 << 53)


def noise(x, y, spacing, salt):
    """Smooth noise, 0 to 1, from values at the corners of squares."""
    u, v = x / spacing, y / spacing
    column, row = numpy.floor(u).astype(numpy.int64), numpy.floor(v).astype(numpy.int64)
    u, v = u - column, v - row
    u, v = u * u * (3 - 2 * u), v * v * (3 - 2 * v)
    north = hashed(column, row, salt) * (1 - u) + hashed(column + 1, row, salt) * u
    south = hashed(column, row + 1, salt) * (1 - u) + hashed(column + 1, row + 1, salt) * u
    return north * (1 - v) + south * v


def heights(x, y):
    total = numpy.full(x.shape, LOWEST_M)
    for salt, (spacing, span_m) in enumerate(HILLS):
        total += span_m * noise(x, y, spacing, salt)
    return total


def habitats(x, y):
    """The habitat of the nearest scattered point, after bending the ground."""
    x = x + BEND_CELLS * (noise(x, y, 16, 101) - 0.5)
    y = y + BEND_CELLS * (noise(x, y, 16, 102) - 0.5)
    column = numpy.floor(x / PATCH_CELLS).astype(numpy.int64)
    row = numpy.floor(y / PATCH_CELLS).astype(numpy.int64)
    nearest = numpy.full(x.shape, numpy.inf)
    found = numpy.zeros(x.shape, numpy.uint8)
    for down in (-1, 0, 1):
        for right in (-1, 0, 1):
            c, r = column + right, row + down
            dx = (c + hashed(c, r, 103)) * PATCH_CELLS - x
            dy = (r + hashed(c, r, 104)) * PATCH_CELLS - y
            distance = dx * dx + dy * dy
            closer = distance < nearest
            nearest = numpy.where(closer, distance, nearest)
            habitat = 1 + numpy.floor(HABITATS * hashed(c, r, 105)).astype(numpy.uint8)
            found = numpy.where(closer, habitat, found)
    return found


def zone():
    crs = osr.SpatialReference()
    crs.ImportFromEPSG(32633)
    return crs


def write_raster(path, side, kind, nodata, make):
    raster = gdal.GetDriverByName("GTiff").Create(
        path, side, side, 1, kind, ["TILED=YES", "COMPRESS=DEFLATE"])
    raster.SetGeoTransform((WEST, CELL_M, 0.0, NORTH, 0.0, -CELL_M))
    raster.SetProjection(zone().ExportToWkt())
    raster.GetRasterBand(1).SetNoDataValue(nodata)
    for top in range(0, side, STRIP):
        y, x = numpy.mgrid[top:min(top + STRIP, side), 0:side].astype(numpy.float64)
        raster.GetRasterBand(1).WriteArray(make(x, y), 0, top)
    raster.FlushCache()


def add_road(layer, side, number, across):
    """A line from border to border that sways about its course."""
    line = ogr.Geometry(ogr.wkbLineString)
    along = numpy.arange(0, side + ROAD_STEP_CELLS, ROAD_STEP_CELLS).clip(1, side - 1).astype(float)
    course = (number + 0.5) * ROAD_EVERY_CELLS + 80 * (
        noise(along, numpy.full(along.shape, 7.0 * number), 60, 201 + across) - 0.5)
    for far, off in zip(along, course.clip(1, side - 1)):
        x, y = (far, off) if across else (off, far)
        line.AddPoint_2D(WEST + CELL_M * x, NORTH - CELL_M * y)
    feature = ogr.Feature(layer.GetLayerDefn())
    feature.SetGeometry(line)
    layer.CreateFeature(feature)


def write_roads(path, side):
    data = ogr.GetDriverByName("GPKG").CreateDataSource(path)
    layer = data.CreateLayer("roads", zone(), ogr.wkbLineString)
    for number in range(max(1, side // ROAD_EVERY_CELLS)):
        add_road(layer, side, number, 1)
        if number % 2 == 0:
            add_road(layer, side, number, 0)


def main():
    side, folder = int(sys.argv[1]), sys.argv[2]
    gdal.UseExceptions()
    ogr.UseExceptions()
    os.makedirs(folder, exist_ok=True)
    write_raster(os.path.join(folder, "lc.tif"), side, gdal.GDT_Byte, 0, habitats)
    write_raster(os.path.join(folder, "dem.tif"), side, gdal.GDT_Float32, -9999, heights)
    write_roads(os.path.join(folder, "roads.gpkg"), side)


main()
