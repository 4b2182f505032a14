"""What lies inside a report's page, to be shown inside this one."""

from __future__ import annotations

import re

# A page holds one of each of these; inside another page they are plain blocks.
_LANDMARKS = re.compile(r"<(/?)(?:header|main|footer)\b")
_SCRIPT = re.compile(r"<script\b.*?</script>", re.DOTALL)
_BODY = re.compile(r"<body[^>]*>(.*)</body>", re.DOTALL)
_SKIP = re.compile(r'<a class="skip".*?</a>', re.DOTALL)


def body_of(page: str) -> str:
    """The body of a report's page without its script; its template has escaped every text in it."""
    found = _BODY.search(page)
    body = _SKIP.sub("", _SCRIPT.sub("", found[1] if found else ""))
    return _LANDMARKS.sub(r"<\1div", body)
