# SPDX-License-Identifier: MIT
"""What the checks of the dossier in a browser share: the browser, the sliders, and the rules of
choice written anew, with the greedy choice, over all candidates of the GeoPackage."""
import collections
import json
import math
import re
import struct

from selenium import webdriver
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.by import By

Candidate = collections.namedtuple("Candidate", "score fid groups site x y")
Quota = collections.namedtuple("Quota", "least most")


def point(geom):
    """A GeoPackage point ends in its coordinates."""
    return struct.unpack("<dd", geom[-16:])


def start(folder):
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic",
                 "--no-first-run", "--disable-background-networking",
                 "--disable-component-update", "--disable-sync", "--window-size=1300,1400",
                 "--user-data-dir=" + folder):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    return webdriver.Chrome(service=Service("/usr/bin/chromedriver"), options=options)


def slide(driver, number, value):
    driver.execute_script("""
        var s = document.getElementById('weight-' + arguments[0]);
        s.value = arguments[1]; s.dispatchEvent(new Event('input', {bubbles: true}));""", number, value)


def worth(function, at):
    """Piecewise linear, level beyond the ends."""
    if at <= function[0][0]:
        return function[0][1]
    for (a, b), (c, d) in zip(function, function[1:]):
        if at <= c:
            return b + (d - b) * (at - a) / (c - a)
    return function[-1][1]


def lattice_metres(places, sites):
    """The spacing of the triangular lattice of so many points on the convex hull of the places, or
    the hull's longer side over their number where that is more. By gift wrapping."""
    corners, at = [], min(places)
    while not corners or at != corners[0]:
        corners.append(at)
        following = places[0] if places[0] != at else places[1]
        for x, y in places:
            turn = (following[0] - at[0]) * (y - at[1]) - (following[1] - at[1]) * (x - at[0])
            if turn < 0 or turn == 0 and math.dist(at, (x, y)) > math.dist(at, following):
                following = (x, y)
        at = following
    area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1]))) / 2
    longer = max(max(c[k] for c in corners) - min(c[k] for c in corners) for k in (0, 1))
    return max(math.sqrt(2 * area / (math.sqrt(3) * sites)), longer / sites)


