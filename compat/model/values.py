"""A trait's value: an interval, a token, a yes or no, or a set; and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

# What a file may write beside a value; a usual value is filled in by the program only.
WrittenBasis = Literal[
    "standard", "published", "derived", "measured", "common_practice", "memory", "declared"
]
Basis = Literal[
    "standard", "published", "derived", "measured", "common_practice", "memory", "declared", "usual"
]
BASES: tuple[str, ...] = get_args(WrittenBasis)
BASIS_TEXT: dict[str, str] = {
    "standard": "standard",
    "published": "published, not a standard",
    "derived": "derived",
    "measured": "measured",
    "common_practice": "common practice, no source",
    "memory": "from memory",
    "declared": "declared by the user",
    "usual": "usual value, no proof",
}


@dataclass(frozen=True, slots=True)
class Interval:
    """A closed interval of finite numbers, ``low <= high``, in the unit of its trait's name."""

    low: float
    high: float

    def __reduce__(self) -> tuple[type[Interval], tuple[float, float]]:
        # Half the time of the general way; thousands are read at every start. So below.
        return Interval, (self.low, self.high)

    def is_exact(self) -> bool:
        """Whether both ends are the same number."""
        return self.low == self.high


@dataclass(frozen=True, slots=True)
class TokenSet:
    """What a set surely holds and what it may hold; ``sure`` is a subset of ``possible``."""

    sure: frozenset[str]
    possible: frozenset[str]

    @classmethod
    def exactly(cls, *tokens: str) -> TokenSet:
        """A set with nothing left open."""
        return cls(frozenset(tokens), frozenset(tokens))


Content: TypeAlias = "Interval | TokenSet | str | bool | None"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a value was written: a file, and in it a sheet and cell, or a line, or a key."""

    file: str
    sheet: str | None = None
    cell: str | None = None
    line: int | None = None
    key: str | None = None

    def __reduce__(self) -> tuple[type[Origin], tuple[object, ...]]:
        return Origin, (self.file, self.sheet, self.cell, self.line, self.key)

    def text(self) -> str:
        """The place in words, such as ``house.xlsx, sheet Circuits, cell F7``."""
        parts = [self.file]
        if self.sheet is not None:
            parts.append(f"sheet {self.sheet}")
        if self.cell is not None:
            parts.append(f"cell {self.cell}")
        if self.line is not None:
            parts.append(f"line {self.line}")
        if self.key is not None:
            parts.append(self.key)
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Trait:
    """One value with its basis, source and origin. ``content`` is None when it is not known.

    A figure of basis ``memory`` is kept in ``recalled`` and its content is None: it is shown
    but never decides, neither for nor against.
    """

    content: Content
    basis: Basis = "declared"
    source: str | None = None
    origin: Origin | None = None
    recalled: Content = None

    def __reduce__(self) -> tuple[type[Trait], tuple[object, ...]]:
        return Trait, (self.content, self.basis, self.source, self.origin, self.recalled)


UNKNOWN = Trait(None)
