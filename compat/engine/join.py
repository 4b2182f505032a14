"""Demands join allowances: the verdict of every circuit on every output, with the rule that decides it.

Two forms of one comparison. The loop serves little work, and runs where there is no database. The
database serves much work, by one fixed statement over two tables; nothing of a rule becomes SQL. A
property test holds the two equal.

A verdict and its deciding rule are one number, so that the greatest is the answer: the rank of the
verdict x 4096 + 4095 - the rule's place in telling order; 0 when every rule holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from compat.engine.subject import OUTPUT_PREFIX, CircuitSubject, OutputSubject, Pairing, Subject
from compat.model.values import Content, Interval
from compat.model.verdicts import VERDICTS, Verdict
from compat.rulebook.clauses import Clause, ClauseSide, Value
from compat.rulebook.nodes import names
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import CODES, NO, OR_ORDER, YES, rank_of

if TYPE_CHECKING:
    import duckdb

MOST_RULES = 4096
ALL_HOLD = 0
# With fewer pairings the loop is done before the database has loaded and planned its query
# (tests/bench/bench_pairing.py prints both).
PAIRINGS_WORTH_THE_DATABASE = 20_000


def key_of(code: int, breach: Verdict, place: int) -> int:
    """The key of a rule at a place in telling order, for a truth code."""
    rank = rank_of(code, breach)
    return rank * MOST_RULES + MOST_RULES - 1 - place if rank else ALL_HOLD


def verdict_and_place(key: int) -> tuple[Verdict, int | None]:
    """The verdict of a key and the place of the deciding rule, None when every rule holds."""
    if key == ALL_HOLD:
        return "works", None
    rank, rest = divmod(key, MOST_RULES)
    return VERDICTS[rank], MOST_RULES - 1 - rest


@dataclass(frozen=True, slots=True, eq=False)
class RuleClauses:
    """A rule by its place in telling order: its clauses, and its keys by truth code."""

    place: int
    clauses: tuple[Clause, ...]
    keys: tuple[int, ...]
    most: int

    @classmethod
    def at(cls, place: int, rule: ParsedRule) -> RuleClauses:
        """The rule at a place."""
        keys = tuple(key_of(code, rule.rule.breach, place) for code in CODES)
        return cls(place, rule.clauses, keys, max(keys))


def gravest_first(rules: Sequence[ParsedRule]) -> list[RuleClauses]:
    """The rules in the order of the gravest key each can give. Raises ValueError for too many."""
    if len(rules) > MOST_RULES:
        raise ValueError(f"{len(rules)} rules; at most {MOST_RULES} can be told apart")
    return sorted((RuleClauses.at(*entry) for entry in enumerate(rules)), key=lambda rule: -rule.most)


@dataclass(frozen=True, slots=True)
class _Alike:
    """Outputs, by place, that leave the same open of a rule: the clauses with their allowances."""

    places: list[int]
    clauses: tuple[tuple[Clause, ClauseSide], ...]
    first: OutputSubject

    def code(self, circuit: CircuitSubject) -> int:
        """The truth value of the rule for a circuit on any of these outputs."""
        code = YES
        for clause, allowance in self.clauses:
            # What needs both subjects at once is the same on alike outputs.
            code = min(code, clause.code(circuit.side(clause), allowance, Pairing(circuit, self.first).mixed))
        return code


class Allowances:
    """What outputs leave open of the rules, gravest rule first. Outputs that leave the same open of a rule
    stand together, so that a circuit is compared with each allowance once.
    """

    def __init__(self, rules: Sequence[RuleClauses], outputs: Sequence[OutputSubject]) -> None:
        self._count = len(outputs)
        self.open: list[tuple[RuleClauses, tuple[Clause, ...], list[_Alike]]] = []
        for rule in rules:
            groups = dict[object, _Alike]()
            for place, output in enumerate(outputs):
                sides = tuple((clause, output.side(clause)) for clause in rule.clauses)
                left = tuple(entry for entry in sides if entry[1].holds != YES)
                if left:
                    key = tuple((id(clause), side, _for_mixed(clause, output)) for clause, side in left)
                    groups.setdefault(key, _Alike([], left, output)).places.append(place)
            if groups:
                clauses = dict.fromkeys(clause for group in groups.values() for clause, _ in group.clauses)
                self.open.append((rule, tuple(clauses), list(groups.values())))

    def keys(self, circuit: CircuitSubject) -> list[int]:
        """The key of a circuit on each of the outputs."""
        found = [ALL_HOLD] * self._count
        for rule, clauses, groups in self.open:
            if rule.most <= min(found):
                break
            if all(circuit.side(clause).holds == YES for clause in clauses):
                continue
            for group in groups:
                if any(found[place] < rule.most for place in group.places):
                    key = rule.keys[group.code(circuit)]
                    for place in group.places:
                        found[place] = max(found[place], key)
        return found


def _for_mixed(clause: Clause, output: OutputSubject) -> tuple[Content, ...]:
    """What an output gives to the part of a clause that needs both subjects."""
    if clause.mixed is None:
        return ()
    return tuple(output.content(name) for name in names(clause.mixed) if name.startswith(OUTPUT_PREFIX))


def keys_of(
    circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject], rules: Sequence[ParsedRule]
) -> list[list[int]]:
    """For each circuit the key on each output, in their orders."""
    join = keys_by_loop
    if len(circuits) * len(outputs) >= PAIRINGS_WORTH_THE_DATABASE and _has_database():
        join = keys_by_database
    return join(circuits, outputs, rules)


def keys_by_loop(
    circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject], rules: Sequence[ParsedRule]
) -> list[list[int]]:
    """:func:`keys_of` without the database."""
    allowances = Allowances(gravest_first(rules), outputs)
    return [allowances.keys(circuit) for circuit in circuits]


def _has_database() -> bool:
    from importlib.util import find_spec

    return find_spec("duckdb") is not None


def keys_by_database(
    circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject], rules: Sequence[ParsedRule]
) -> list[list[int]]:
    """:func:`keys_of` by the fixed statement."""
    from compat.engine.database import locked_connection

    tables = ClauseTables(rules)
    with locked_connection() as connection:
        tables.fill(connection, circuits, outputs)
        found = connection.execute(VERDICT_KEYS).fetchall()
    keys = [[ALL_HOLD] * len(outputs) for _ in circuits]
    for circuit, output, key in found:
        keys[circuit][output] = key
    return keys


Row = tuple[Any, ...]
TERM_COLUMNS = {
    "term": "INTEGER",
    "clause": "INTEGER",
    "rule": "INTEGER",
    "kind": "VARCHAR",
    "demand_is_left": "BOOLEAN",
    "negated": "BOOLEAN",
    "needs_both": "BOOLEAN",
    "no_key": "INTEGER",
    "either_key": "INTEGER",
    "unknown_key": "INTEGER",
}
CODE_COLUMN = {"holds": "TINYINT"}
VALUE_COLUMNS = {"low": "DOUBLE", "high": "DOUBLE", "sure": "BIGINT", "possible": "BIGINT"}


@dataclass(frozen=True, slots=True, eq=False)
class _Term:
    """A comparison of a clause, or the clause itself where it has none."""

    number: int
    clause: Clause
    place: int | None
    row: Row


class ClauseTables:
    """The tables ``terms``, ``demands``, ``allowances`` and ``mixed`` of some rules."""

    def __init__(self, rules: Sequence[ParsedRule]) -> None:
        self._terms: list[_Term] = []
        self._mixed: list[tuple[int, Clause]] = []
        clause_number = 0
        for rule in sorted(gravest_first(rules), key=lambda rule: rule.place):
            no, unknown, either, _ = rule.keys
            needs_both = any(clause.mixed is not None for clause in rule.clauses)
            for clause in rule.clauses:
                for place in range(len(clause.comparisons)) if clause.comparisons else (None,):
                    row = (*_comparison_row(clause, place), needs_both, no, either, unknown)
                    number = len(self._terms)
                    self._terms.append(
                        _Term(number, clause, place, (number, clause_number, rule.place, *row))
                    )
                if clause.mixed is not None:
                    self._mixed.append((len(self._terms) - 1, clause))
                clause_number += 1

    def terms(self) -> list[Row]:
        """The rows of ``terms``, by ``TERM_COLUMNS``; the rule is its place in telling order."""
        return [term.row for term in self._terms]

    def rows(self, subject: Subject) -> Iterator[Row]:
        """Demands or allowances of a subject: term, holds, low, high, sure, possible.

        A clause that the subject makes hold by itself has no row.
        """
        for term in self._terms:
            side = subject.side(term.clause)
            if side.holds != YES:
                value = None if term.place is None else side.values[term.place]
                yield (term.number, OR_ORDER[side.holds], *_value_row(value))

    def fill(
        self,
        connection: duckdb.DuckDBPyConnection,
        circuits: Sequence[CircuitSubject],
        outputs: Sequence[OutputSubject],
    ) -> None:
        """Make the four tables in a database."""
        make = partial(_make_table, connection)
        make("terms", TERM_COLUMNS, self.terms())
        sides: list[tuple[str, str, Sequence[Subject]]]
        sides = [("demands", "circuit", circuits), ("allowances", "output", outputs)]
        for name, subject, members in sides:
            rows = [(index, *row) for index, member in enumerate(members) for row in self.rows(member)]
            make(name, {subject: "INTEGER", "term": "INTEGER", **CODE_COLUMN, **VALUE_COLUMNS}, rows)
        columns = {"circuit": "INTEGER", "output": "INTEGER", "term": "INTEGER", **CODE_COLUMN}
        make("mixed", columns, list(self.mixed_rows(circuits, outputs)))

    def mixed_rows(
        self, circuits: Sequence[CircuitSubject], outputs: Sequence[OutputSubject]
    ) -> Iterator[Row]:
        """The parts that need both subjects, for the pairings in which they can decide; none for a no,
        which decides nothing.
        """
        for number, clause in self._mixed:
            assert clause.mixed is not None
            alike = dict[object, list[int]]()
            for place, output in enumerate(outputs):
                if output.side(clause).holds != YES:
                    alike.setdefault(_for_mixed(clause, output), []).append(place)
            for circuit_index, circuit in enumerate(circuits):
                if circuit.side(clause).holds != YES:
                    for places in alike.values():
                        code = Pairing(circuit, outputs[places[0]]).mixed(clause.mixed)
                        if code != NO:
                            yield from ((circuit_index, place, number, OR_ORDER[code]) for place in places)


def _comparison_row(clause: Clause, place: int | None) -> Row:
    if place is None:
        return ("none", True, False)
    part = clause.comparisons[place]
    return ("set" if part.of_sets else "quantity", part.demand_is_left, part.negated)


def _value_row(value: Value) -> Row:
    if isinstance(value, Interval):
        return (value.low, value.high, None, None)
    return (None, None, *value) if value is not None else (None, None, None, None)


def _make_table(
    connection: duckdb.DuckDBPyConnection, name: str, columns: dict[str, str], rows: Sequence[Row]
) -> None:
    """Make a table of rows. Names are ours, never a user's text."""
    cells = ", ".join(f"unnest(?::{kind}[]) AS {column}" for column, kind in columns.items())
    values = [list(column) for column in zip(*rows, strict=True)] if rows else [[] for _ in columns]
    connection.execute(f"CREATE OR REPLACE TABLE {name} AS SELECT {cells}", values)


