# SPDX-License-Identifier: MIT
#
# usage: fieldkit_page.py FILE
# Reads a page with Python's HTML parser: every element is closed, none is a script or fetches
# anything. Prints the page's text, one piece per line.
import sys
from html.parser import HTMLParser

VOID = {"meta", "br", "img", "link", "input"}
KNOWN = {"html", "head", "meta", "title", "style", "body", "section", "article", "div", "span",
         "h1", "h2", "p", "b", "i", "bdi", "br", "ul", "ol", "li", "table", "thead", "tbody", "tr",
         "th", "td", "svg", "path", "line", "circle", "rect", "text"}


class Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.open = []

    def handle_starttag(self, tag, attributes):
        assert tag in KNOWN, f"unexpected element {tag}"
        for name, value in attributes:
            assert name not in ("href", "src", "action") and not name.startswith("on"), name
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        assert tag in KNOWN, f"unexpected element {tag}"

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, f"{tag} closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data):
        if self.open and self.open[-1] != "style" and data.strip():
            print(data.strip())


page = Page()
with open(sys.argv[1], encoding="utf-8") as file:
    page.feed(file.read())
page.close()
assert not page.open, f"left open: {page.open}"
