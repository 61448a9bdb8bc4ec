# SPDX-License-Identifier: MIT
"""Walking times once more, from docs/method-walking.md alone, slow and plain.

usage: walk_reference.py LANDCOVER ELEVATION WALK-BY-CLASS LIMIT SITES [ROLE:FILE[:LAYER]]...

WALK-BY-CLASS is like 1=0.6,2=1 (other classes are unknown ground); ROLE is start, way, or WALK@WIDTH
for a narrow habitat of that walking factor and width. The land cover must be projected and on the
grid of the elevation. Prints how many candidates of SITES were compared, the worst difference in
minutes, and how many times differ by more than a thousandth of a minute.
"""
import heapq
import math
import sys
from collections import deque

import numpy as np
from osgeo import gdal, ogr

gdal.UseExceptions()
WAY, START = 1, 2
MOVES = [(r, c) for r in range(-2, 3) for c in range(-2, 3)
         if (r, c) != (0, 0) and math.gcd(r, c) == 1]


def tobler_pace(slope):
    """Minutes per metre, mean of out and back (Tobler 1993)."""
    return sum(math.exp(3.5 * abs(s + 0.05)) for s in (slope, -slope)) / 2 * 60 / 6000


def segments_of(geometry):
    if geometry.GetGeometryCount():
        for i in range(geometry.GetGeometryCount()):
            yield from segments_of(geometry.GetGeometryRef(i))
        return
    points = geometry.GetPoints()
    if len(points) == 1:
        yield points[0][:2] + points[0][:2]
    for p, q in zip(points, points[1:]):
        yield p[:2] + q[:2]


class Grid:
    def __init__(self, landcover, elevation):
        lc, dem = gdal.Open(landcover), gdal.Open(elevation)
        gt = lc.GetGeoTransform()
        assert gt == dem.GetGeoTransform() and gt[2] == gt[4] == 0
        self.x0, self.y0, self.cell = gt[0], gt[3], gt[1]
        self.classes, self.metres = lc.ReadAsArray(), dem.ReadAsArray().astype(float)
        nodata = dem.GetRasterBand(1).GetNoDataValue()
        self.metres[np.isnan(self.metres) | (self.metres == nodata)] = math.nan
        self.rows, self.cols = self.classes.shape

    def crossed(self, segment):
        """The cells that a segment runs through: in each row those from its westernmost to its
        easternmost place between the row's borders, which count; a place belongs to the cell south
        and east of it."""
        a = (self.y0 - segment[1]) / self.cell, (segment[0] - self.x0) / self.cell
        b = (self.y0 - segment[3]) / self.cell, (segment[2] - self.x0) / self.cell
        (ay, ax), (by, bx) = sorted((a, b))
        for row in range(math.floor(ay), math.floor(by) + 1):
            ends = [ax + (max(ay, min(by, y)) - ay) / (by - ay) * (bx - ax) if by > ay else x
                    for y, x in ((row, ax), (row + 1, bx))]
            for col in range(math.floor(min(ends)), math.floor(max(ends)) + 1):
                yield row, col

    def within(self, segment, half):
        """The cells whose middle lies within `half` metres of a segment."""
        ax, ay, bx, by = segment
        low_col = math.floor((min(ax, bx) - half - self.x0) / self.cell)
        high_col = math.floor((max(ax, bx) + half - self.x0) / self.cell)
        low_row = math.floor((self.y0 - max(ay, by) - half) / self.cell)
        high_row = math.floor((self.y0 - min(ay, by) + half) / self.cell)
        square = (bx - ax) ** 2 + (by - ay) ** 2
        for row in range(low_row, high_row + 1):
            for col in range(low_col, high_col + 1):
                x, y = self.x0 + (col + 0.5) * self.cell, self.y0 - (row + 0.5) * self.cell
                t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / square if square else 0
                t = max(0, min(1, t))
                if math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay)) <= half:
                    yield row, col

    def has(self, row, col):
        return 0 <= row < self.rows and 0 <= col < self.cols


def layers(arguments):
    for argument in arguments:
        role, file, *layer = argument.split(":")
        source = ogr.Open(file)
        table = source.GetLayerByName(layer[0]) if layer else source.GetLayer(0)
        geometries = [feature.GetGeometryRef().Clone() for feature in table]
        yield role, [s for g in geometries for s in segments_of(g)]


