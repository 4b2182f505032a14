"""How many cells of a terminal a text takes."""

from __future__ import annotations

import re

GAP = 2  # between columns
# An output's name cut shorter than this says less than its id alone.
NAME_LEAST = 18
# Latin, Greek and Cyrillic letters, and the marks that the reports use: one cell each. No spaces but
# the plain one, at which alone all agree to break a line.
_NARROW = re.compile(
    "[ -~\u00a1-\u00ac\u00ae-\u02ff\u0370-\u0482\u2010-\u2027\u2030-\u205e\u2200-\u22ff\u2500-\u259f]*"
)


def is_narrow(text: str) -> bool:
    """Whether every character is known to take one cell; False where that is not sure."""
    return (text.isascii() and text.isprintable()) or _NARROW.fullmatch(text) is not None


def size_of(text: str) -> int:
    """The cells a text takes; wide characters take two."""
    if is_narrow(text):
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def fit(text: str, size: int, cut: str) -> str:
    """``text`` in exactly ``size`` cells; a text too long ends in ``cut``."""
    if is_narrow(text) and len(cut) == 1:
        return text.ljust(size) if len(text) <= size else (text[: size - 1].rstrip() + cut).ljust(size)
    from rich.cells import set_cell_size

    if size_of(text) <= size:
        return set_cell_size(text, size)
    return set_cell_size(set_cell_size(text, size - 1).rstrip() + cut, size)
