"""Expressions compiled to SQL over interval columns, layer by layer.

The columns of the frame are taken as :func:`base_values` makes them: a quantity is a finite interval
in order or NULL at both ends, an unknown set has no sure and every possible bit.

Every computed node becomes one column, placed one layer above the columns it needs, so the text
grows with the number of nodes and never with their nesting. Only aliases made here, column names
of the vocabulary and numbers printed by this module reach the text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import isfinite

from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import TraitDefinition
from compat.rulebook import nodes, truth
from compat.rulebook.nodes import Node, QuantityNode, TokensNode, TruthNode
from compat.rulebook.reference import TOLERANCE
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES

Pair = tuple[str, str]
Cell = float | int | bool | None
INFINITE = "'infinity'::DOUBLE"
MINUS_INFINITE = "'-infinity'::DOUBLE"


def number(value: float) -> str:
    """A double literal that the database reads back to the same bits."""
    return f"{value:.17e}::DOUBLE"


def slackened(column: str) -> str:
    """The SQL of the reference's ``slackened``: the same operations in the same order."""
    return f"{column} + {number(TOLERANCE)} * abs({column})"


def base_columns(name: str, kind: str) -> tuple[str, ...]:
    """The columns in which a frame carries a trait, such as ``circuit_input_power_w_low``."""
    stem = name.replace(".", "_")
    if kind == "quantity":
        return (f"{stem}_low", f"{stem}_high")
    if kind in ("choice", "set"):
        return (f"{stem}_sure", f"{stem}_possible")
    return (stem,)


def base_values(
    content: Content, trait: TraitDefinition, bits: Mapping[tuple[str, str], int]
) -> tuple[Cell, ...]:
    """A content as the cells of its :func:`base_columns`."""
    if trait.kind == "quantity":
        if (
            isinstance(content, Interval)
            and content.low <= content.high
            and isfinite(content.low)
            and isfinite(content.high)
        ):
            return content.low, content.high
        return None, None
    if trait.kind == "yes_no":
        return (content if isinstance(content, bool) else None,)
    if isinstance(content, str):
        bit = bits[trait.choices, content]
        return bit, bit
    if isinstance(content, TokenSet):
        sure, possible = (
            sum(bits[trait.choices, token] for token in tokens) for tokens in (content.sure, content.possible)
        )
        return sure, possible
    return 0, sum(bit for (choices, _), bit in bits.items() if choices == trait.choices)


