"""Many lines at once in the database: rows joined by line, physics, and the key of each line.

Tables in: ``members`` (line_index, quantity, driver_index, kind_index and the columns of the driver
traits) and ``lines`` (line_index and the columns of what is stated for the whole). No aggregate may
skip a NULL: one unknown row makes the result of its line NULL. Tests hold the keys equal to those of
the plain-Python form in ``lines``.
"""

from __future__ import annotations

from collections.abc import Sequence

import duckdb

from compat.dataset.read import Dataset
from compat.engine.frames import columns_of
from compat.engine.handover import columns_into_database, locked_connection
from compat.engine.joining import kind_of
from compat.engine.keys import key_sql
from compat.engine.line_computed import NEEDS
from compat.engine.line_computed_sql import EXTREMES, computed_ends, ends, universes_sql
from compat.engine.lines import Line, is_of_line
from compat.engine.pairing import greatest
from compat.engine.site import Site
from compat.model.vocabulary import TraitDefinition, Vocabulary
from compat.rulebook.rules import ParsedRule
from compat.rulebook.sql import Stage, base_columns

LEVEL_ERROR = "level_error_percent"
UNIVERSES = "dmx_universes_needed"


class LinesPlan:
    """The compiled rules about lines: build once, run on any ``members`` and ``lines`` tables."""

    def __init__(self, rules: Sequence[ParsedRule], vocabulary: Vocabulary) -> None:
        self.rules = tuple(rule for rule in rules if is_of_line(rule))
        self.vocabulary = vocabulary
        used = dict.fromkeys(name for rule in self.rules for name in rule.names)
        needed = [f"line.{part}" for name in used for part in NEEDS.get(name.removeprefix("line."), ())]
        names = dict.fromkeys([*used, *needed, "line.driver_count"])
        self._traits = [vocabulary.traits[name] for name in names]

    def driver_names(self) -> list[str]:
        """The driver traits that ``members`` must carry."""
        joined = [trait.gathered_from for trait in self._joined() if trait.gathered_from]
        extremes = list(EXTREMES.values()) if LEVEL_ERROR in self._computed() else []
        slots = ["driver.dmx_slots"] if UNIVERSES in self._computed() else []
        return list(dict.fromkeys([*joined, *extremes, *slots]))

    def stated_names(self) -> list[str]:
        """The traits that ``lines`` must carry: what is stated for the whole, and those of the site."""
        return [t.full_name for t in self._traits if t.subject != "line" or t.gather == "line"]

    def run(self, connection: duckdb.DuckDBPyConnection, target: str = "line_keys") -> None:
        """Make the table ``target`` (line_index, key): the gravest finding of each line."""
        stage = Stage("b")
        keys = [
            key_sql(stage.truth(rule.condition), rule.rule.breach, place)
            for place, rule in enumerate(self.rules)
        ]
        codes = [stage.truth(rule.condition) for rule in self.rules]
        over = stage.over(f"({self._values_sql()})", ["line_index", *codes])
        connection.execute(
            f"CREATE OR REPLACE TABLE {target} AS SELECT line_index, {greatest(keys)} AS key FROM {over}"
        )

    def _joined(self) -> list[TraitDefinition]:
        return [t for t in self._traits if t.subject == "line" and t.gather not in ("line", "computed")]

    def _computed(self) -> list[str]:
        wanted = [t.name for t in self._traits if t.subject == "line" and t.gather == "computed"]
        return [*wanted, "voltage_rise_v"] if LEVEL_ERROR in wanted else wanted

    def _values_sql(self) -> str:
        """A query with every column that the rules read, one row a line."""
        cells = [cell for trait in self._joined() for cell in _aggregates(trait)]
        wanted = self._computed()
        if LEVEL_ERROR in wanted:
            cells += [cell for name, trait in EXTREMES.items() for cell in _extremes(name, trait)]
        text = f"SELECT line_index, {', '.join(cells)} FROM members GROUP BY line_index"
        text = f"SELECT * FROM lines JOIN ({text}) USING (line_index)"
        bit = self.vocabulary.bits["current_direction", "sources"]
        # In order: the error of the level reads the columns of the rise.
        for name, (low, high) in computed_ends(bit).items():
            if name in wanted:
                columns = ends(name)
                text = f"SELECT *, {_finite(low, high, columns)} FROM ({text})"
        if UNIVERSES in wanted:
            text = f"SELECT * FROM ({text}) JOIN {universes_sql()} USING (line_index)"
        return text


