# SPDX-License-Identifier: MIT
"""usage: layout.py DOSSIER GEOPACKAGE
As wide as A4 prints it, nothing is wider than the page or than the place it stands in, however long
the words; ids, roles and column heads are never broken within a word."""
import os
import sys
import tempfile

import needs_browser  # noqa: F401, first of all
from dossier_page import start

page = os.path.abspath(sys.argv[1])
WIDTH = 680  # CSS pixels of the 180 mm between the margins that dossier.css sets

WIDER = """
    var found = [], wide = document.documentElement.clientWidth;
    document.querySelectorAll('main *').forEach(function (e) {
        if (e.parentElement.closest('svg')) return;
        var style = getComputedStyle(e), box = e.getBoundingClientRect();
        if (style.display === 'none' || box.width === 0) return;
        var over = e.scrollWidth > e.clientWidth + 1 && style.display !== 'inline' &&
            e.tagName !== 'svg';
        if (box.right > wide + 1 || box.left < -1 || over)
            found.push(e.tagName + '.' + (e.getAttribute('class') || '') + ' ' +
                e.textContent.slice(0, 60) + ' ' + [box.left, box.right, e.scrollWidth, e.clientWidth]);
    });
    return found;"""

# Words of more than one line: their rectangles lie at more than one height.
BROKEN = """
    var found = [], range = document.createRange();
    document.querySelectorAll('thead th, .sites tbody th, .care tbody th, .reserves tbody th, ' +
        '.inputs tbody th').forEach(function (e) {
        if (getComputedStyle(e).display === 'none' || e.closest('[hidden]')) return;
        var walker = document.createTreeWalker(e, NodeFilter.SHOW_TEXT), node;
        while ((node = walker.nextNode())) {
            var words = /\\S+/g, word;
            while ((word = words.exec(node.data))) {
                range.setStart(node, word.index);
                range.setEnd(node, word.index + word[0].length);
                var heights = {};
                Array.from(range.getClientRects()).forEach(function (r) {
                    if (r.width > 0) heights[Math.round(r.top)] = 1; });
                if (Object.keys(heights).length > 1) found.push(word[0]);
            }
        }
    });
    return found;"""

with tempfile.TemporaryDirectory() as profile:
    browser = start(profile)
    try:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
        browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": WIDTH, "height": 1010, "deviceScaleFactor": 1, "mobile": False})
        browser.get("file://" + page)
        broken, wider = browser.execute_script(BROKEN), browser.execute_script(WIDER)
        assert not broken, broken[:20]
        assert not wider, "\n".join(wider[:20])
        assert browser.execute_script("""
            var e = document.documentElement; return e.scrollWidth <= e.clientWidth;""")
    finally:
        browser.quit()
print("nothing is wider than the page")
