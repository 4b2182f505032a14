"""What circuits of generic drivers ask and what outputs allow, as tables, and the macro that compares them.

A circuit is so many of one driver, alone behind its protective devices, in the installation that a
look-up takes without a project file. The macro is the fixed statement of ``engine.join``, so that DuckDB
alone gives the verdict that ``compat lookup`` gives at that count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset
from compat.engine.join import MOST_RULES, VERDICT_KEYS, ClauseTables
from compat.engine.lookup import Looker
from compat.engine.site import site_of
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.model.verdicts import VERDICTS
from compat.release.table import Cell, Table, table
from compat.rulebook.rules import ParsedRule, is_of_circuit

COUNTS = (1, 2, 3, 5, 10, 20, 50, 100)
WANTED = ("dimmed", "switched")
MACRO = "verdict_of"
MACRO_MEANING = (
    "The verdict of so many of a driver on an output, dimmed or switched as wanted, and the rule that "
    "decides it, none where every rule holds; with NULL for the output, of all outputs. What the tables do "
    "not hold has no row."
)
Circuit = tuple[str, int, str]


def verdict_tables(dataset: Dataset, rules: Sequence[ParsedRule]) -> Iterator[Table]:
    """Terms, demands, allowances and mixed of all generic drivers and outputs. Raises BadInput."""
    judged = [rule for rule in rules if rule.rule.status != "withdrawn" and is_of_circuit(rule)]
    clauses = ClauseTables(judged)
    yield table("terms", (_with_rule(row, judged) for row in clauses.terms()), "term")
    outputs = {
        key: OutputSubject(dataset, output) for key, output in sorted(dataset.tables["outputs"].items())
    }
    circuits = dict(_circuits(dataset, judged))
    demands = [(*names, *row) for names, circuit in circuits.items() for row in clauses.rows(circuit)]
    yield table("demands", demands, "driver", "count", "wanted", "term")
    allowed = [(key, *row) for key, output in outputs.items() for row in clauses.rows(output)]
    yield table("allowances", allowed, "output", "term")
    names, keys = list(circuits), list(outputs)
    mixed = clauses.mixed_rows(list(circuits.values()), list(outputs.values()))
    rows = sorted((*names[circuit], keys[output], term, holds) for circuit, output, term, holds in mixed)
    yield table("mixed", rows, "driver", "count", "wanted", "output", "term")


def _with_rule(row: tuple[Cell, ...], rules: Sequence[ParsedRule]) -> tuple[Cell, ...]:
    term, clause, place, *rest = row
    assert isinstance(place, int)
    return (term, clause, place, rules[place].rule.id, *rest)


def _circuits(dataset: Dataset, rules: Sequence[ParsedRule]) -> Iterator[tuple[Circuit, CircuitSubject]]:
    setting = read_setting(dataset, None, None)
    looker, site = Looker(dataset, rules, setting), site_of(setting)
    for key, driver in sorted(dataset.tables["drivers"].items()):
        series = looker.series(looker.row_of(driver, {}), max(COUNTS), site)
        for count in COUNTS:
            for wanted in WANTED:
                yield (key, count, wanted), series[wanted][count - 1]


def macro_sql() -> str:
    """The statement that makes the macro."""
    statement = VERDICT_KEYS
    for name in ("demands", "allowances", "mixed"):
        statement = statement.replace(f"FROM {name} ", f"FROM of_{name} ").replace(
            f"JOIN {name} ", f"JOIN of_{name} "
        )
        statement = statement.replace(f"{name}.", f"of_{name}.")
    words = ", ".join(f"'{verdict}'" for verdict in VERDICTS)
    of_circuit = "driver = driver_id AND count = number AND wanted = wanted_control"
    of_output = "(output_id IS NULL OR output = output_id)"
    return f"""
CREATE MACRO {MACRO}(driver_id, number, output_id, wanted_control) AS TABLE
WITH of_demands AS (
    SELECT 0 AS circuit, term, holds, low, high, sure, possible FROM demands WHERE {of_circuit}
),
of_allowances AS (SELECT * FROM allowances WHERE {of_output}),
of_mixed AS (SELECT 0 AS circuit, output, term, holds FROM mixed WHERE {of_circuit} AND {of_output}),
keys AS ({statement}),
asked AS (
    SELECT id AS output FROM outputs
    WHERE (output_id IS NULL OR id = output_id) AND EXISTS (SELECT * FROM of_demands)
),
rules_by_place AS (SELECT DISTINCT place, rule FROM terms)
SELECT asked.output, [{words}][coalesce(key, 0) // {MOST_RULES} + 1] AS verdict, rule
FROM asked LEFT JOIN keys USING (output)
LEFT JOIN rules_by_place ON key > 0 AND place = {MOST_RULES - 1} - key % {MOST_RULES}
ORDER BY asked.output
"""
