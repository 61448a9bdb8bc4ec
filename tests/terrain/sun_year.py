#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The sun by PyEphem, an astronomical library of its own, for test_sun_year.c. Prints

place LATITUDE LONGITUDE             followed by its events of one year:
rise|set JULIAN_DAY                  of the upper limb on a horizon 34' down, as almanacs have it
centre_rise|centre_set JULIAN_DAY    of the centre, without refraction
at JULIAN_DAY LATITUDE LONGITUDE AZIMUTH ELEVATION    airless, at a few hundred moments
"""

import math

import ephem

YEAR = 2026
EPOCH = 2415020.0  # Julian day of PyEphem's zero
A_MINUTE = 1.0 / 1440.0
# Both hemispheres, all longitudes; the last four have a midnight sun and a polar night.
PLACES = [
    (0.0, 36.8), (-3.1, -60.0), (19.4, -99.1), (35.7, 139.7), (-33.9, 18.4), (-45.9, 170.5),
    (48.2, 16.4), (51.5, 0.0), (-54.8, -68.3), (59.5, -151.5), (64.1, -21.9), (65.6, 22.1),
    (69.6, 18.9), (71.3, -156.8), (78.2, 15.6), (-77.8, 166.7),
]


def observer_at(latitude, longitude, horizon):
    observer = ephem.Observer()
    observer.lat, observer.lon = str(latitude), str(longitude)
    observer.elevation, observer.pressure, observer.horizon = 0, 0, horizon
    return observer


def found(search, start, centre):
    try:
        return [float(search(ephem.Sun(), start=start, use_center=centre))]
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return []


def events(latitude, longitude, horizon, centre):
    """All of the year, each once: the next ones after every quarter of a day."""
    observer = observer_at(latitude, longitude, horizon)
    first, after = ephem.Date((YEAR, 1, 1)), ephem.Date((YEAR + 1, 1, 1))
    listed = []
    for quarter in range(4 * int(after - first)):
        start = first + 0.25 * quarter
        listed += [(day, "rise") for day in found(observer.next_rising, start, centre)]
        listed += [(day, "set") for day in found(observer.next_setting, start, centre)]
    listed = sorted(event for event in listed if first <= event[0] < after)
    return [event for before, event in zip([(0, "")] + listed, listed)
            if event[1] != before[1] or event[0] - before[0] > A_MINUTE]


def tell_moments():
    for i in range(600):
        latitude, longitude = PLACES[i % len(PLACES)]
        day = ephem.Date((1950, 1, 1)) + 100 * 365.25 * (i * 0.6180339887498949 % 1.0)
        observer = observer_at(latitude, longitude, "0")
        observer.date = day
        sun = ephem.Sun(observer)
        print(f"at {day + EPOCH:.8f} {latitude} {longitude} "
              f"{math.degrees(sun.az):.6f} {math.degrees(sun.alt):.6f}")


for place in PLACES:
    print("place", *place)
    for moment, kind in events(*place, "-0:34", False):
        print(f"{kind} {moment + EPOCH:.7f}")
    for moment, kind in events(*place, "0", True):
        print(f"centre_{kind} {moment + EPOCH:.7f}")
tell_moments()
