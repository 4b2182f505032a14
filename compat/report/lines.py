"""Lines of a plain-text report before they are wrapped: parts with a style, indent and lead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from compat.model.verdicts import Verdict
from compat.report.words import clean, verdict_word

Part = tuple[str, str]
STYLE: dict[str, str] = {
    "works": "green",
    "marginal": "yellow",
    "unproven": "cyan",
    "fails": "bold red",
    "hazard": "bold black on yellow",
}
SOFT, STRONG = "dim", "bold"


@dataclass(frozen=True, slots=True)
class Line:
    """Parts (text, style) to be wrapped as one paragraph.

    ``lead`` opens the first line; the lines after it hang under its end, or with no lead by ``hang``.
    A line that is ``fixed`` fills the width already and is never wrapped.
    """

    parts: tuple[Part, ...] = ()
    indent: int = 0
    lead: tuple[Part, ...] = ()
    fixed: bool = False
    hang: int = 0


def line(*parts: str | Part, indent: int = 0, lead: str | Part = "", hang: int = 0) -> Line:
    """A line from texts and styled texts, cleaned of control characters."""
    cleaned = (part if isinstance(part, tuple) else (part, "") for part in parts)
    text, style = lead if isinstance(lead, tuple) else (lead, "")
    return Line(
        tuple((_clean_part(text), style) for text, style in cleaned),
        indent,
        ((_clean_part(text), style),) if text else (),
        hang=hang,
    )


def verdict_part(verdict: Verdict) -> Part:
    """The verdict word in its style."""
    return (verdict_word(verdict), STYLE[verdict])


def listed(heading: str, entries: Iterable[str], indent: int, style: str = STRONG) -> Iterator[Line]:
    """A heading and its entries, each with a dash; nothing when there are none."""
    entries = list(entries)
    if entries:
        yield line((heading, style), indent=indent)
        yield from (line(entry, indent=indent + 2, lead="- ") for entry in entries)


def _clean_part(text: str) -> str:
    # White space at the ends parts one part from the next and must stay.
    start = " " * (len(text) - len(text.lstrip(" ")))
    end = " " * (len(text) - len(text.rstrip(" "))) if text.strip() else ""
    return f"{start}{clean(text)}{end}"