# Truth values are in the order in which ``or`` takes the greatest: 0 no, 1 either, 2 unknown, 3 yes.
# ``best`` and ``worst`` turn every comparison of quantities into one: best <= best holds for sure,
# worst > worst is broken for sure. The right side carries the tolerance of 1e-9. Circuits that ask the
# same by a rule are compared once, and so are outputs that allow the same; what needs both subjects at
# once is laid over the clauses of the pairings that are left open.
VERDICT_KEYS = """
WITH asking AS (
    SELECT rule, circuit, list({'term': term, 'holds': holds, 'sure': sure, 'possible': possible,
        'best': CASE WHEN demand_is_left THEN high ELSE -(low + 1e-9 * abs(low)) END,
        'worst': CASE WHEN demand_is_left THEN low ELSE -(high + 1e-9 * abs(high)) END} ORDER BY term) AS side
    FROM demands JOIN terms USING (term) GROUP BY rule, circuit
),
allowing AS (
    SELECT rule, output, list({'term': term, 'holds': holds, 'sure': sure, 'possible': possible,
        'best': CASE WHEN demand_is_left THEN low + 1e-9 * abs(low) ELSE -high END,
        'worst': CASE WHEN demand_is_left THEN high + 1e-9 * abs(high) ELSE -low END} ORDER BY term) AS side
    FROM allowances JOIN terms USING (term) GROUP BY rule, output
),
demand_sides AS MATERIALIZED (
    SELECT row_number() OVER () AS demand, side, list(circuit) AS circuits FROM asking GROUP BY rule, side
),
allowance_sides AS MATERIALIZED (
    SELECT row_number() OVER () AS allowance, side, list(output) AS outputs FROM allowing GROUP BY rule, side
),
asked AS (SELECT demand, unnest(side, recursive := true) FROM demand_sides),
allowed AS (SELECT allowance, unnest(side, recursive := true) FROM allowance_sides),
compared AS (
    SELECT demand, allowance, terms.*,
        greatest(asked.holds, allowed.holds, CASE kind
            WHEN 'quantity' THEN CASE
                WHEN asked.best <= allowed.best THEN IF(negated, 0, 3)
                WHEN asked.worst > allowed.worst THEN IF(negated, 3, 0)
                WHEN asked.best IS NULL OR allowed.best IS NULL THEN 2
                ELSE 1 END
            WHEN 'set' THEN CASE
                WHEN IF(demand_is_left, asked.possible & ~allowed.sure, allowed.possible & ~asked.sure) = 0
                    THEN IF(negated, 0, 3)
                WHEN IF(demand_is_left, asked.sure & ~allowed.possible, allowed.sure & ~asked.possible) <> 0
                    THEN IF(negated, 3, 0)
                ELSE 2 END
            ELSE 0 END)::TINYINT AS code
    FROM asked JOIN allowed USING (term) JOIN terms USING (term)
),
by_clause AS MATERIALIZED (
    SELECT demand, allowance, clause, max(term) AS term, max(code) AS code,
        any_value(needs_both) AS needs_both, any_value(rule) AS rule, any_value(no_key) AS no_key,
        any_value(either_key) AS either_key, any_value(unknown_key) AS unknown_key
    FROM compared GROUP BY demand, allowance, clause HAVING max(code) < 3
),
open_pairings AS (
    SELECT unnest(circuits) AS circuit, outputs, by_clause.* FROM by_clause
    JOIN demand_sides USING (demand) JOIN allowance_sides USING (allowance) WHERE needs_both
),
mixed_in AS (
    SELECT circuit, output, rule, no_key, either_key, unknown_key,
        greatest(code, coalesce(mixed.holds, 0))::TINYINT AS code
    FROM (SELECT unnest(outputs) AS output, * FROM open_pairings)
    LEFT JOIN mixed USING (circuit, output, term)
),
judged AS (
    SELECT unnest(circuits) AS circuit, outputs, key FROM (
        SELECT demand, allowance, {key} AS key FROM by_clause WHERE NOT needs_both
        GROUP BY demand, allowance, rule
    ) JOIN demand_sides USING (demand) JOIN allowance_sides USING (allowance)
),
pairings AS (
    SELECT circuit, unnest(outputs) AS output, key FROM judged
    UNION ALL
    SELECT circuit, output, {key} FROM mixed_in GROUP BY circuit, output, rule
)
SELECT circuit, output, max(key) AS key FROM pairings GROUP BY circuit, output
""".replace(
    "{key}",
    # The least of the clauses, where an unknown is less than an either.
    """CASE min(CASE code WHEN 1 THEN 2 WHEN 2 THEN 1 ELSE code END)
            WHEN 0 THEN any_value(no_key) WHEN 1 THEN any_value(unknown_key)
            WHEN 2 THEN any_value(either_key) ELSE 0 END""",
)
