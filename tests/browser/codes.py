# SPDX-License-Identifier: MIT
"""usage: codes.py FOLDER
labels.html as Chromium prints it, cut into labels where a person would cut: zbarimg reads on them the code
of every bottle of events.csv, once on a small label and once on a large one for each trap, and no other."""
import collections
import csv
import glob
import os
import shutil
import subprocess
import sys
import tempfile

folder = os.path.abspath(sys.argv[1])
if not all(map(shutil.which, ("chromium", "pdftoppm", "zbarimg"))):
    print("SKIPPED: chromium, poppler-utils and zbar-tools are not all installed")
    sys.exit(77)

DPI = 300


def cells_of(page, size_mm):
    """The labels of a page of A4 with margins of 10 mm to the sides and 9 mm above, as files."""
    with open(page, "rb") as picture:
        kind, width, height, _ = picture.readline(), *picture.readline().split(), picture.readline()
        assert kind == b"P5\n"
        width, height, grey = int(width), int(height), picture.read()
    wide, high = (round(mm * DPI / 25.4) for mm in size_mm)
    left, top = round(10 * DPI / 25.4), round(9 * DPI / 25.4)
    files = []
    for y in range(top, height - top - high, high):
        for x in range(left, width - left - wide + 1, wide):
            rows = (grey[row * width + x:row * width + x + wide] for row in range(y, y + high))
            files.append("%s-%d-%d.pgm" % (page, x, y))
            with open(files[-1], "wb") as cell:
                cell.write(b"P5\n%d %d\n255\n" % (wide, high) + b"".join(rows))
    return files


def read(files):
    """How often zbarimg reads what."""
    if not files:
        return collections.Counter()
    ran = subprocess.run(["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable"] + files,
                         capture_output=True, text=True)
    return collections.Counter(ran.stdout.split())


with open(os.path.join(folder, "events.csv"), encoding="utf-8", newline="") as file:
    services = [row for row in csv.DictReader(file) if row["parentEventID"]]
traps = int(services[0]["samplingEffort"].split()[0])
wanted = collections.Counter({row["eventID"]: 2 * traps for row in services})

with tempfile.TemporaryDirectory() as work:
    pdf = os.path.join(work, "labels.pdf")
    subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         "--user-data-dir=" + os.path.join(work, "profile"), "--no-pdf-header-footer",
         "--print-to-pdf=" + pdf, "file://" + os.path.join(folder, "labels.html")],
        check=True, capture_output=True, timeout=200)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", pdf, os.path.join(work, "page")], check=True)
    pages = sorted(glob.glob(os.path.join(work, "page*.pgm")))
    labels = sum(wanted.values()) // 2
    found = collections.Counter()
    at = 1  # the first page is words
    for size in ((62, 25), (93, 54)):
        cells = []
        while len(cells) < labels:
            cells += cells_of(pages[at], size)
            at += 1
        here = read(cells[:labels])
        assert all(count == traps for count in here.values()), (size, here)
        found.update(here)
    assert not read(cells[labels:]), "a code where no label is"

assert len(wanted) == len(services) and wanted
assert found == wanted, "missing %s, unexpected %s" % (
    dict((wanted - found).most_common(8)), dict((found - wanted).most_common(8)))
print("%d codes on %d pages lead to %d events" % (sum(found.values()), len(pages), len(services)))
