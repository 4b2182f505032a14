"""The vocabulary: every trait, unit and choice that a table, a rule or a schedule may use."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, cast

Kind = Literal["quantity", "choice", "yes_no", "set"]
Subject = Literal[
    "driver",
    "circuit",
    "line",
    "output",
    "supply",
    "breaker",
    "cable",
    "source_impedance",
    "system",
    "house",
]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: ``factor`` turns a figure in it into the base unit of its dimension."""

    name: str
    symbol: str
    dimension: str
    factor: float


@dataclass(frozen=True, slots=True)
class TraitDefinition:
    """One named property of a subject. ``gather`` says how a circuit gets it from its rows.

    ``overrides`` names the traits of the same subject whose generic figures fall when this one is stated.
    """

    subject: str
    name: str
    kind: Kind
    unit: str
    choices: str
    gather: str
    gathered_from: str
    label: str
    meaning: str
    where_to_find: str
    overrides: tuple[str, ...] = ()

    @property
    def full_name(self) -> str:
        """``subject.name`` as rules write it."""
        return f"{self.subject}.{self.name}"


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All traits by full name, units by name, and choices as list -> value -> symbol."""

    traits: dict[str, TraitDefinition]
    units: dict[str, Unit]
    choices: dict[str, dict[str, str]]
    bits: dict[tuple[str, str], int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """``bits`` holds the bit of each token of each choice list, in the order of the list."""
        bits = {
            (name, token): 1 << index
            for name, tokens in self.choices.items()
            for index, token in enumerate(tokens)
        }
        object.__setattr__(self, "bits", bits)

    def bit_of(self, choices: str, token: str) -> int:
        """The bit of a token of a choice list. Raises KeyError."""
        return self.bits[choices, token]

    def of_subject(self, subject: str) -> Iterator[TraitDefinition]:
        """The traits of one subject, in the order of the table."""
        return (trait for trait in self.traits.values() if trait.subject == subject)

    def values_of(self, trait: TraitDefinition) -> tuple[str, ...]:
        """The tokens a choice or set may hold, in the order of the table; the bit order of sets."""
        return tuple(self.choices[trait.choices])

    def symbol(self, token: str, choices: str) -> str:
        """A token as people write it, such as ``forward phase``."""
        return self.choices[choices].get(token, token)

    def unit_symbol(self, unit: str) -> str:
        """``W`` for ``w``; empty for counts and ratios."""
        return self.units[unit].symbol if unit else ""


def read_vocabulary(folder: Path) -> Vocabulary:
    """Read ``units.csv``, ``choices.csv`` and ``traits.csv`` of a dataset's vocabulary folder.

    Raises OSError when a file is missing and KeyError when a column is.
    """
    units = {
        row["unit"]: Unit(row["unit"], row["symbol"], row["dimension"], float(row["factor"]))
        for row in _rows(folder / "units.csv")
    }
    choices: dict[str, dict[str, str]] = {}
    for row in _rows(folder / "choices.csv"):
        choices.setdefault(row["list"], {})[row["value"]] = row["symbol"]
    traits: dict[str, TraitDefinition] = {}
    for row in _rows(folder / "traits.csv"):
        trait = TraitDefinition(
            subject=row["subject"],
            name=row["name"],
            kind=cast(Kind, row["kind"]),
            unit=row["unit"],
            choices=row["list"],
            gather=row["gather"],
            gathered_from=row["of"],
            label=row["label"],
            meaning=row["meaning"],
            where_to_find=row["where_to_find"],
            # An edition from before there was the column has none.
            overrides=tuple(name.strip() for name in (row.get("overrides") or "").split(";") if name.strip()),
        )
        traits[trait.full_name] = trait
    return Vocabulary(traits, units, choices)


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
