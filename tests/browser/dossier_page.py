# SPDX-License-Identifier: MIT
"""What the checks of the dossier in a browser share: the browser, the sliders, and a greedy choice
written anew, over all candidates of the GeoPackage."""
import collections
import json
import math
import struct

from selenium import webdriver
from selenium.webdriver.chrome.service import Service

Candidate = collections.namedtuple("Candidate", "score fid pair site x y")


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


class Choice:
    """Best first, with the least distance, standing traps and the most per pair; arithmetic mean."""

    def __init__(self, database):
        self.database = database
        facts = dict(database.execute("select key, value from run"))
        plan = dict(database.execute("select key, value from plan"))
        assert facts["aggregate"] == "arithmetic"
        self.apart, self.wanted = float(facts["apart_m"]), int(facts["sites.wanted"])
        self.pair_most = int(plan["choose.per_pair.max"]) or 10 ** 6
        self.criteria = database.execute(
            "select criterion, value, unit from criteria where in_use = 1 order by fid").fetchall()
        self.planned = dict(database.execute(
            "select criterion, weight from criteria where in_use = 1 order by fid"))
        layers = {row[0] for row in database.execute("select table_name from gpkg_contents")}
        self.occupied = [point(row[0]) for row in database.execute(
            "select geom from ground_occupied")] if "ground_occupied" in layers else []

    def candidates(self, weights):
        columns = {"edge_contrast": "edge_contrast", "slope": "slope_deg", "sun": "sun_share",
                   "access": "walk_min" if ("access", "min") in
                             [(row[0], row[2]) for row in self.criteria] else "access_m"}
        total = sum(weights.values())
        for row in self.database.execute(
                "select pair, fid, site, geom, %s from candidates order by fid" %
                ", ".join(columns[row[0]] for row in self.criteria)):
            score = sum(weights[name] / total * worth(json.loads(value), measure)
                        for (name, value, _), measure in zip(self.criteria, row[4:]))
            yield Candidate(score, row[1], row[0], row[2], *point(row[3]))

    def greedy(self, weights):
        taken, pairs = [], collections.Counter()
        for one in sorted(self.candidates(weights), key=lambda c: (-round(c.score, 9), c.fid)):
            if len(taken) == self.wanted:
                break
            places = self.occupied + [(other.x, other.y) for other in taken]
            if pairs[one.pair] >= self.pair_most or any(
                    math.hypot(one.x - x, one.y - y) < self.apart for x, y in places):
                continue
            taken.append(one)
            pairs[one.pair] += 1
        return taken
