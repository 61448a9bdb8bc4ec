# SPDX-License-Identifier: MIT
"""usage: print.py DOSSIER GEOPACKAGE
Printed by Chromium the dossier is A4, each site's sheet is a page of its own, and nothing of a sheet is
cut or pushed to the next page; the overview map has its legend and the locator beside it."""
import os
import re
import shutil
import sqlite3
import struct
import subprocess
import sys
import tempfile

if not all(map(shutil.which, ("chromium", "pdfinfo", "pdftotext"))):
    print("SKIPPED: chromium and poppler-utils are not both installed")
    sys.exit(77)

page, geopackage = os.path.abspath(sys.argv[1]), sys.argv[2]
folder = tempfile.TemporaryDirectory()
pdf = os.path.join(folder.name, "dossier.pdf")
subprocess.run(
    ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
     "--disable-background-networking", "--disable-component-update", "--disable-sync",
     "--user-data-dir=" + os.path.join(folder.name, "profile"), "--no-pdf-header-footer",
     "--print-to-pdf=" + pdf, "file://" + page],
    check=True, capture_output=True, timeout=200)

info = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout
pages = int(re.search(r"^Pages:\s+(\d+)", info, re.M).group(1))
assert re.search(r"^Page size:.*\(A4\)", info, re.M), info
text = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True).stdout
sheets = text.decode("utf-8", "replace").split("\f")[:pages]

rows = sqlite3.connect("file:%s?mode=ro" % geopackage, uri=True).execute(
    "select rank, site, role, latitude, longitude, score, geom from sites order by fid").fetchall()
primaries = [row for row in rows if row[2] == "primary"]
assert len(primaries) == 20


def sheet_of(site):
    found = [i for i, sheet in enumerate(sheets)
             if re.search(r"^\s*(\d+\s+)?Site %s\b" % site, sheet, re.M)]
    assert len(found) == 1, (site, found)
    return found[0]


first = sheet_of(primaries[0][1])
for number, (rank, site, role, latitude, longitude, score, geom) in enumerate(primaries):
    x, y = struct.unpack("<dd", geom[-16:])  # a GeoPackage point ends in its coordinates
    at = sheet_of(site)
    assert at == first + number, "a sheet takes more than a page: %s" % site
    sheet = sheets[at]
    for piece in ("%.5f" % abs(latitude), "%.5f" % abs(longitude), "%.3f" % score,
                  "rank %d of 20" % rank, "%.1f, %.1f" % (x, y), "Why here", "metres from the edge",
                  "true", "Look at the place before a trap goes up", "Local rules and"):
        assert piece in sheet, (site, piece)
    reserves = [row[1] for row in rows if row[0] == rank and row[2] != "primary"]
    assert all(reserve in sheet for reserve in reserves), (site, reserves)

maps = [sheet for sheet in sheets if re.search(r"^\s*Where the sites lie\s*$", sheet, re.M)]
assert len(maps) == 1
for piece in ("Map grid:", "site, by rank", "reserve for that site", "Study grid:"):
    assert piece in maps[0], "not on the page of the map: " + piece

whole = "\n".join(sheets)
assert all(row[1] in whole for row in rows)
for words in ("Permit number", "Place, date, signature", "Local rules and licensed practice stand",
              "Ethanol is flammable", "What was considered and rejected", "trap-days", "SHA-256"):
    assert words in whole, words
assert "weighed differently" not in whole, "what needs the screen was printed"
numbers = [re.search(r"(\d+) / (\d+)\s*$", sheet.rstrip()) for sheet in sheets]
assert all(numbers) and [int(n.group(1)) for n in numbers] == list(range(1, pages + 1))
assert 26 <= pages <= 40, pages
print("%d pages, each sheet on its own" % pages)