class Choice:
    """The rules of docs/method-choice.md: least distance, standing traps, quotas, even spread; and
    the greedy choice by them. Arithmetic mean, metres as units."""

    def __init__(self, database):
        self.database = database
        facts = dict(database.execute("select key, value from run"))
        plan = dict(database.execute("select key, value from plan"))
        assert facts["aggregate"] == "arithmetic" and float(facts["grid.metres_per_unit"]) == 1
        self.apart, self.wanted = float(facts["apart_m"]), int(facts["sites.wanted"])
        self.quotas = [Quota(int(plan["choose.per_%s.min" % kind]), int(
            plan["choose.per_%s.max" % kind]) or 10 ** 6) for kind in ("pair", "block")]
        self.spread = float(facts["choice.spread"])
        # As the run counts groups: in the order of its tables.
        self.numbers = [{name: number for number, (name,) in enumerate(database.execute(
            "select %s from %ss order by fid" % (kind, kind)))} for kind in ("pair", "block")]
        self.criteria = database.execute(
            "select criterion, value, unit from criteria where in_use = 1 order by fid").fetchall()
        self.planned = dict(database.execute(
            "select criterion, weight from criteria where in_use = 1 order by fid"))
        layers = {row[0] for row in database.execute("select table_name from gpkg_contents")}
        self.occupied = [point(row[0]) for row in database.execute(
            "select geom from ground_occupied")] if "ground_occupied" in layers else []
        self.sites = {rank: point(geom) for rank, geom in database.execute(
            "select rank, geom from sites where role = 'primary'")}
        self.primaries = {row[0] for row in database.execute(
            "select site from sites where role = 'primary'")}
        run = [one for one in self.candidates(self.planned) if one.site in self.primaries]
        self.run_keeps_rules = all(self.fits(one, [o for o in run if o is not one]) for one in run)
        self.even = lattice_metres([(one.x, one.y) for one in self.open(self.planned)],
                                   self.wanted) if self.spread > 0 else 0

    def candidates(self, weights):
        columns = {"edge_contrast": "edge_contrast", "slope": "slope_deg", "sun": "sun_share",
                   "access": "walk_min" if ("access", "min") in
                             [(row[0], row[2]) for row in self.criteria] else "access_m"}
        total = sum(weights.values())
        for row in self.database.execute(
                "select pair, block, fid, site, geom, %s from candidates order by fid" %
                ", ".join(columns[row[0]] for row in self.criteria)):
            score = sum(weights[name] / total * worth(json.loads(value), measure)
                        for (name, value, _), measure in zip(self.criteria, row[5:]))
            yield Candidate(round(score, 9), row[2], row[:2], row[3], *point(row[4]))

    def open(self, weights):
        """Those apart from standing traps; ties go from north to south, west to east, by pair."""
        kept = [one for one in self.candidates(weights) if not any(
            math.hypot(one.x - x, one.y - y) < self.apart for x, y in self.occupied)]
        return sorted(kept, key=lambda one: (-one.score, -one.y, one.x,
                                             self.numbers[0][one.groups[0]]))

    def fits(self, one, taken):
        if one in taken or any(math.hypot(one.x - t.x, one.y - t.y) < self.apart for t in taken):
            return False
        return all(group is None or sum(t.groups[kind] == group for t in taken) < quota.most
                   for kind, (group, quota) in enumerate(zip(one.groups, self.quotas)))

    def lacks(self, kind, group, taken):
        return group is not None and sum(
            t.groups[kind] == group for t in taken) < self.quotas[kind].least

    def minimums(self, order):
        """Groups that come short are served before all others, the last found first."""
        every = [(kind, group) for kind in (0, 1) for group in sorted(
            {one.groups[kind] for one in order} - {None}, key=self.numbers[kind].get)]
        front = []
        while True:
            taken = []
            for kind, group in front + [(None, None)]:
                for one in order:
                    wanted = (self.lacks(kind, group, taken) and one.groups[kind] == group
                              if group is not None else
                              any(self.lacks(k, g, taken) for k, g in enumerate(one.groups)))
                    if len(taken) < self.wanted and wanted and self.fits(one, taken):
                        taken.append(one)
            short = [ref for ref in every if self.lacks(*ref, taken) and ref not in front]
            if not short:
                return taken
            front = short[::-1] + front

    def adds(self, one, taken):
        near = min((math.hypot(one.x - t.x, one.y - t.y) for t in taken), default=math.inf)
        even = min(1, near / self.even) if self.spread > 0 else 0
        return (1 - self.spread) * one.score + self.spread * even

    def greedy(self, weights, order=None):
        order = order or self.open(weights)
        taken = self.minimums(order)
        while len(taken) < self.wanted:
            fit = [one for one in order if self.fits(one, taken)]
            if not fit:
                break
            taken.append(max(fit, key=lambda one: self.adds(one, taken)))  # the first of equals
        return sorted(taken, key=order.index)

    # What a choice is worth: less missing first, with even spread more sites, then the objective.

    def merit(self, taken, weights, short):
        objective = math.fsum(
            self.adds(one, [other for other in taken if other is not one]) for one in taken)
        return -short(taken), len(taken) if self.spread > 0 else 0, objective

    def held(self, driver, order):
        """Of the candidates those that the page holds."""
        data = json.loads(driver.execute_script(
            "return document.getElementById('candidates').textContent"))
        held = {(round(data["x"] + row[0], 1), round(data["y"] - row[1], 1), row[2])
                for row in data["candidates"]}
        return [one for one in order if (round(one.x, 1), round(one.y, 1),
                                         self.numbers[0][one.groups[0]]) in held]

    def shown(self, driver, order):
        """The candidates that the page shows as chosen, by their ranks there."""
        overview = driver.find_element(By.ID, "overview")
        scale, west, north = (float(overview.get_attribute("data-" + name))
                              for name in ("scale", "west", "north"))
        places = {}
        for mark in driver.find_elements(By.CSS_SELECTOR, "#what-if .new-place"):
            places[int(mark.find_element(By.TAG_NAME, "text").get_attribute("textContent"))] = (
                west + float(mark.get_attribute("data-x")) / scale,
                north - float(mark.get_attribute("data-y")) / scale)
        taken = {}
        for row in driver.find_elements(By.CSS_SELECTOR, "#weights-table tbody tr"):
            cells = [cell.get_attribute("textContent") for cell in row.find_elements(By.XPATH, "*")]
            if not cells[3]:
                continue
            x, y = places.get(int(cells[3])) or self.sites[int(re.search(r"\d+", cells[0]).group())]
            taken[int(cells[3])] = min((one for one in order if one.groups[0] == cells[1]),
                                       key=lambda one: math.hypot(one.x - x, one.y - y))
            assert math.hypot(taken[int(cells[3])].x - x, taken[int(cells[3])].y - y) < 0.5, cells
        assert sorted(taken) == list(range(1, len(taken) + 1)), sorted(taken)
        return [taken[rank] for rank in sorted(taken)]

    def exchanges(self, taken, order):
        """Every choice that differs by one site and keeps the rules, but those that miss more, and
        those that could not be worth more by their score, were they ever so even."""
        now = math.fsum(self.adds(one, [o for o in taken if o is not one]) for one in taken)
        for site in taken:
            rest = [one for one in taken if one is not site]
            counts = [collections.Counter(one.groups[kind] for one in rest) for kind in (0, 1)]

            def helps(one):
                return sum(group is not None and counts[kind][group] < self.quotas[kind].least
                           for kind, group in enumerate(one.groups))

            needed = helps(site)
            most = sum((1 - self.spread) * one.score + self.spread for one in rest) + self.spread
            for one in order:
                more = helps(one) - needed
                if more < 0 or more == 0 and most + (1 - self.spread) * one.score <= now:
                    continue
                if one is not site and self.fits(one, rest):
                    yield rest + [one]

    def check(self, driver, weights):
        """The page's choice keeps the rules, is worth no less than the run's sites and than a greedy
        choice written anew here, and no exchange of a single site betters it. Returns it."""
        whole = self.open(weights)
        order = self.held(driver, whole)
        every = {(kind, group) for one in whole for kind, group in enumerate(one.groups)}

        def short(taken):
            return sum(max(0, self.quotas[kind].least - sum(t.groups[kind] == group for t in taken))
                       for kind, group in every if group is not None)

        taken = self.shown(driver, order)
        assert taken == sorted(taken, key=order.index) and len(taken) <= self.wanted
        assert all(self.fits(one, [o for o in taken if o is not one]) for one in taken)
        merit = self.merit(taken, weights, short)
        bar = merit[:2] + (merit[2] + 1e-6,)
        assert self.merit(self.greedy(weights, order), weights, short) <= bar, merit
        if self.run_keeps_rules:
            run = [one for one in order if one.site in self.primaries]
            assert self.merit(run, weights, short) <= bar, (merit, run)
        for other in self.exchanges(taken, order):
            assert self.merit(other, weights, short) <= bar, (merit, other)
        return taken

    @staticmethod
    def changes(driver):
        return len(driver.find_elements(
            By.CSS_SELECTOR, "#weights-table tbody tr:not(.change-stays)"))

    def check_planned(self, driver):
        """At the plan's weights the sites of the run stand, in their order, and nothing is drawn."""
        assert not driver.find_elements(By.CSS_SELECTOR, ".gone, .new-place, #what-if")
        lines = driver.find_elements(By.CSS_SELECTOR, "#weights-table tbody tr")
        assert len(lines) == len(self.primaries)
        for rank, line in enumerate(lines, 1):
            assert line.get_attribute("class") == "change-stays"
            assert line.text.startswith("site of rank %d " % rank)
