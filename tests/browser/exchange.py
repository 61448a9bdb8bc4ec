# SPDX-License-Identifier: MIT
"""usage: exchange.py DOSSIER GEOPACKAGE
A file whose choice was improved by exchanges: at the plan's weights, on load and in print, the page
shows the run's own sites and crosses out none; with the sliders moved a little it does not fall back to a
greedy choice."""
import os
import re
import sqlite3
import sys
import tempfile

import needs_browser  # noqa: F401, first of all
from selenium.webdriver.common.by import By

from dossier_page import Choice, slide, start

page, geopackage = os.path.abspath(sys.argv[1]), sys.argv[2]
database = sqlite3.connect("file:%s?mode=ro" % geopackage, uri=True)
ranks = dict(database.execute("select site, rank from sites where role = 'primary'"))
choice = Choice(database)
greedy = {one.fid for one in choice.greedy(choice.planned)}
run = {one.fid: ranks[one.site] for one in choice.candidates(choice.planned) if one.site in ranks}
assert len(run) == len(ranks)
assert choice.run_keeps_rules
assert greedy != set(run), "the exchange did not beat the greedy choice: another file is needed"


def rows(driver):
    """What becomes of each site, by rank, and how many places come in."""
    told, new = {}, 0
    for row in driver.find_elements(By.CSS_SELECTOR, "#weights-table tbody tr"):
        kind = row.get_attribute("class").replace("change-", "")
        number = re.search(r"rank (\d+)", row.find_element(By.TAG_NAME, "th").text)
        if number:
            told[int(number.group(1))] = kind
        else:
            new += 1
    return told, new


def check_planned(driver):
    assert not driver.find_elements(By.CSS_SELECTOR, ".gone, .new-place")
    told, new = rows(driver)
    assert new == 0 and told == {rank: "stays" for rank in ranks.values()}, (told, new)
    assert "the sites of the run" in driver.find_element(By.ID, "weights-summary").text


def check_moved(driver, weights, number, value):
    """Moves one more slider; `weights` are those of all and are changed with it."""
    weights[list(weights)[number]] = value / 100
    slide(driver, number, value)
    after = {one.fid for one in choice.check(driver, weights)}
    told, new = rows(driver)
    for fid, rank in run.items():
        assert told[rank] in (("stays",) if fid in after else ("out", "moves")), (rank, told[rank])
    moved = sum(kind == "moves" for kind in told.values())
    assert new + moved == len(after - set(run)), (new, moved)
    crossed = len(driver.find_elements(By.CSS_SELECTOR, ".gone"))
    assert crossed == sum(kind in ("out", "moves") for kind in told.values())
    return crossed


with tempfile.TemporaryDirectory() as profile:
    browser = start(profile)
    try:
        browser.get("file://" + page)
        check_planned(browser)
        weights = dict(choice.planned)
        drawn = check_moved(browser, weights, 2, 45) + check_moved(browser, weights, 1, 5)
        assert drawn > 0
        marks = browser.find_elements(By.CSS_SELECTOR, ".gone, .new-place")
        assert all(mark.is_displayed() for mark in marks)
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
        assert not any(mark.is_displayed() for mark in marks), "what was tried out is printed"
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "screen"})
        browser.find_element(By.ID, "weights-reset").click()
        check_planned(browser)
    finally:
        browser.quit()
print("the run's %d sites stand, %d of them by exchange" % (len(run), len(set(run) - greedy)))
