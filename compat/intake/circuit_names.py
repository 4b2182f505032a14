"""What a circuit cell names: one circuit or several, and on which board."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from compat.intake.cells import shown
from compat.intake.entries import Entry
from compat.intake.row_words import folded, words_of
from compat.intake.told import Told, listed

MOST_CIRCUITS = 100
_NUMBERED = re.compile(r"(.*?)([0-9]{1,5})")
_DASH = re.compile(r"\s*(?:-|–|—|\.\.\.?|…)\s*")
_MARKS = re.compile(r"\s*[,;&+]\s*")


def several(text: str, others: Collection[str]) -> list[str]:
    """The circuits that a text names, one when it is a single name.

    ``L1-L4``, ``L1 to L4``, ``L5, L6``, ``L1/L2`` and ``1,3,5`` are several. ``1-4``, ``1/2`` and
    ``L1/2`` may be a name of their own: they are one when other names of the column are written so,
    or when a part of them stands in a row of its own.
    """
    if not any(c.isdigit() for c in text):
        return [text]
    found, sure = _parsed(" ".join(text.split()))
    if len(found) < 2 or len(found) > MOST_CIRCUITS:
        return [text]
    return found if sure or not _is_name(text, found, others) else [text]


def _is_name(text: str, found: Sequence[str], others: Collection[str]) -> bool:
    pattern = _pattern(text)
    alike = sum(_pattern(other) == pattern for other in others)
    return (alike > 1 and (alike > 2 or alike * 2 >= len(others))) or any(name in others for name in found)


def _pattern(text: str) -> str:
    return re.sub("[0-9]+", "0", re.sub(r"\s", "", text))


def _parsed(text: str) -> tuple[list[str], bool]:
    """The names in a text and whether they surely are several."""
    words = words_of("and")
    pieces: list[str] = []
    for piece in _MARKS.split(text):
        tokens, current = piece.split(" "), list[str]()
        for token in tokens:
            if folded(token) in words and current:
                pieces.append(" ".join(current))
                current = []
            else:
                current.append(token)
        pieces.append(" ".join(current))
    if len(pieces) > 1:
        return _listed(pieces)
    if "/" in text:
        return _strokes(text)
    found, sure = _range(text)
    if len(found) == 1 and " " in text:
        return _spaced(text)
    return found, sure


def _listed(pieces: Sequence[str]) -> tuple[list[str], bool]:
    """``L5, L6``, ``1,3,5``, ``L1-L3, L7``; a bare number after ``L5`` is L's as well."""
    names: list[str] = []
    prefix = ""
    for piece in pieces:
        inside, _ = _range(piece)
        for name in inside:
            found = _NUMBERED.fullmatch(name)
            if not found:
                return [], False
            prefix = found[1] or prefix
            names.append(f"{found[1] or prefix}{found[2]}")
    # A single comma between bare numbers may be a decimal comma.
    return names, bool(prefix) or len(names) > 2


def _spaced(text: str) -> tuple[list[str], bool]:
    """``L1 L2`` on one line or on two, when each part has the letters of the first."""
    matches = [_NUMBERED.fullmatch(token) for token in text.split(" ")]
    prefixes = {match[1] if match else "" for match in matches}
    if len(prefixes) == 1 and "" not in prefixes:
        return text.split(" "), True
    return [text], True


def _strokes(text: str) -> tuple[list[str], bool]:
    found = [_NUMBERED.fullmatch(piece.strip()) for piece in text.split("/")]
    matches = [match for match in found if match]
    if len(matches) < len(found):
        return [], False
    prefixes = [match[1] for match in matches]
    alike = bool(prefixes[0]) and len(set(prefixes)) == 1
    bare = not any(prefixes[1:])
    if not (alike or bare):
        return [], False
    return [f"{prefixes[0]}{match[2]}" for match in matches], alike or len(matches) > 2


