"""Sheets that belong together: circuits that name a luminaire type, and the types with their figures."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from compat.intake.cells import printable, shown
from compat.intake.entries import Entry
from compat.intake.rows import accepted
from compat.intake.told import Told, listed
from compat.model.values import Content, Interval, Origin, Trait

_KEYS = ("luminaire_type_code", "luminaire_type", "description")
# Columns of a type that hold for each circuit row that names it and leaves them empty.
_ADDED_WORDS = ("driver", "description", "luminaire_type")


def folded_code(text: str) -> str:
    """A type code without case, spaces and punctuation."""
    kept = "".join(character for character in text.casefold() if character.isalnum())
    return kept or text


@dataclass(slots=True)
class TypeJoin:
    """The types of a file by code; ``join`` adds what a type states to a row that names it."""

    types: Sequence[Entry]
    told: Told
    _by_code: dict[str, Entry] = field(default_factory=dict)
    _key: str = "luminaire_type"
    _used: dict[str, int] = field(default_factory=dict)
    _missing: dict[str, list[Origin]] = field(default_factory=dict)

    def prepare(self, entries: Sequence[Entry]) -> None:
        """Choose the columns by which the two fit best, and take up the types."""
        best = 0
        pairs = [(ours, theirs) for theirs in _KEYS for ours in _KEYS]
        found = ("luminaire_type", "luminaire_type")
        for ours, theirs in pairs:
            named = {folded_code(entry.words[ours]) for entry in entries if ours in entry.words}
            known = {folded_code(entry.words[theirs]) for entry in self.types if theirs in entry.words}
            if len(named & known) > best:
                best, found = len(named & known), (ours, theirs)
        self._key = found[0]
        for entry in self.types:
            text = entry.words.get(found[1]) or entry.code
            if text:
                self._add(folded_code(text), entry)

    def _add(self, code: str, entry: Entry) -> None:
        """Of a type that stands twice, what both do not agree on is not known."""
        first = self._by_code.setdefault(code, entry)
        if first is entry:
            return
        for name, trait in entry.driver.items():
            kept = first.driver.setdefault(name, trait)
            if kept.content != trait.content:
                first.driver[name] = Trait(None, origin=kept.origin)
                self._differs(entry, name)
        if entry.power and first.power and entry.power.content != first.power.content:
            first.power = Trait(None, origin=first.power.origin)
            self._differs(entry, "input_power_w")

    def _differs(self, entry: Entry, name: str) -> None:
        what = f"the type {shown(entry.code)} stands twice with different values, which are not known then"
        self.told.grouped(what, entry.place(name))

    def join(self, entry: Entry) -> None:
        """Add to a row what its type states and the row does not."""
        text = entry.words.get(self._key) or entry.code
        if not text or not self._by_code:
            return
        code, found = self._find(text)
        if found is None:
            self._missing.setdefault(text, []).append(entry.place(entry.code_name))
            return
        self._used[code] = self._used.get(code, 0) + (entry.quantity or 0)
        entry.planned = found.planned if entry.planned is None else entry.planned
        for name, trait in found.driver.items():
            kept = entry.driver.setdefault(name, trait)
            if name == "methods" and entry.planned is not None:
                entry.driver[name] = accepted(kept, trait, entry.planned)
            elif kept.content != trait.content and kept.content is not None:
                self._both(entry, name, kept, trait)
        for name, trait in found.circuit_traits.items():
            entry.circuit_traits.setdefault(name, trait)
        for name in _ADDED_WORDS:
            if name in found.words and name not in entry.words:
                entry.words[name] = found.words[name]
                entry.origins.setdefault(name, found.place(name))
        for name, origin in found.origins.items():
            entry.origins.setdefault(name, origin)
        entry.type_power = found.power or entry.type_power

    def _find(self, text: str) -> tuple[str, Entry | None]:
        """The type of a text: the whole of it, or its first word, such as 'A1 - downlight'."""
        first = re.split(r"[\s:,(]+|\s-\s", text, maxsplit=1)[0]
        for candidate in (text, first):
            code = folded_code(candidate)
            if code in self._by_code:
                return code, self._by_code[code]
        return "", None

    def _both(self, entry: Entry, name: str, ours: Trait, theirs: Trait) -> None:
        """A row and its type say different things: both are kept as a range, or none as known."""
        entry.driver[name] = Trait(hull(ours.content, theirs.content), origin=ours.origin)
        there = theirs.origin.text() if theirs.origin else "the type"
        what = f"the row and its luminaire type ({there}) say different things; both are reckoned with"
        self.told.grouped(what, ours.origin or entry.place(name))

    def tell(self, quantities: bool) -> None:
        """Tell of codes without a type, of types that nobody uses, and of counts that differ."""
        for text, places in self._missing.items():
            many = f" ({len(places)} rows, this is the first)" if len(places) > 1 else ""
            self.told.notes.append(
                f"{places[0].text()}: the luminaire type {shown(text)} is not in the list of types{many}; "
                "what it takes is not known."
            )
        unused = [entry for code, entry in self._by_code.items() if code not in self._used]
        if unused and self._used:
            names = listed(printable(entry.code) for entry in unused)
            self.told.notes.append(f"Luminaire types that no circuit uses: {names}.")
        for code, entry in self._by_code.items() if quantities else ():
            if code in self._used and entry.quantity and entry.quantity != self._used[code]:
                self.told.notes.append(
                    f"{entry.place('quantity').text()}: the list of types has {entry.quantity} of "
                    f"{shown(entry.code)}, the circuits have {self._used[code]}."
                )


def hull(first: Content, second: Content) -> Content:
    """The range that holds both figures; None for what is no figure."""
    if isinstance(first, Interval) and isinstance(second, Interval):
        return Interval(min(first.low, second.low), max(first.high, second.high))
    return None


def join_register(entries: Iterable[Entry], register: Sequence[Entry], told: Told) -> None:
    """Add what a list of circuits, such as a panel schedule, says of the circuits of the rows."""
    lookup: dict[str, Entry] = {}
    for entry in register:
        lookup.setdefault(folded_code(entry.circuit), entry)
    used = set[str]()
    add: Callable[[Entry, Entry], None] = _add_circuit
    for entry in entries:
        code = folded_code(entry.circuit)
        if code in lookup:
            used.add(code)
            add(entry, lookup[code])
    idle = [entry.circuit for code, entry in lookup.items() if code not in used]
    if idle and used:
        told.notes.append(f"Circuits of the list of circuits without luminaires: {listed(idle)}.")


def _add_circuit(entry: Entry, found: Entry) -> None:
    for name in ("room", "breaker", "line", "panel", "rcd", "output"):
        if name in found.words and name not in entry.words:
            entry.words[name] = found.words[name]
            entry.origins[name] = found.place(name)
    for name, trait in found.circuit_traits.items():
        entry.circuit_traits.setdefault(name, trait)
