"""All pages of a release as one HTML page that works offline, with a search that needs no server."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence

from compat.release.pages import Link, Page
from compat.report.template import template

# Hides what does not hold every word that is typed. Without a script the page is a plain list, and
# the field, which would do nothing, stays hidden.
SCRIPT = """
(function () {
  var search = document.getElementById("search");
  var field = document.getElementById("words");
  var told = document.getElementById("told");
  var entries = Array.prototype.slice.call(document.querySelectorAll(".entry"));
  var texts = entries.map(function (entry) { return entry.textContent.toLowerCase(); });
  var sections = Array.prototype.slice.call(document.querySelectorAll("main > section"));
  function show() {
    var words = field.value.toLowerCase().split(/\\s+/).filter(Boolean);
    var count = 0;
    entries.forEach(function (entry, number) {
      var found = words.every(function (word) { return texts[number].indexOf(word) >= 0; });
      entry.hidden = !found;
      count += found ? 1 : 0;
    });
    sections.forEach(function (section) {
      section.hidden = !section.querySelector(".entry:not([hidden])");
    });
    told.textContent = words.length ? count + " of " + entries.length : "";
  }
  function open() {
    var entry = location.hash && document.getElementById(location.hash.slice(1));
    if (entry && entry.tagName === "DETAILS") {
      if (entry.hidden) { field.value = ""; show(); }
      entry.open = true;
      entry.scrollIntoView();
    }
  }
  search.hidden = false;
  field.addEventListener("input", show);
  window.addEventListener("hashchange", open);
  show();
  open();
})();
"""


def pages_html(pages: Sequence[Page], stamp: str) -> str:
    """The page; the same bytes for the same pages. Only this script may run on it, by its hash."""
    groups: dict[str, list[Page]] = {}
    for page in pages:
        groups.setdefault("Methods" if page.kind == "method" else f"Rules: {page.group}", []).append(page)
    return template("pages.html.j2").render(
        groups=groups,
        stamp=stamp,
        script=SCRIPT,
        script_hash=base64.b64encode(hashlib.sha256(SCRIPT.encode()).digest()).decode(),
        is_link=lambda item: isinstance(item, Link),
    )
