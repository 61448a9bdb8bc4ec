# SPDX-License-Identifier: MIT
"""usage: rules.py DOSSIER GEOPACKAGE
A plan with quotas per block, least numbers or even spread: the page's choice under other weights breaks
none of the rules and is no worse than what is chosen here by them; at the plan's weights the page shows the
run's sites."""
import collections
import os
import sqlite3
import sys
import tempfile

import needs_browser  # noqa: F401, first of all
from selenium.webdriver.common.by import By

from dossier_page import Choice, slide, start

page, geopackage = os.path.abspath(sys.argv[1]), sys.argv[2]
database = sqlite3.connect("file:%s?mode=ro" % geopackage, uri=True)
choice = Choice(database)
TRIALS = ((2, 90), (0, 5))


def rule_that_matters():
    """Whether the choice would be another without the rules that this file is about."""
    plain = Choice(database)
    plain.quotas, plain.spread = [plain.quotas[0]._replace(least=0), plain.quotas[1]._replace(
        least=0, most=10 ** 6)], 0
    return [one.fid for one in plain.greedy(choice.planned)] != [
        one.fid for one in choice.greedy(choice.planned)]


def check_summary(driver, taken):
    """The summary counts what the table lists, and the sites that least numbers miss."""
    every = {(kind, group) for one in choice.open(choice.planned)
             for kind, group in enumerate(one.groups) if group is not None}
    missing = sum(max(0, choice.quotas[kind].least - sum(t.groups[kind] == group for t in taken))
                  for kind, group in every)
    said = driver.find_element(By.ID, "weights-summary").text
    kinds = collections.Counter(row.get_attribute("class") for row in driver.find_elements(
        By.CSS_SELECTOR, "#weights-table tbody tr"))
    stays, out = kinds["change-stays"], kinds["change-out"]
    assert "of %d sites %d stay%s, " % (len(choice.sites), stays, "s" * (stays == 1)) in said, said
    assert " %d drop%s out, " % (out, "s" * (out == 1)) in said, said
    told = "This choice misses %d site%s that least numbers ask for." % (
        missing, "" if missing == 1 else "s")
    assert (told in said) == (missing > 0), (missing, said)


def check_note(driver):
    note = driver.find_element(By.CSS_SELECTOR, "#weights .note").text
    assert "does not heed" not in note
    blocks = choice.quotas[1].least > 0 or choice.quotas[1].most < 10 ** 6
    assert ("per block of the ground" in note) == blocks, note
    assert ("adds most by its score and by its distance" in note) == (choice.spread > 0), note
    assert ("least numbers are met before all else" in note) == any(
        quota.least > 0 for quota in choice.quotas), note


assert choice.run_keeps_rules
assert rule_that_matters(), "the rules change nothing: another plan is needed"
with tempfile.TemporaryDirectory() as profile:
    browser = start(profile)
    try:
        browser.get("file://" + page)
        choice.check_planned(browser)
        check_note(browser)
        weights, changes = dict(choice.planned), 0
        for number, value in TRIALS:
            slide(browser, number, value)
            weights[list(weights)[number]] = value / 100
            check_summary(browser, choice.check(browser, weights))
            changes += choice.changes(browser)
        assert changes > len(TRIALS)
        browser.find_element(By.ID, "weights-reset").click()
        choice.check_planned(browser)
    finally:
        browser.quit()
print("%d trials chosen by the plan's rules, %d changes shown" % (len(TRIALS), changes))