def _range(text: str) -> tuple[list[str], bool]:
    words = words_of("to")
    tokens = text.split(" ")
    if len(tokens) == 3 and tokens[1].casefold() in words | {"t/m"}:
        ends, sure = [tokens[0], tokens[2]], True
    else:
        ends, sure = _DASH.split(text), False
    if len(ends) == 4 and ends[0] == ends[2]:
        # DB1-L1 - DB1-L4 has the board in both.
        ends, sure = [f"{ends[0]}-{ends[1]}", f"{ends[2]}-{ends[3]}"], True
    matches = [match for end in ends if (match := _NUMBERED.fullmatch(end))]
    if len(ends) != 2 or len(matches) != 2:
        return [text], True
    (low_prefix, low), (high_prefix, high) = matches[0].groups(), matches[1].groups()
    if high_prefix not in ("", low_prefix) or int(high) <= int(low) or int(high) - int(low) >= MOST_CIRCUITS:
        return [text], True
    width = len(low) if low.startswith("0") else 0
    names = [f"{low_prefix}{number:0{width}d}" for number in range(int(low), int(high) + 1)]
    return names, sure or bool(high_prefix)


def split_circuits(entries: Iterable[Entry], told: Told) -> list[Entry]:
    """One entry for each circuit a row names, its luminaires divided evenly; a fault when they cannot be."""
    kept = list(entries)
    names = set(dict.fromkeys(entry.circuit for entry in kept))
    parts = {name: several(name, names) for name in names}
    divided: list[Entry] = []
    for entry in kept:
        circuits = parts[entry.circuit]
        if len(circuits) == 1:
            divided.append(entry)
            continue
        count, rest = divmod(entry.quantity or 0, len(circuits))
        where, text = entry.place("circuit"), shown(entry.circuit)
        if rest or not count:
            what = f"{text} names {len(circuits)} circuits, which cannot share {entry.quantity} evenly"
            told.fault(what, where, do="Write one row for each circuit with its own quantity")
            continue
        told.notes.append(
            f"{where.text()}: {text} is read as {len(circuits)} circuits, {listed(circuits, 6)}, with "
            f"{count} of the {entry.quantity} luminaires on each; write a row for each if that is not so."
        )
        divided += [
            replace(entry, circuit=name, quantity=count, driver=dict(entry.driver)) for name in circuits
        ]
    return divided


def with_boards(entries: Sequence[Entry], told: Told) -> None:
    """Put the board before the number where there are several boards: together they name a circuit."""
    boards = {text: _board_name(text) for entry in entries if (text := entry.words.get("panel"))}
    if len(set(boards.values())) < 2:
        return
    for entry in entries:
        board = boards.get(entry.words.get("panel", ""))
        if board and not folded(entry.circuit).startswith(folded(board)):
            entry.circuit = f"{board}/{entry.circuit}"
        for device in ("breaker", "rcd"):
            label = entry.words.get(device)
            if board and label and not folded(label).startswith(folded(board)):
                entry.words[device] = f"{board}/{label}"
    names = listed(dict.fromkeys(boards.values()))
    told.notes.append(f"Board and circuit number together name a circuit. Boards: {names}.")


def _board_name(text: str) -> str:
    """The name of a board without the word for board: 'Distribution board DB-A' is DB-A."""
    tokens = text.replace(":", " ").split()
    for count in (3, 2, 1):
        rest = " ".join(tokens[count:])
        if folded(" ".join(tokens[:count])) in words_of("panel") and len(folded(rest)) > 1:
            return rest
    return text


def with_sheets(entries: Sequence[Entry], told: Told) -> None:
    """Put the sheet before the number of a circuit that stands on two sheets: they are two circuits."""
    sheets: dict[str, dict[str, None]] = {}
    for entry in entries:
        sheets.setdefault(entry.circuit, {})[entry.table.sheet] = None
    doubled = [circuit for circuit, found in sheets.items() if len(found) > 1]
    if not doubled:
        return
    of_two = {sheet for circuit in doubled for sheet in sheets[circuit]}
    for entry in entries:
        if entry.table.sheet in of_two:
            entry.circuit = f"{entry.table.sheet}/{entry.circuit}"
    told.notes.append(
        f"Circuits of the same name on several sheets are read as different circuits: {listed(doubled)}. "
        "The name of the sheet is put before them."
    )


def repeats(first: Sequence[Entry], second: Sequence[Entry]) -> bool:
    """Whether two sheets list the same luminaires on the same circuits, as two states of one schedule do."""

    def lines(entries: Sequence[Entry]) -> Counter[tuple[str, str, int | None]]:
        return Counter((folded(e.circuit), folded(e.code), e.quantity) for e in entries)

    ours, theirs = lines(first), lines(second)
    shared = sum((ours & theirs).values())
    return 2 * shared >= min(sum(ours.values()), sum(theirs.values())) and shared > 0
