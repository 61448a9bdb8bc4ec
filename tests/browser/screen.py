# SPDX-License-Identifier: MIT
"""usage: screen.py DOSSIER GEOPACKAGE
The dossier in a browser: nothing is asked from outside, the console stays silent, links land, markers
lie where their coordinates say at every zoom, keys work, and the sliders choose by the rules."""
import json
import os
import sqlite3
import sys
import tempfile
import time

import needs_browser  # noqa: F401, first of all
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from dossier_page import Choice, point, slide, start

page, geopackage = os.path.abspath(sys.argv[1]), sys.argv[2]
database = sqlite3.connect("file:%s?mode=ro" % geopackage, uri=True)

SITES = [row[:2] + point(row[2]) for row in database.execute(
    "select rank, role, geom from sites order by fid")]
CHOICE = Choice(database)


def frame(driver):
    """The ground on the screen, and the view in units of the whole ground."""
    return driver.execute_script("""
        var g = document.getElementById('ground'), m = document.getElementById('overview');
        var f = ['x', 'y', 'width', 'height'].map(function (k) { return Number(g.getAttribute(k)); });
        var p = m.createSVGPoint(), c = m.getScreenCTM();
        p.x = f[0]; p.y = f[1]; var a = p.matrixTransform(c);
        p.x = f[0] + f[2]; p.y = f[1] + f[3]; var b = p.matrixTransform(c);
        return {left: a.x, top: a.y, right: b.x, bottom: b.y, width: f[2], height: f[3],
            view: g.getAttribute('viewBox').split(' ').map(Number)};""")


def check_markers(driver, only_seen):
    """Discs of primaries that do not step aside, against coordinates; the ground is 6 by 5 km."""
    here, checked = frame(driver), 0
    vx, vy, vw, vh = here["view"]
    for rank, role, x, y in SITES:
        if role != "primary":
            continue
        box = driver.execute_script("""
            var m = document.querySelector(".mark.primary[data-rank='" + arguments[0] + "']");
            if (m.querySelector('line')) return null;
            var r = m.querySelector('.disc').getBoundingClientRect();
            return [r.left + r.width / 2, r.top + r.height / 2, r.width];""", rank)
        if box is None:
            continue
        u = ((x - 512000) / 6000 * here["width"] - vx) / vw
        v = ((5126000 - y) / 5000 * here["height"] - vy) / vh
        if only_seen and not (0 <= u <= 1 and 0 <= v <= 1):
            continue
        assert abs(here["left"] + u * (here["right"] - here["left"]) - box[0]) < 1.0, (rank, box)
        assert abs(here["top"] + v * (here["bottom"] - here["top"]) - box[1]) < 1.0, (rank, box)
        assert 10 < box[2] < 30, box
        checked += 1
    return checked


def check_map(driver):
    assert check_markers(driver, False) >= 10
    overview = driver.find_element(By.ID, "overview")
    driver.execute_script("arguments[0].focus()", overview)
    overview.send_keys("+", "+", "+", "+")
    assert frame(driver)["view"][2] < frame(driver)["width"] / 3
    view = frame(driver)["view"]
    overview.send_keys(Keys.ARROW_LEFT, Keys.ARROW_UP)
    assert frame(driver)["view"][0] < view[0] and frame(driver)["view"][1] < view[1]
    for mark in driver.find_elements(By.CSS_SELECTOR, "a.mark.primary")[:6]:
        driver.execute_script("arguments[0].focus({preventScroll: true})", mark)  # comes into view
        check_markers(driver, True)
        box = driver.execute_script("""
            var r = arguments[0].querySelector('.disc').getBoundingClientRect();
            return [r.left + r.width / 2, r.top + r.height / 2];""", mark)
        here = frame(driver)
        assert here["left"] - 80 <= box[0] <= here["right"] + 80, (here, box)
        assert here["top"] - 80 <= box[1] <= here["bottom"] + 80, (here, box)
    driver.execute_script("arguments[0].focus()", overview)
    overview.send_keys("0")
    assert frame(driver)["view"][2] == frame(driver)["width"]
    before = frame(driver)["view"]
    driver.find_element(By.CSS_SELECTOR, "[aria-label='Enlarge the map']").click()
    assert frame(driver)["view"][2] < before[2]
    start_view = frame(driver)["view"]
    ActionChains(driver).move_to_element(overview).click_and_hold().move_by_offset(
        60, 40).move_by_offset(40, 20).release().perform()
    assert frame(driver)["view"][0] < start_view[0] and frame(driver)["view"][1] < start_view[1]
    check_markers(driver, True)
    driver.find_element(By.CSS_SELECTOR, "[aria-label='Show the whole map']").click()


def check_links(driver):
    marks = driver.find_elements(By.CSS_SELECTOR, "a.mark.primary")
    assert len(marks) == 20
    for mark in (marks[0], marks[-1]):
        rank = mark.get_attribute("data-rank")
        driver.execute_script("document.getElementById('map').scrollIntoView()")
        ActionChains(driver).move_to_element(mark.find_element(By.CSS_SELECTOR, ".disc")).click().perform()
        top = driver.execute_script(
            "return document.getElementById('site-' + arguments[0]).getBoundingClientRect().top", rank)
        assert driver.current_url.endswith("#site-" + rank) and abs(top) < 4, (rank, top)
    lost = driver.execute_script("""
        return Array.from(document.querySelectorAll('a')).filter(function (a) {
            var h = a.getAttribute('href');
            return h[0] !== '#' || !document.getElementById(h.slice(1)); }).length;""")
    assert lost == 0


def check_sliders(driver):
    planned = dict(CHOICE.planned)
    assert driver.find_element(By.ID, "weights").is_displayed()
    CHOICE.check_planned(driver)
    names = list(planned)
    for number, value in ((2, 90), (0, 5)):
        slide(driver, number, value)
        planned[names[number]] = value / 100
        CHOICE.check(driver, planned)
        assert CHOICE.changes(driver) > 0
        assert " place" in driver.find_element(By.ID, "weights-summary").text
    slider = driver.find_element(By.ID, "weight-3")
    slider.send_keys(Keys.ARROW_RIGHT)  # keys move a slider, too
    assert int(slider.get_attribute("value")) == 12
    driver.find_element(By.ID, "weights-reset").click()
    CHOICE.check_planned(driver)


def check_silence(driver):
    said = [entry for entry in driver.get_log("browser") if "favicon" not in entry["message"]]
    assert not said, said
    asked = set()
    for entry in driver.get_log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            asked.add(message["params"]["request"]["url"][:200])
    assert "file://" + page in {url.split("#")[0] for url in asked}
    # chrome: is the browser's own start page.
    outside = [url for url in asked if not url.startswith(("data:", "chrome:")) and
               url.split("#")[0] != "file://" + page]
    assert not outside, outside


def check_without_script(driver):
    driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    driver.get("file://" + page)
    assert not driver.find_element(By.ID, "weights").is_displayed()
    assert len(driver.find_elements(By.CSS_SELECTOR, "section.site")) == 20
    assert driver.find_element(By.CSS_SELECTOR, "#map-scale text").is_displayed()


began = time.time()
with tempfile.TemporaryDirectory() as profile:
    browser = start(profile)
    try:
        browser.get("file://" + page)
        check_map(browser)
        check_links(browser)
        check_sliders(browser)
        check_silence(browser)
        check_without_script(browser)
    finally:
        browser.quit()
print("silent, alone, links land, sliders choose, in %.0f s" % (time.time() - began))