def line_keys(lines: Sequence[Line], site: Site, dataset: Dataset, rules: Sequence[ParsedRule]) -> list[int]:
    """The key of each line, in order; see :mod:`compat.engine.keys`."""
    if not lines:
        return []
    plan = LinesPlan(rules, dataset.vocabulary)
    connection = locked_connection()
    try:
        fill(connection, plan, lines, site, dataset.vocabulary)
        plan.run(connection)
        rows = connection.execute("SELECT key FROM line_keys ORDER BY line_index").fetchall()
    finally:
        connection.close()
    return [key for (key,) in rows]


def fill(
    connection: duckdb.DuckDBPyConnection,
    plan: LinesPlan,
    lines: Sequence[Line],
    site: Site,
    vocabulary: Vocabulary,
) -> None:
    """Make the tables ``members`` and ``lines`` of some lines."""
    placed = [(place, member) for place, line in enumerate(lines) for member in line.members]
    contents = [
        {f"driver.{name}": trait.content for name, trait in member.traits.items()} for _, member in placed
    ]
    columns = columns_of(contents, plan.driver_names(), vocabulary, "member_index")
    kinds: dict[object, int] = {}
    drivers: dict[str, int] = {}
    columns["line_index"] = ("INTEGER", [place for place, _ in placed])
    columns["quantity"] = ("BIGINT", [member.row.quantity for _, member in placed])
    columns["driver_index"] = (
        "INTEGER",
        [drivers.setdefault(m.row.driver_id, len(drivers)) if m.row.driver_id else None for _, m in placed],
    )
    columns["kind_index"] = ("INTEGER", [kinds.setdefault(kind_of(m), len(kinds)) for _, m in placed])
    columns_into_database(connection, "members", columns)
    given = {
        f"{subject}.{name}": trait.content
        for subject in ("supply", "cable", "source_impedance")
        for name, trait in site.traits(subject).items()
    }
    stated = columns_of(
        [{**line.values, **given} for line in lines], plan.stated_names(), vocabulary, "line_index"
    )
    columns_into_database(connection, "lines", stated)


def _aggregates(trait: TraitDefinition) -> list[str]:
    """The columns of a joined trait over the rows of a line."""
    columns = base_columns(trait.full_name, trait.kind)
    if trait.gather == "count":
        return [f"sum(quantity)::DOUBLE AS {column}" for column in columns]
    if trait.gather == "types":
        surely = "greatest(1, count(DISTINCT driver_index))"
        return [
            f"{surely}::DOUBLE AS {columns[0]}",
            f"greatest({surely}, count(DISTINCT kind_index))::DOUBLE AS {columns[1]}",
        ]
    sources = base_columns(trait.gathered_from, "set" if trait.kind == "set" else trait.kind)
    if trait.kind == "set":
        join = "bit_or" if trait.gather == "some" else "bit_and"
        return [f"{join}({source}) AS {column}" for source, column in zip(sources, columns, strict=True)]
    if trait.kind == "yes_no":
        return [f"{_yes_no(trait.gather, sources[0])} AS {columns[0]}"]
    pick = {"sum": "sum(quantity * {})", "greatest": "max({})", "least": "min({})"}[trait.gather]
    low, high = (pick.format(source) for source in sources)
    return [
        _finite(f"{_if_all(sources[0])} THEN {low} END", f"{_if_all(sources[0])} THEN {high} END", columns)
    ]


def _extremes(name: str, trait: str) -> list[str]:
    low, high = base_columns(trait, "quantity")
    return [
        f"count(*) = count({low}) AS {name}_known",
        f"min({low}) AS {name}_least",
        f"max({high}) AS {name}_most",
    ]


def _if_all(column: str) -> str:
    return f"CASE WHEN count(*) = count({column})"


def _yes_no(gather: str, column: str) -> str:
    decisive = "true" if gather == "any" else "false"
    other = "false" if gather == "any" else "true"
    found = f"count(*) FILTER (WHERE {column} = {decisive}) > 0"
    return f"CASE WHEN {found} THEN {decisive} WHEN count(*) = count({column}) THEN {other} END"


def _finite(low: str, high: str, columns: Sequence[str]) -> str:
    """Both ends, NULL together when one is not finite."""
    known = f"isfinite({low}) AND isfinite({high})"
    return ", ".join(
        f"CASE WHEN {known} THEN {end} END AS {column}"
        for end, column in zip((low, high), columns, strict=True)
    )
