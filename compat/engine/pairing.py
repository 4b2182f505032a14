"""Every circuit against every output, in the database: the key of each pairing.

Parts of a rule that need only the circuit are computed once a circuit, parts that need only the
output once an output. Outputs are grouped by the rules that can apply to them at all, so that a
pairing meets only those.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import duckdb

from compat.engine.keys import MOST_RULES, key_sql
from compat.engine.separable import compared_sql, left_side, right_side
from compat.rulebook import nodes
from compat.rulebook.nodes import Node, TruthNode
from compat.rulebook.rules import ParsedRule
from compat.rulebook.sql import Stage
from compat.rulebook.truth import NO, YES

TRUE = nodes.Always(True)
CIRCUIT, OUTPUT, MIXED = "circuit", "output", "mixed"
# Planning an arm costs some milliseconds, so there are few for little work and never many.
MOST_GROUPS = 12
PAIRINGS_WORTH_AN_ARM = 50_000


@dataclass(frozen=True, slots=True)
class Compared:
    """A separable rule in the pairing stage: three columns of each side."""

    sql: str
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Term:
    """A rule in the pairing stage, and the output column that says whether it applies at all."""

    rule: ParsedRule
    place: int
    compared: Compared | None
    needed: str | None


class PairingPlan:
    """The compiled rulebook: build once, run on any circuits and outputs tables."""

    def __init__(self, rules: Sequence[ParsedRule]) -> None:
        if len(rules) > MOST_RULES:
            raise ValueError(f"{len(rules)} rules; the engine takes at most {MOST_RULES}")
        self.rules = tuple(rules)
        self._circuits, self._outputs = Stage("c"), Stage("o")
        self._hoisted: dict[Node, tuple[str, ...]] = {}
        self._terms: list[Term] = []
        self._circuit_alone: list[tuple[str, str]] = []
        for place, rule in enumerate(self.rules):
            if OUTPUT in sides(rule.condition):
                self._terms.append(self._term(rule, place))
            else:
                code = self._circuits.truth(rule.condition)
                self._circuit_alone.append((code, key_sql(code, rule.rule.breach, place)))

    def names(self, side: str) -> list[str]:
        """The traits that the frame of one side must carry."""
        used = dict.fromkeys(name for rule in self.rules for name in rule.names)
        return [name for name in used if side_of(name) == side]

    def run(self, connection: duckdb.DuckDBPyConnection, target: str = "pairings") -> None:
        """Make the table ``target`` (circuit_index, output_index, key) from circuits and outputs."""
        self.stage(connection)
        columns = "circuit_index INTEGER, output_index INTEGER, key SMALLINT"
        connection.execute(f"CREATE OR REPLACE TABLE {target} ({columns})")
        _run_together(connection, [f"INSERT INTO {target} {arm}" for arm in self.arms(connection)])

    def stage(self, connection: duckdb.DuckDBPyConnection) -> None:
        """Compute the columns of each side into ``staged_circuits`` and ``staged_outputs``."""
        wanted = self._wanted()
        queries = []
        for side, stage, alone in (
            (CIRCUIT, self._circuits, self._circuit_alone),
            (OUTPUT, self._outputs, []),
        ):
            # Only what the pairing reads: a narrow table keeps its queries quick to plan.
            columns = [f"{side}_index", *(c for c in wanted if c.startswith(stage.prefix))]
            source = stage.over(f"{side}s", [*columns, *(code for code, _ in alone)])
            key = greatest([key for _, key in alone])
            selected = f"SELECT {', '.join(columns)}, {key} AS {side}_key FROM {source}"
            queries.append(f"CREATE OR REPLACE TABLE staged_{side}s AS {selected}")
        _run_together(connection, queries)

    def _wanted(self) -> list[str]:
        """The staged columns that the pairing stage reads, each once."""
        wanted: dict[str, None] = {}
        for term in self._terms:
            wanted |= dict.fromkeys(self._columns(term))
            if term.needed and "::" not in term.needed:
                wanted[term.needed] = None
        return list(wanted)

    def _columns(self, term: Term) -> list[str]:
        """The staged columns of one rule; a literal is not a column."""
        if term.compared:
            return list(term.compared.columns)
        nodes_below = nodes.walk(term.rule.condition)
        return [
            column for node in nodes_below for column in self._hoisted.get(node, ()) if "::" not in column
        ]

    def arms(self, connection: duckdb.DuckDBPyConnection) -> list[str]:
        """The queries over the staged tables: one for each group of outputs alike in their rules."""
        (pairings,) = connection.execute(
            "SELECT (SELECT count(*) FROM staged_circuits) * (SELECT count(*) FROM staged_outputs)"
        ).fetchall()[0]
        most = max(1, min(MOST_GROUPS, pairings // PAIRINGS_WORTH_AN_ARM))
        return [self._arm(terms, members) for terms, members in self._groups(connection, most)]

    def _arm(self, terms: Sequence[int], members: Sequence[int]) -> str:
        """One query: only the columns its rules need, so that it is planned quickly."""
        pairs, keys = Stage("p", self._hoisted, inline=True), ["circuit_key"]
        for term in (self._terms[index] for index in terms):
            if term.compared:
                keys.append(term.compared.sql)
            else:
                condition = term.rule.condition
                keys.append(key_sql(pairs.truth(condition), term.rule.rule.breach, term.place))
        outputs = f"(FROM staged_outputs WHERE output_index IN ({', '.join(map(str, members))}))"
        return (
            f"SELECT circuit_index, output_index, {greatest(keys)} FROM staged_circuits CROSS JOIN {outputs}"
        )

    def _groups(self, connection: duckdb.DuckDBPyConnection, most: int) -> list[tuple[list[int], list[int]]]:
        """The terms that can apply, and the outputs they are for; rare groups are put together."""
        columns = ", ".join(f"{term.needed or YES} <> {NO}" for term in self._terms)
        rows = connection.execute(f"SELECT output_index, {columns} FROM staged_outputs ORDER BY 1").fetchall()
        groups: dict[frozenset[int], list[int]] = {}
        for index, *needed in rows:
            groups.setdefault(frozenset(term for term, need in enumerate(needed) if need), []).append(index)
        while len(groups) > most:
            (first, some), (second, more) = sorted(
                groups.items(), key=lambda group: (len(group[1]), group[1])
            )[:2]
            del groups[first], groups[second]
            groups[first | second] = groups.get(first | second, []) + some + more
        return [(sorted(terms), sorted(members)) for terms, members in groups.items()]

    def _term(self, rule: ParsedRule, place: int) -> Term:
        parts: dict[str, TruthNode] = {CIRCUIT: TRUE, OUTPUT: TRUE, MIXED: TRUE}
        for part in conjuncts(rule.applies):
            owner = sides(part)
            key = OUTPUT if owner == {OUTPUT} else MIXED if OUTPUT in owner else CIRCUIT
            parts[key] = part if parts[key] is TRUE else nodes.Both(parts[key], part)
        needed = None if parts[OUTPUT] is TRUE else self._outputs.truth(parts[OUTPUT])
        compared = self._compared(rule, place, parts) if parts[MIXED] is TRUE else None
        if compared is None:
            self._hoist(rule.condition)
        return Term(rule, place, compared, needed)

    def _compared(self, rule: ParsedRule, place: int, parts: dict[str, TruthNode]) -> Compared | None:
        """The separable form of a rule, None when neither side of its test is one subject's."""
        test, breach = rule.test, rule.rule.breach
        if not isinstance(test, nodes.AtMost):
            return None
        left, right = sides(test.left), sides(test.right)
        if OUTPUT not in left and right <= {OUTPUT}:
            lesser = left_side(self._circuits, test.left, parts[CIRCUIT], breach, place)
            greater = right_side(self._outputs, test.right, parts[OUTPUT], breach, place)
        elif OUTPUT not in right and left <= {OUTPUT}:
            lesser = left_side(self._outputs, test.left, parts[OUTPUT], breach, place)
            greater = right_side(self._circuits, test.right, parts[CIRCUIT], breach, place)
        else:
            return None
        return Compared(compared_sql(lesser, greater, breach, place), (*lesser.columns(), *greater.columns()))

    def _hoist(self, node: Node) -> None:
        """Give the pairing stage every largest part that one side can compute by itself."""
        owner = sides(node)
        if OUTPUT in owner and owner != {OUTPUT}:
            for child in nodes.children(node):
                self._hoist(child)
            return
        stage = self._outputs if owner == {OUTPUT} else self._circuits
        match node:
            case nodes.Number() | nodes.Tokens() | nodes.Always():
                return
            case nodes.QuantityName() | nodes.Arithmetic() | nodes.Extreme():
                self._hoisted[node] = stage.quantity(node)
            case nodes.TokensName():
                self._hoisted[node] = stage.tokens(node)
            case _:
                self._hoisted[node] = (stage.truth(node),)


def _run_together(connection: duckdb.DuckDBPyConnection, queries: Sequence[str]) -> None:
    """Plan and run each query on a cursor of its own, so that the cores share the work."""
    if len(queries) == 1:
        connection.execute(queries[0])
        return
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as workers:
        list(workers.map(lambda query: connection.cursor().execute(query), queries))


def side_of(name: str) -> str:
    """The side that carries a trait; what is not the output's goes with the circuit."""
    return OUTPUT if name.startswith("output.") else CIRCUIT


def sides(node: Node) -> set[str]:
    """The sides a node needs."""
    return {side_of(name) for name in nodes.names(node)}


def conjuncts(node: TruthNode) -> list[TruthNode]:
    """The parts that a condition joins with ``and``."""
    if isinstance(node, nodes.Both):
        return conjuncts(node.left) + conjuncts(node.right)
    return [node]


def greatest(keys: Sequence[str]) -> str:
    """SQL of the greatest key."""
    return f"greatest({', '.join(keys)})" if len(keys) > 1 else (keys[0] if keys else "0::SMALLINT")