def burn(grid, factors, arguments):
    """Walking factor and marks of every study cell; the start segments."""
    factor = np.zeros(grid.classes.shape)
    for value, walk in factors.items():
        factor[grid.classes == value] = walk
    marks, starts = np.zeros(grid.classes.shape, int), []
    for role, segments in layers(arguments):
        if role == "start":
            starts += segments
        for segment in segments:
            if role in ("start", "way"):
                for row, col in grid.crossed(segment):
                    if grid.has(row, col):
                        marks[row, col] |= START if role == "start" else WAY
            else:
                walk, width = map(float, role.split("@"))
                for row, col in [*grid.crossed(segment), *grid.within(segment, width / 2)]:
                    if grid.has(row, col):
                        factor[row, col] = walk
    return factor, marks, starts


class Ground:
    """Walking cells: each the best piece of its block."""

    def __init__(self, grid, factor, marks, side):
        self.grid, self.side, self.size = grid, side, side * grid.cell
        self.rows, self.cols = -(-grid.rows // side), -(-grid.cols // side)
        self.factor, self.marks = factor, marks
        self.open = ~np.isnan(grid.metres) & ((marks > 0) | (factor > 0))
        self.held = np.zeros(self.open.shape, bool)
        self.height, self.slowness, self.start = {}, {}, {}
        for row in range(self.rows):
            for col in range(self.cols):
                self.take_block(row, col)
        touch_east = np.zeros((self.rows * side, self.cols), bool)
        touch_south = np.zeros((self.rows, self.cols * side), bool)
        for col in range(self.cols - 1):
            edge = (col + 1) * side
            touch_east[:grid.rows, col] = self.held[:, edge - 1] & self.held[:, edge]
        for row in range(self.rows - 1):
            edge = (row + 1) * side
            touch_south[row, :grid.cols] = self.held[edge - 1] & self.held[edge]
        self.east = touch_east.reshape(self.rows, side, -1).any(1).tolist()
        self.south = touch_south.reshape(self.rows, -1, side).any(2).tolist()

    def pieces(self, row, col):
        cells = [(r, c) for r in range(row * self.side, min((row + 1) * self.side, self.grid.rows))
                 for c in range(col * self.side, min((col + 1) * self.side, self.grid.cols))]
        if all(self.open[at] for at in cells):
            yield cells
            return
        left = {at for at in cells if self.open[at]}
        for at in cells:
            if at not in left:
                continue
            piece, queue = [], [at]
            left.discard(at)
            while queue:
                r, c = queue.pop()
                piece.append((r, c))
                for other in ((r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)):
                    if other in left:
                        left.discard(other)
                        queue.append(other)
            yield piece

    def take_block(self, row, col):
        best = max(self.pieces(row, col), default=None,
                   key=lambda piece: (any(self.marks[at] for at in piece), len(piece)))
        if best is None:
            return
        for at in best:
            self.held[at] = True
        ways = [at for at in best if self.marks[at]]
        told = ways or best
        self.height[row, col] = float(np.float32(sum(self.grid.metres[at] for at in told) / len(told)))
        inverse = sum(1 / self.factor[at] for at in best if not self.marks[at])
        self.slowness[row, col] = 1 if ways else inverse / len(best) / 0.6
        self.start[row, col] = any(self.marks[at] & START for at in best)

    def linked(self, a, b):
        """Whether the pieces of two blocks that share a side touch there."""
        if a not in self.height or b not in self.height:
            return False
        r, c = min(a, b)
        return self.east[r][c] if a[0] == b[0] else self.south[r][c]

    def passed(self, at, move):
        """The cells of a move in order; None when it is barred."""
        (r, c), (dr, dc) = at, move
        end = r + dr, c + dc
        if abs(dr) + abs(dc) == 1:
            return [at, end] if self.linked(at, end) else None
        if abs(dr) == abs(dc):
            corners = (r + dr, c), (r, c + dc)
            free = any(self.linked(at, k) and self.linked(k, end) for k in corners)
            return [at, end] if free else None
        down, right = (1 if dr > 0 else -1), (1 if dc > 0 else -1)
        first = (r + down, c) if abs(dr) == 2 else (r, c + right)
        second = r + down, c + right
        cells = [at, first, second, end]
        return cells if all(self.linked(a, b) for a, b in zip(cells, cells[1:])) else None

    def cost(self, at, move):
        """Length, slope and slowness of a move; None when it is barred."""
        cells = self.passed(at, move)
        if cells is None:
            return None
        length = math.hypot(*move) * self.size
        slope = (self.height[cells[-1]] - self.height[at]) / length
        return length, slope, sum(self.slowness[c] for c in cells) / len(cells)

    def middle(self, at):
        return (self.grid.x0 + (at[1] + 0.5) * self.size, self.grid.y0 - (at[0] + 0.5) * self.size)


def search(ground, starts, limit):
    through = {}
    for ax, ay, bx, by in starts:
        line = ogr.Geometry(ogr.wkbLineString)
        line.AddPoint_2D(ax, ay)
        line.AddPoint_2D(bx, by)
        blocks = {(row // ground.side, col // ground.side)
                  for row, col in ground.grid.crossed((ax, ay, bx, by))
                  if ground.grid.has(row, col) and ground.held[row, col]}
        for at in blocks:
            through.setdefault(at, ogr.Geometry(ogr.wkbMultiLineString)).AddGeometry(line)
    times, heap = {}, []
    for at, is_start in ground.start.items():
        if is_start:
            point = ogr.Geometry(ogr.wkbPoint)
            point.AddPoint_2D(*ground.middle(at))
            heapq.heappush(heap, (point.Distance(through[at]) * tobler_pace(0), at))
    while heap:
        time, at = heapq.heappop(heap)
        if at in times or time > limit:
            continue
        times[at] = time
        for move in MOVES:
            end = at[0] + move[0], at[1] + move[1]
            cost = None if end in times else ground.cost(at, move)
            if cost:
                length, slope, slowness = cost
                heapq.heappush(heap, (time + length * tobler_pace(slope) * slowness, end))
    return times


def anchors(ground, cell):
    """Blocks whose piece a study cell belongs to or can be walked to within 3 x 3 blocks."""
    side = ground.side
    own = cell[0] // side, cell[1] // side
    if ground.held[cell]:
        return {own}
    found, seen, queue = set(), {cell}, deque([cell])
    while queue:
        r, c = queue.popleft()
        for at in ((r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)):
            block = at[0] // side, at[1] // side
            near = abs(block[0] - own[0]) <= 1 and abs(block[1] - own[1]) <= 1
            if at in seen or not near or not ground.grid.has(*at) or not ground.open[at]:
                continue
            seen.add(at)
            if ground.held[at]:
                found.add(block)
            else:
                queue.append(at)
    return found


def minutes_to(ground, times, x, y):
    hx = round((x - ground.grid.x0) / ground.grid.cell * 2)
    hy = round((ground.grid.y0 - y) / ground.grid.cell * 2)
    best = math.inf
    cells = [(r, c) for r in {(hy - 1) // 2, hy // 2} for c in {(hx - 1) // 2, hx // 2}]
    for own in set().union(*(anchors(ground, cell) for cell in cells)):
        legs = [(own, 0, ground.slowness[own])]
        for move in (m for m in MOVES if max(map(abs, m)) == 1):
            cost = ground.cost(own, move)
            if cost:
                legs.append(((own[0] + move[0], own[1] + move[1]), cost[1], cost[2]))
        for at, slope, slowness in legs:
            away = math.dist(ground.middle(at), (x, y))
            best = min(best, times.get(at, math.inf) + away * tobler_pace(slope) * slowness)
    return best


def main():
    landcover, elevation, factors, limit, sites, *arguments = sys.argv[1:]
    grid = Grid(landcover, elevation)
    walk = {int(k): float(v) for k, v in (pair.split("=") for pair in factors.split(","))}
    side = math.ceil(20 / grid.cell)
    side -= side > 1 and side * grid.cell > 30
    factor, marks, starts = burn(grid, walk, arguments)
    ground = Ground(grid, factor, marks, side)
    times = search(ground, starts, float(limit))
    worst, compared, off = 0, 0, 0
    source = ogr.Open(sites)
    for feature in source.GetLayerByName("candidates"):
        point = feature.GetGeometryRef()
        gap = abs(feature["walk_min"] - minutes_to(ground, times, point.GetX(), point.GetY()))
        worst, compared, off = max(worst, gap), compared + 1, off + (gap > 0.001)
    print(compared, worst, off)


main()
