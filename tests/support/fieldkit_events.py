# SPDX-License-Identifier: MIT
#
# usage: fieldkit_events.py events.csv
# Reads an event table with Python's csv module and checks what must hold in any: unique ids,
# parents that exist, children within their parents' days, values of the kinds the terms ask for.
# Prints id|parent|date|latitude|longitude|uncertainty|size|unit|effort|remarks|location remarks.
import csv
import datetime
import re
import sys

with open(sys.argv[1], encoding="utf-8", newline="") as file:
    rows = list(csv.DictReader(file, strict=True))


def days(row):
    parts = row["eventDate"].split("/")
    assert 1 <= len(parts) <= 2, row["eventDate"]
    found = [datetime.date.fromisoformat(part) for part in parts]
    assert found[0] <= found[-1]
    return found[0], found[-1]


ids = {row["eventID"]: row for row in rows}
assert len(ids) == len(rows), "event ids are not unique"
for row in rows:
    assert None not in row and None not in row.values(), row
    first, last = days(row)
    assert int(row["startDayOfYear"]) == first.timetuple().tm_yday
    assert int(row["endDayOfYear"]) == last.timetuple().tm_yday
    assert -90 <= float(row["decimalLatitude"]) <= 90
    assert -180 <= float(row["decimalLongitude"]) <= 180
    assert float(row["coordinateUncertaintyInMeters"]) > 0
    assert row["geodeticDatum"] == "EPSG:4326"
    assert bool(row["sampleSizeValue"]) == bool(row["sampleSizeUnit"])
    assert row["samplingProtocol"] and row["habitat"]
    for value in row.values():
        assert not re.match(r"[=+@\t\r]", value), f"a spreadsheet may compute {value}"
    if row["parentEventID"]:
        parent = ids[row["parentEventID"]]
        assert not parent["parentEventID"]
        assert days(parent)[0] <= first and last <= days(parent)[1]
        assert int(row["sampleSizeValue"]) == (last - first).days
    print("|".join(row[name] for name in (
        "eventID", "parentEventID", "eventDate", "decimalLatitude", "decimalLongitude",
        "coordinateUncertaintyInMeters", "sampleSizeValue", "sampleSizeUnit", "samplingEffort",
        "eventRemarks", "locationRemarks")))
