"""The typed tree of an expression. Every node is immutable, so equal parts are computed once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from compat.rulebook.units import Measure


@dataclass(frozen=True, slots=True)
class Number:
    """A literal in ``measure``."""

    value: float
    measure: Measure


@dataclass(frozen=True, slots=True)
class QuantityName:
    """A trait of kind quantity."""

    name: str
    measure: Measure


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """``left operator right``."""

    operator: Literal["+", "-", "*", "/"]
    left: QuantityNode
    right: QuantityNode
    measure: Measure


@dataclass(frozen=True, slots=True)
class Extreme:
    """The least or the greatest of two quantities."""

    which: Literal["min", "max"]
    left: QuantityNode
    right: QuantityNode
    measure: Measure


@dataclass(frozen=True, slots=True)
class Tokens:
    """Literal tokens of one choice list, as bits in the order of the list."""

    mask: int
    choices: str
    text: str


@dataclass(frozen=True, slots=True)
class TokensName:
    """A trait of kind choice or set; ``all_mask`` has the bit of every token of its list."""

    name: str
    choices: str
    all_mask: int


@dataclass(frozen=True, slots=True)
class Always:
    """A condition that is true or false by itself."""

    value: bool


@dataclass(frozen=True, slots=True)
class YesNoName:
    """A trait of kind yes_no."""

    name: str


@dataclass(frozen=True, slots=True)
class AtMost:
    """``left <= right``, with the stated tolerance on the right."""

    left: QuantityNode
    right: QuantityNode


@dataclass(frozen=True, slots=True)
class Within:
    """Every member of ``left`` is in ``right``."""

    left: TokensNode
    right: TokensNode


@dataclass(frozen=True, slots=True)
class Not:
    """The contrary."""

    part: TruthNode


@dataclass(frozen=True, slots=True)
class Both:
    """``left and right``."""

    left: TruthNode
    right: TruthNode


@dataclass(frozen=True, slots=True)
class Either:
    """``left or right``."""

    left: TruthNode
    right: TruthNode


QuantityNode: TypeAlias = "Number | QuantityName | Arithmetic | Extreme"
TokensNode: TypeAlias = "Tokens | TokensName"
TruthNode: TypeAlias = "Always | YesNoName | AtMost | Within | Not | Both | Either"
Node: TypeAlias = "QuantityNode | TokensNode | TruthNode"


def children(node: Node) -> tuple[Node, ...]:
    """The direct parts of a node."""
    match node:
        case Arithmetic() | Extreme() | AtMost() | Within() | Both() | Either():
            return (node.left, node.right)
        case Not():
            return (node.part,)
        case _:
            return ()


def walk(node: Node) -> Iterator[Node]:
    """The node and all below it, parents first."""
    yield node
    for child in children(node):
        yield from walk(child)


def names(node: Node) -> list[str]:
    """The traits a node uses, each once, in reading order."""
    found = (part.name for part in walk(node) if isinstance(part, QuantityName | TokensName | YesNoName))
    return list(dict.fromkeys(found))
