# SPDX-License-Identifier: MIT
"""Imported before selenium: without a browser to drive the check is skipped, and says so."""
import os
import sys

if not all(map(os.path.exists, ("/usr/bin/chromium", "/usr/bin/chromedriver",
                                "/usr/lib/python3/dist-packages/selenium"))):
    print("SKIPPED: chromium, chromium-driver and python3-selenium are not all installed")
    sys.exit(77)
