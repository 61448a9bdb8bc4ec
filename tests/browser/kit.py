# SPDX-License-Identifier: MIT
"""usage: kit.py FOLDER
The pages of a field kit as Chromium prints them, at the width of A4 less its margins: nothing is wider
than the page, nothing is cut but what ends in an ellipsis, no site's id is broken between lines, and each
label holds its lines. Skipped where Chromium or its driver is missing."""
import os
import shutil
import sys
import tempfile

folder = os.path.abspath(sys.argv[1])
try:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service
except ImportError:
    print("SKIPPED: python3-selenium is not installed")
    sys.exit(77)
if not shutil.which("chromium") or not shutil.which("chromedriver"):
    print("SKIPPED: chromium and chromedriver are not installed")
    sys.exit(77)

# Between the margins, mm; CSS counts 96 pixels to the inch.
PAGES = {"kit.html": 186, "setup.html": 186, "labels.html": 190}

FAULTS = """
const room = document.documentElement.clientWidth + 1, faults = [];
const tell = (what, element) => faults.push(what + ': <' + element.tagName + ' class=' +
    element.getAttribute('class') + '> ' + element.textContent.slice(0, 60));
if (document.documentElement.scrollWidth > room)
    faults.push('the page is ' + document.documentElement.scrollWidth + ' wide, not ' + room);
for (const element of document.body.querySelectorAll('*')) {
    const style = getComputedStyle(element), box = element.getBoundingClientRect();
    const cutter = element.closest('.t, .w span, div.s, div.l');
    if (!cutter && (box.right > room || box.left < -1))
        tell('beyond the page', element);
    const cuts = style.overflowX !== 'visible' && !element.closest('svg');
    if (cuts && style.textOverflow !== 'ellipsis' && element.scrollWidth > element.clientWidth + 1)
        tell('cut', element);
    if (element.matches('div.s, div.l') && element.scrollHeight > element.clientHeight + 1)
        tell('the label is too low', element);
}
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node = walker.nextNode(); node; node = walker.nextNode())
    for (const id of node.data.matchAll(/\\bS\\d\\d(R\\d)?\\b/g)) {
        const range = document.createRange();
        range.setStart(node, id.index);
        range.setEnd(node, id.index + id[0].length);
        if (range.getClientRects().length > 1)
            tell('broken id ' + id[0], node.parentElement);
    }
return faults;
"""

with tempfile.TemporaryDirectory() as profile:
    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium")
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic",
                 "--no-first-run", "--disable-background-networking",
                 "--disable-component-update", "--disable-sync", "--user-data-dir=" + profile):
        options.add_argument(flag)
    driver = webdriver.Chrome(service=Service(shutil.which("chromedriver")), options=options)
    found = []
    for name, width_mm in PAGES.items():
        driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
        driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": round(width_mm / 25.4 * 96), "height": 1000, "deviceScaleFactor": 1,
            "mobile": False})
        driver.get("file://" + os.path.join(folder, name))
        found += ["%s: %s" % (name, fault) for fault in driver.execute_script(FAULTS)]
    driver.quit()
for fault in found[:40]:
    print(fault)
assert not found, "%d faults" % len(found)
print("nothing is cut on %d pages" % len(PAGES))
