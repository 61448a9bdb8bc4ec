# SPDX-License-Identifier: MIT
"""usage: valid.py DOSSIER GEOPACKAGE
The page is valid HTML for two parsers of their own (html5lib, tidy), stands alone, and shows names
from the file as text."""
import collections
import re
import subprocess
import sys

import html5lib

page = sys.argv[1]
with open(page, encoding="utf-8") as stream:
    source = stream.read()

parser = html5lib.HTMLParser(strict=False, namespaceHTMLElements=False)
document = parser.parse(source)
for place, code, details in parser.errors:
    print("html5lib:", place, code, details)
assert not parser.errors

tidy = subprocess.run(["tidy", "-q", "-e", "--drop-empty-elements", "no", page],
                      capture_output=True, text=True, check=False)
problems = [line for line in tidy.stderr.splitlines()
            if "Error:" in line or ("Warning:" in line and "proprietary attribute" not in line)]
print("\n".join(problems[:20]))
assert tidy.returncode < 2 and not problems, "tidy finds faults"


def local(element):
    return element.tag.split("}")[-1] if isinstance(element.tag, str) else ""


ids, links, pictures, scripts = collections.Counter(), [], 0, 0
for element in document.iter():
    name = local(element)
    for key, value in element.attrib.items():
        key = key.split("}")[-1] if isinstance(key, str) else key[-1]
        if key == "id":
            ids[value] += 1
        if key == "href" and name == "a":
            links.append(value)
        if key == "href" and name == "image":
            pictures += 1
            assert value.startswith("data:image/png;base64,"), value[:60]
        assert key != "src" and key != "style" and not key.startswith("on"), (name, key)
    scripts += name == "script"
    assert name not in ("link", "iframe", "object", "embed", "img", "base", "i", "b"), name

assert all(count == 1 for count in ids.values()), [i for i, n in ids.items() if n > 1]
assert all(link.startswith("#") and ids[link[1:]] == 1 for link in links)
assert scripts == 4, scripts
sites = [i for i in ids if re.fullmatch(r"site-\d+", i)]
assert len(sites) == 20 and pictures == 21, (len(sites), pictures)

# Every drawing tells what it is, or says that it is decoration.
for element in document.iter():
    if local(element) != "svg" or element.get("id") == "ground":
        continue
    assert element.get("aria-label") or element.get("aria-hidden") == "true", element.attrib

text = "".join(document.itertext())
for name in ("Alder Brook </title><script>alert(1)</script>", "O'Brook & \"Sons\" <b>Ltd</b>",
             "<img src=x onerror=alert(2)>", "'); DROP TABLE sites;--", "hay meadow ]]> --> </section>"):
    assert name in text, name
assert "\u202e" not in source
assert len(source.encode()) < 8 << 20
assert not re.search(r"""(src|href)\s*=\s*["']?(https?:|//)""", source)
print("valid, alone, %d links, %.1f MB" % (len(links), len(source) / 1e6))