@dataclass(slots=True)
class Stage:
    """Columns computed over one relation. ``given`` maps nodes to columns already there."""

    prefix: str
    given: Mapping[Node, tuple[str, ...]] = field(default_factory=dict)
    _columns: dict[Node, tuple[str, ...]] = field(default_factory=dict)
    _heights: dict[str, int] = field(default_factory=dict)
    _needs: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _sql: dict[str, str] = field(default_factory=dict)
    inline: bool = False

    def quantity(self, node: QuantityNode) -> Pair:
        """The low and high columns of a quantity; both NULL where it is not known."""
        found = self._found(node)
        if found is None:
            found = self._remember(node, self._quantity(node))
        return found[0], found[1]

    def tokens(self, node: TokensNode) -> Pair:
        """The columns of the bits surely and possibly in a set."""
        if isinstance(node, nodes.Tokens):
            return f"{node.mask}::INTEGER", f"{node.mask}::INTEGER"
        found = self._found(node)
        if found is None:
            found = self._remember(node, base_columns(node.name, "set"))
        return found[0], found[1]

    def truth(self, node: TruthNode) -> str:
        """The column with the truth code of a condition."""
        found = self._found(node)
        if found is None:
            found = self._remember(node, (self._truth(node),))
        return found[0]

    def add(self, sql: str, *needs: str) -> str:
        """A new column computed from the columns ``needs``; returns its alias, or inline its text."""
        if self.inline:
            return f"({sql})"
        height = 1 + max((self._heights.get(column, 0) for column in needs), default=0)
        alias = f"{self.prefix}{len(self._sql)}"
        self._sql[alias] = sql
        self._needs[alias] = tuple(column for column in needs if "::" not in column)
        self._heights[alias] = height
        return alias

    def over(self, relation: str, wanted: Iterable[str]) -> str:
        """The SQL text of a relation with the ``wanted`` columns, ours and the relation's own.

        Each layer carries only what the layers above it read, so that the query is quick to plan.
        """
        wanted = list(dict.fromkeys(column for column in wanted if "::" not in column))
        carried: list[list[str]] = []
        level = max((self._heights.get(column, 0) for column in wanted), default=0)
        for height in range(level, 0, -1):
            carried.append(wanted)
            here = [column for column in wanted if self._heights.get(column, 0) == height]
            below = [column for column in wanted if self._heights.get(column, 0) < height]
            wanted = list(dict.fromkeys([*below, *(need for column in here for need in self._needs[column])]))
        text = f"(SELECT {', '.join(wanted)} FROM {relation})" if wanted else relation
        for height, columns in enumerate(reversed(carried), start=1):
            cells = [
                f"{self._sql[column]} AS {column}" if self._heights.get(column, 0) == height else column
                for column in columns
            ]
            text = f"(SELECT {', '.join(cells)} FROM {text})"
        return text

    def _found(self, node: Node) -> tuple[str, ...] | None:
        return self.given.get(node) or self._columns.get(node)

    def _remember(self, node: Node, columns: tuple[str, ...]) -> tuple[str, ...]:
        self._columns[node] = columns
        return columns

    def _quantity(self, node: QuantityNode) -> Pair:
        match node:
            case nodes.Number():
                return number(node.value), number(node.value)
            case nodes.QuantityName():
                low, high = base_columns(node.name, "quantity")
                return low, high
            case nodes.Extreme():
                (ll, lh), (rl, rh) = self.quantity(node.left), self.quantity(node.right)
                pick = "least" if node.which == "min" else "greatest"
                # least and greatest skip NULL, so an unknown is kept by hand.
                known = f"{ll} IS NULL OR {rl} IS NULL"
                return (
                    self.add(f"CASE WHEN {known} THEN NULL ELSE {pick}({ll}, {rl}) END", ll, rl),
                    self.add(f"CASE WHEN {known} THEN NULL ELSE {pick}({lh}, {rh}) END", ll, rl, lh, rh),
                )
            case nodes.Arithmetic():
                return self._arithmetic(node)

    def _arithmetic(self, node: nodes.Arithmetic) -> Pair:
        (ll, lh), (rl, rh) = self.quantity(node.left), self.quantity(node.right)
        needs = (ll, lh, rl, rh)
        if node.operator == "+":
            return self._finite(self.add(f"{ll} + {rl}", *needs), self.add(f"{lh} + {rh}", *needs))
        if node.operator == "-":
            return self._finite(self.add(f"{ll} - {rh}", *needs), self.add(f"{lh} - {rl}", *needs))
        corners = ", ".join(f"{a} {node.operator} {b}" for a in (ll, lh) for b in (rl, rh))
        # Any NULL operand makes all four corners NULL, so that least and greatest give NULL too.
        least, greatest = f"least({corners})", f"greatest({corners})"
        if node.operator == "/":
            zero = f"{rl} <= 0 AND {rh} >= 0"
            least, greatest = (f"CASE WHEN {zero} THEN NULL ELSE {pick} END" for pick in (least, greatest))
        return self._finite(self.add(least, *needs), self.add(greatest, *needs))

    def _finite(self, low: str, high: str) -> Pair:
        known = f"isfinite({low}) AND isfinite({high}) AND {low} <= {high}"
        return (
            self.add(f"CASE WHEN {known} THEN {low} END", low, high),
            self.add(f"CASE WHEN {known} THEN {high} END", low, high),
        )

    def _truth(self, node: TruthNode) -> str:
        match node:
            case nodes.Always():
                return f"{YES if node.value else NO}::TINYINT"
            case nodes.YesNoName():
                (column,) = base_columns(node.name, "yes_no")
                return self._code(
                    f"CASE WHEN {column} THEN {YES} WHEN NOT {column} THEN {NO} ELSE {UNKNOWN} END", column
                )
            case nodes.AtMost():
                (ll, lh), (rl, rh) = self.quantity(node.left), self.quantity(node.right)
                return self._code(
                    f"CASE WHEN {lh} <= {slackened(rl)} THEN {YES} WHEN {ll} > {slackened(rh)} THEN {NO} "
                    f"WHEN {ll} IS NULL OR {rl} IS NULL THEN {UNKNOWN} ELSE {EITHER} END",
                    *(ll, lh, rl, rh),
                )
            case nodes.Within():
                (ls, lp), (rs, rp) = self.tokens(node.left), self.tokens(node.right)
                return self._code(within(ls, lp, rs, rp), ls, lp, rs, rp)
            case nodes.Not():
                part = self.truth(node.part)
                return self._code(negated(part), part)
            case nodes.Both():
                left, right = self.truth(node.left), self.truth(node.right)
                return self._code(f"least({left}, {right})", left, right)
            case nodes.Either():
                left, right = self.truth(node.left), self.truth(node.right)
                return self._code(either(left, right), left, right)

    def _code(self, sql: str, *needs: str) -> str:
        return self.add(f"({sql})::TINYINT", *needs)


def within(left_sure: str, left_possible: str, right_sure: str, right_possible: str) -> str:
    """SQL of ``every member of left is in right`` over set columns."""
    return (
        f"CASE WHEN ({left_possible} & ~{right_sure}) = 0 THEN {YES} "
        f"WHEN ({left_sure} & ~{right_possible}) <> 0 THEN {NO} ELSE {UNKNOWN} END"
    )


def negated(code: str) -> str:
    """SQL of the contrary of a truth code."""
    return f"({NEGATED} >> (2 * {code})) & 3"


def either(left: str, right: str) -> str:
    """SQL of ``or`` over truth codes."""
    return f"({EITHER_TABLE} >> (8 * {left} + 2 * {right})) & 3"


def _packed(entries: Iterable[int]) -> str:
    """A table of two-bit entries in one number, so that a look-up names each operand once."""
    return f"{sum(entry << (2 * place) for place, entry in enumerate(entries))}::BIGINT"


CODES = (NO, UNKNOWN, EITHER, YES)
NEGATED = _packed(truth.negated(code) for code in CODES)
EITHER_TABLE = _packed(truth.either(left, right) for left in CODES for right in CODES)
