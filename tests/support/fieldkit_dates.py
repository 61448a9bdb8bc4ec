# SPDX-License-Identifier: MIT
#
# usage: fieldkit_dates.py FOLDER
# Reads calendar.ics with python3-icalendar and events.csv with Python's csv module and checks that they tell
# the same days: a site's bottles are hung up and come in on the days of the calendar's visits to it, each
# visit is one of them, and no team is sent out twice on a day. A team begins with each round that is set up
# on the first day of all. Prints the number of calendar events, of teams and of trap-days.
import collections
import csv
import datetime
import os
import re
import sys

try:
    import icalendar
except ImportError:
    print("SKIPPED: python3-icalendar is not installed")
    sys.exit(77)

with open(os.path.join(sys.argv[1], "calendar.ics"), "rb") as file:
    calendar = icalendar.Calendar.from_ical(file.read())

visits = collections.defaultdict(set)  # by site: (day, what)
by_round = collections.defaultdict(list)
count = 0
for event in calendar.walk("VEVENT"):
    begin, end, summary = event["DTSTART"].dt, event["DTEND"].dt, str(event["SUMMARY"])
    assert end - begin == datetime.timedelta(days=1)
    number, what = re.match(r"Round (\d+): (set up|change heads|take down)", summary).groups()
    bottle = re.search(r"bottle (\d+)", summary)
    sites = re.search(r"\((.*)\)$", summary).group(1).split(", ")
    by_round[int(number)].append((begin, what))
    for site in sites:
        assert all(day != begin for day, _, _ in visits[site]), (site, begin)
        visits[site].add((begin, what, int(bottle.group(1)) if bottle else 0))
    count += 1

with open(os.path.join(sys.argv[1], "events.csv"), encoding="utf-8", newline="") as file:
    rows = list(csv.DictReader(file))
told = collections.defaultdict(set)
services = [row for row in rows if row["parentEventID"]]
for row in services:
    site, bottle = row["eventID"].split(":")[1:]
    days = [datetime.date.fromisoformat(day) for day in row["eventDate"].split("/")]
    last = len([other for other in services if other["parentEventID"] == row["parentEventID"]])
    if int(bottle) == 1:
        told[site].add((days[0], "set up", 0))
    told[site].add((days[-1], "take down" if int(bottle) == last else "change heads", int(bottle)))
assert told == visits, [(site, told[site] ^ visits[site]) for site in told if told[site] != visits[site]]

first = min(day for days in by_round.values() for day, what in days)
teams = []
for number in sorted(by_round):
    if min(day for day, what in by_round[number]) == first:
        teams.append(collections.Counter())
    teams[-1].update(day for day, what in by_round[number])
assert all(visits == 1 for team in teams for visits in team.values()), "a team has two visits on a day"

parents = sum(int(row["sampleSizeValue"]) for row in rows if not row["parentEventID"])
children = sum(int(row["sampleSizeValue"]) for row in services)
assert parents == children, (parents, children)
print(count, len(teams), children)
