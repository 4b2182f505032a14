"""Soundness of verdicts over the whole rulebook, as properties.

Narrowing never turns a decided verdict into another decided one; removing a known value never gives
``works``; a verdict at a point inside the intervals is covered by the verdict over the intervals.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from compat.dataset.read import Dataset, Equipment
from compat.engine.gather import Circuit, gather_circuits
from compat.model.schedule import Schedule, ScheduleRow
from compat.model.values import UNKNOWN, Content, Interval, TokenSet, Trait
from compat.model.verdicts import RANK
from compat.rulebook.cases import evaluation
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, YES, verdict_of
from tests.engine.strategies import contents, seeded, values

# Judged only where a schedule states them, so that silence is not asked about: what is connected to the
# output side, what a rating plate says of the air, and which pulse was stated.
WHERE_STATED = {
    "lamp_load_w", "led_strip_length_m", "led_strip_w_per_m", "led_voltage_v", "led_current_max_ma",
    "ambient_max_celsius", "output_min_load_w", "inrush_pulse", "luminous_flux_lumen",
    "output_max_load_w",
}  # fmt: skip
# Rules that speak only where a lamp's flux, a dim-to-warm luminaire or a pulse is stated: what one row
# then leaves out may end what they were asked about.
SPEAK_WHERE_STATED = frozenset(
    ("inrush-pulse-short-for-watts", "on-mode-power-above-eu-law", "dim-to-warm-beside-others")
)
# Where these are silent the watts or a standard bound them: a stated figure beyond the bound contradicts
# that, and contradictions are no matter of the property.
BOUNDED_BY = {
    "driver.input_current_a": "circuit.greatest_current_a",
    "driver.protective_conductor_current_ma": "circuit.protective_current_bound_ma",
    "driver.inrush_peak_a": "circuit.likely_inrush_peak_a",
    "driver.inrush_width_us": "circuit.likely_inrush_peak_a",
    # Without the source of a stated pulse that is no pulse, the watts bound the input capacitance.
    "driver.inrush_test_resistance_ohm": "circuit.input_capacitance_uf",
    "driver.inrush_test_inductance_uh": "circuit.input_capacitance_uf",
}
SLOW = settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))


def narrowed(draw: st.DataObject, content: Content, every: tuple[str, ...]) -> Content:
    """A value somewhere inside another: part of an interval, a more settled set, a known for an unknown."""
    if isinstance(content, Interval) and math.isfinite(content.high - content.low):
        shares = sorted(draw.draw(st.tuples(st.floats(0, 1), st.floats(0, 1))))
        width = content.high - content.low
        low, high = (min(max(content.low + share * width, content.low), content.high) for share in shares)
        return Interval(low, max(low, high))
    if isinstance(content, TokenSet):
        settled = draw.draw(st.sets(st.sampled_from(sorted(content.possible)))) if content.possible else set()
        return TokenSet.exactly(*(content.sure | settled))
    if content is None and every:
        return TokenSet.exactly(*draw.draw(st.sets(st.sampled_from(every))))
    return content


@SLOW
@given(data=st.data())
def test_narrowing_keeps_what_is_decided(
    data: st.DataObject, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    vocabulary = dataset.vocabulary
    rule = data.draw(st.sampled_from(rules))
    wide = data.draw(values(rule.names, vocabulary))
    narrow: dict[str, Content] = {}
    for name, content in wide.items():
        trait = vocabulary.traits[name]
        every = vocabulary.values_of(trait) if trait.kind == "set" else ()
        narrow[name] = narrowed(data, content, every)
        if content is None and trait.kind in ("quantity", "yes_no", "choice"):
            narrow[name] = data.draw(contents(trait, vocabulary))
    before = evaluation(wide, vocabulary).truth(rule.condition)
    after = evaluation(narrow, vocabulary).truth(rule.condition)
    if before in (YES, NO):
        assert after == before, f"{rule.rule.slug}: {wide} -> {narrow}"


@SLOW
@given(data=st.data())
def test_removing_a_value_never_gives_works(
    data: st.DataObject, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    names = list(dict.fromkeys(name for rule in rules for name in rule.names))
    given_values = data.draw(seeded(names, dataset.vocabulary))
    removed = data.draw(st.sampled_from(names))
    assume(given_values[removed] is not None)
    before, after = evaluation(given_values, dataset.vocabulary), None
    after = evaluation({**given_values, removed: None}, dataset.vocabulary)
    for rule in rules:
        if removed in rule.names and after.truth(rule.condition) == YES:
            assert before.truth(rule.condition) == YES, rule.rule.slug


@SLOW
@given(data=st.data())
def test_a_point_inside_is_covered(data: st.DataObject, dataset: Dataset, rules: list[ParsedRule]) -> None:
    vocabulary = dataset.vocabulary
    rule = data.draw(st.sampled_from(rules))
    wide = data.draw(values(rule.names, vocabulary))
    point: dict[str, Content] = {}
    for name, content in wide.items():
        inner = narrowed(data, content, ())
        point[name] = Interval(inner.low, inner.low) if isinstance(inner, Interval) else inner
    over = evaluation(wide, vocabulary).truth(rule.condition)
    at = verdict_of(evaluation(point, vocabulary).truth(rule.condition), rule.rule.breach)
    allowed = {YES: {"works"}, NO: {rule.rule.breach}}.get(over)
    if allowed is not None:
        assert at in allowed, f"{rule.rule.slug}: {wide} at {point}"


def _circuit(rows: list[Mapping[str, Content]], dataset: Dataset, counts: list[int]) -> Circuit:
    schedule = Schedule(
        "made.csv",
        "",
        tuple(
            ScheduleRow(
                number,
                "C1",
                counts[number],
                driver_traits={name.split(".")[1]: Trait(content) for name, content in row.items()},
            )
            for number, row in enumerate(rows)
        ),
    )
    supply: Equipment = dataset.tables["supplies"]["U0001"]
    return gather_circuits(schedule, dataset, supply, {})[0]


@SLOW
@given(data=st.data())
def test_a_row_that_goes_silent_never_gives_works(
    data: st.DataObject, dataset: Dataset, rules: list[ParsedRule]
) -> None:
    """Through the gathering of a circuit: an unknown in one row makes no rule hold that did not."""
    vocabulary = dataset.vocabulary
    names = [trait.full_name for trait in vocabulary.of_subject("driver")]
    asked = [name for name in names if name.split(".")[1] not in WHERE_STATED]
    rows = data.draw(st.lists(seeded(names, vocabulary), min_size=1, max_size=3))
    counts = data.draw(st.lists(st.integers(1, 50), min_size=len(rows), max_size=len(rows)))
    which, silent = data.draw(st.integers(0, len(rows) - 1)), data.draw(st.sampled_from(asked))
    output = dict(data.draw(seeded([t.full_name for t in vocabulary.of_subject("output")], vocabulary)))
    before = _circuit(rows, dataset, counts)
    fewer = [{**row, silent: None} if place == which else row for place, row in enumerate(rows)]
    after = _circuit(fewer, dataset, counts)
    # Some traits that are left out are derived from others, such as the current from power and power
    # factor, so they are not unknown; figures that contradict each other are no matter of this property.
    assume(after.members[which].traits.get(silent.split(".")[1], UNKNOWN).content is None)
    first = evaluation({**before.values, **output}, vocabulary)
    second = evaluation({**after.values, **output}, vocabulary)
    for rule in rules:
        if BOUNDED_BY.get(silent) in rule.names:
            continue
        if rule.rule.slug not in SPEAK_WHERE_STATED and second.truth(rule.condition) == YES:
            better = verdict_of(first.truth(rule.condition), rule.rule.breach)
            assert RANK[better] == 0, f"{rule.rule.slug} without {silent}"
