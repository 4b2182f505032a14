"""10,000 circuits on control lines, all rules about lines, beside a pandas group-by of the same sums.

Run ``python tests/bench/bench_lines.py``. Rates and the ratio are printed and nothing is asserted of
time; the verdicts of a sample are asserted to be those of the plain-Python form, and the sums those of
pandas. The yardstick only adds up; it judges nothing and knows no intervals beyond two columns.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import pandas as pd
from compat.engine.keys import key_of

from compat.dataset.overlay import read_setting
from compat.dataset.read import Dataset, load_dataset
from compat.engine.database import locked_connection
from compat.engine.gather import gather_rows
from compat.engine.lines import Line, gather_line, is_of_line
from compat.engine.lines_bulk import LinesPlan, fill
from compat.engine.site import Site, site_of
from compat.model.schedule import ScheduleRow
from compat.model.values import Content, Interval, TokenSet, Trait
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule, read_rules

CIRCUITS, PER_LINE, SAMPLE, RUNS = 10_000, 20, 25, 5
METHODS = {"dali_line": "dali", "dmx_segment": "dmx", "analog_pair": "analog_0_10v"}
STATED: dict[str, Content] = {
    "dali_supply_guaranteed_ma": Interval(200.0, 200.0),
    "dali_supply_max_ma": Interval(250.0, 250.0),
    "dali_addressing": "addressed",
    "application_controller": True,
    "mains_rated_cable": True,
    "wired_as_selv": False,
    "control_current_max_ma": Interval(50.0, 50.0),
    "output_direction": "sinks",
    "switches_mains": True,
}


def lines_of(dataset: Dataset, site: Site, defaults: dict[str, Trait]) -> list[Line]:
    """Lines of one kind each; every circuit has one or two rows with drivers of the dataset."""
    source = random.Random(4)
    drivers = dataset.tables["drivers"].values()
    fitting = {
        kind: [
            d.id
            for d in drivers
            if isinstance(m := d.traits["methods"].content, TokenSet) and method in m.sure
        ]
        for kind, method in METHODS.items()
    }
    lines = []
    for number in range(CIRCUITS // PER_LINE):
        kind = source.choice(list(METHODS))
        circuits = []
        for place in range(PER_LINE):
            name = f"L{number}-{place}"
            rows = [
                ScheduleRow(
                    row, name, source.choice((1, 1, 2, 4)), driver_id=source.choice(fitting[kind]), line="L"
                )
                for row in range(source.choice((1, 1, 2)))
            ]
            circuits.append(gather_rows(name, rows, dataset, site, {}))
        stated = {
            **STATED,
            "kind": kind,
            "length_to_farthest_m": Interval(20.0, 20.0 + source.random() * 200),
        }
        traits = {trait: Trait(content) for trait, content in stated.items()}
        lines.append(gather_line(f"L{number}", circuits, dataset, traits, defaults))
    return lines


def quickest(work: Callable[[], object]) -> float:
    """The shortest of some runs, in seconds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def summed_names(plan: LinesPlan, dataset: Dataset) -> list[str]:
    """The driver traits whose sums the rules read."""
    traits = dataset.vocabulary.of_subject("line")
    return [t.gathered_from for t in traits if t.gather == "sum" and t.gathered_from in plan.driver_names()]


def frame_of(lines: list[Line], names: list[str]) -> pd.DataFrame:
    """One row a member: the line, and for each trait both ends times the quantity."""
    records = []
    for place, line in enumerate(lines):
        for member in line.members:
            record: dict[str, float] = {"line_index": place}
            for name in names:
                content = (
                    member.traits[short].content if (short := name.split(".")[1]) in member.traits else None
                )
                low, high = (
                    (content.low, content.high) if isinstance(content, Interval) else (math.nan, math.nan)
                )
                record[f"{name}_low"] = low * member.row.quantity
                record[f"{name}_high"] = high * member.row.quantity
            records.append(record)
    return pd.DataFrame(records)


def check_sample(
    lines: list[Line], keys: list[int], rules: list[ParsedRule], site: Site, dataset: Dataset
) -> None:
    """The keys of some lines against the plain-Python form."""
    given = {
        f"{subject}.{name}": trait.content
        for subject in ("supply", "cable", "source_impedance")
        for name, trait in site.traits(subject).items()
    }
    for place in random.Random(5).sample(range(len(lines)), SAMPLE):
        run = evaluation({**given, **lines[place].values}, dataset.vocabulary)
        expected = max(key_of(run.truth(r.condition), r.rule.breach, at) for at, r in enumerate(rules))
        assert keys[place] == expected, lines[place].id


def check_sums(lines: list[Line], sums: pd.DataFrame, names: list[str]) -> None:
    """The sums of pandas against those of the lines; one unknown row leaves both unknown."""
    for place, line in enumerate(lines):
        for name in names:
            content = line.values[name.replace("driver.", "line.")]
            low, high = sums.loc[place, f"{name}_low"], sums.loc[place, f"{name}_high"]
            if content is None:
                assert math.isnan(low), name
            else:
                assert isinstance(content, Interval)
                assert math.isclose(low, content.low, rel_tol=1e-9), name
                assert math.isclose(high, content.high, rel_tol=1e-9), name


def tell(sentence: str) -> None:
    """One line to the screen."""
    sys.stdout.write(f"{sentence}\n")


def main() -> None:
    """Print the rates."""
    dataset = load_dataset()
    rules = [r for r in read_rules(dataset.rules_folder, dataset.vocabulary) if is_of_line(r)]
    setting = read_setting(dataset, None, None)
    site = site_of(setting)
    lines = lines_of(dataset, site, setting.line_defaults)
    members = sum(len(line.members) for line in lines)
    tell(f"{CIRCUITS} circuits, {members} rows, {len(lines)} lines, {len(rules)} rules")
    plan, connection = LinesPlan(rules, dataset.vocabulary), locked_connection()
    filled = quickest(lambda: fill(connection, plan, lines, site, dataset.vocabulary))
    judged = quickest(lambda: plan.run(connection))
    keys = [key for (key,) in connection.execute("SELECT key FROM line_keys ORDER BY line_index").fetchall()]
    check_sample(lines, keys, rules, site, dataset)
    names = summed_names(plan, dataset)
    frame = frame_of(lines, names)

    def yardstick() -> pd.DataFrame:
        # min_count would pass a line with one unknown row, so that unknowns are carried by hand.
        grouped = frame.groupby("line_index")
        return grouped.sum().where(grouped.count().eq(grouped.size(), axis=0))

    added = quickest(yardstick)
    check_sums(lines, yardstick(), names)
    tell(f"rows into the database: {filled:.3f} s")
    tell(f"join, physics and all rules: {judged:.3f} s; together {filled + judged:.3f} s")
    tell(f"pandas, {2 * len(names)} sums only: {added:.3f} s")
    tell(f"ratio of all rules to the sums alone: {judged / added:.1f}")


if __name__ == "__main__":
    main()
