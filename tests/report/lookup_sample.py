"""An invented look-up: a gap, open ends, every verdict, breakers of every kind, hostile names.

All ids, names and figures here are made up for the tests; none is a rule or a product.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from compat.model.lookup import Bound, BreakerCounts, CountRange, Lookup, OutputCounts
from compat.model.report import DatasetStamp, Input, Question
from compat.model.verdicts import VERDICTS, Verdict
from tests.report.parts import CAUTION, ESCAPE, HOSTILE

UP_TO = 150
# Rule -> slug and sentence.
SENTENCES = {
    "R0907": ("load-below-minimum", "The circuit draws 18 W; the output needs at least 20 W."),
    "R0905": ("load-above-rated", "The circuit draws 96 W; the output carries at most 90 W."),
    "R0920": ("inrush-above-withstand", "The inrush is 20 to 160 A; the output withstands 80 A."),
    "R0921": ("inrush-not-known", "The inrush is 20 to 160 A; the output withstands (not known)."),
    "R0901": ("dimming-forbidden", "A lamp is marked as not dimmable, and the output dims."),
    "R0902": ("method-not-accepted", "The output works by DMX; the drivers accept DALI."),
    "R0944": ("odd-count", "With so many the levels do not follow each other."),
}
LOCAL = "Follow the local codes and ask a licensed electrician before any work on the circuit."


def ranges(*parts: tuple[int, Verdict, str | None]) -> list[CountRange]:
    """Ranges from their last counts, verdicts and rules."""
    made, first = [], 1
    for last, verdict, rule in parts:
        slug, because = SENTENCES[rule] if rule else (None, "")
        made.append(
            CountRange(first=first, last=last, verdict=verdict, rule=rule, slug=slug, because=because)
        )
        first = last + 1
    return made


def output(
    name: str, label: str, method: str, *parts: tuple[int, Verdict, str | None], count: int | None = None
) -> OutputCounts:
    """An output with its window and bounds worked out from its ranges."""
    made = ranges(*parts)
    column = [one for one in made for _ in range(one.first, one.last + 1)]
    works = [number for number, one in enumerate(column, 1) if one.verdict == "works"]
    least, most = (works[0], works[-1]) if works else (None, None)
    return OutputCounts(
        output=name,
        name=label,
        method=method,
        best=min((one.verdict for one in made), key=VERDICTS.index),
        least=least,
        most=most,
        gaps=bool(works) and len(works) != works[-1] - works[0] + 1,
        open_ended=most == len(column),
        least_bound=_bound(column, least - 1) if least and least > 1 else None,
        most_bound=_bound(column, most + 1) if most and most < len(column) else None,
        ranges=made,
        at_count=column[count - 1].model_copy(update={"first": count, "last": count}) if count else None,
    )


def _bound(column: Sequence[CountRange], count: int) -> Bound:
    one = column[count - 1]
    assert one.rule
    assert one.slug
    return Bound(count=count, verdict=one.verdict, rule=one.rule, slug=one.slug, because=one.because)


def breaker(curve: str, rated: float, steady: int | None, holds: int | None) -> BreakerCounts:
    """A breaker with the two limits; what binds follows from them."""
    is_open = holds == UP_TO
    most: int | None = None
    binding: Any = "not known"
    if steady is not None and holds is not None and steady <= holds:
        most, binding = steady, "steady current"
    elif steady is not None and holds is not None and not is_open:
        most, binding = holds, "inrush"
    return BreakerCounts(
        breaker=f"B-{curve}-{rated:g}",
        name=f"Breaker {curve} {rated:g} A",
        curve=curve,
        rated_current_a=rated,
        steady_most=steady,
        inrush_holds_most=holds,
        inrush_may_release_from=holds + 1 if holds is not None and not is_open else None,
        inrush_open_ended=is_open,
        most=most,
        binding=binding,
    )


BREAKERS = [
    breaker("C", 10, 60, 60),
    breaker("B", 10, 60, 22),
    breaker("B", 6, 36, 0),
    breaker("D", 6, 200, UP_TO),
    breaker("C", 6, 36, 40),
]


def outputs(count: int | None = None) -> list[OutputCounts]:
    """Outputs with every verdict at best; two of them alike at every count."""
    gap = [(2, "fails", "R0907"), (14, "works", None), (16, "marginal", "R0944"), (20, "works", None)]
    made: list[tuple[str, str, str, list[Any]]] = [
        ("O0901", "Contactor, 25 A", "switched", [(UP_TO, "works", None)]),
        ("O0902", "DALI, addressed", "DALI", [(64, "works", None), (UP_TO, "fails", "R0905")]),
        ("O0903", "DALI, addressed, larger", "DALI", [(64, "works", None), (UP_TO, "fails", "R0905")]),
        ("O0904", HOSTILE, "forward phase", [*gap, (40, "fails", "R0905"), (UP_TO, "hazard", "R0901")]),
        ("O0905", ESCAPE, "switched", [(5, "marginal", "R0920"), (UP_TO, "fails", "R0905")]),
        ("O0906", "Relay, 10 A", "switched", [(UP_TO, "unproven", "R0921")]),
        ("O0907", "Relay, 16 A", "switched", [(9, "unproven", "R0921"), (UP_TO, "hazard", "R0905")]),
        ("O0908", "DMX, 512 slots", "DMX", [(UP_TO, "fails", "R0902")]),
        ("O0909", "DMX, 24 slots", "DMX", [(UP_TO, "fails", "R0902")]),
        ("O0910", "Dimmer, two-wire", "reverse phase", [(UP_TO, "hazard", "R0901")]),
    ]
    return [output(name, label, method, *parts, count=count) for name, label, method, parts in made]


def trait(name: str, label: str, text: str, basis: Any = "common_practice") -> Input:
    return Input(name=f"driver.{name}", label=label, text=text, basis=basis, source="S0911")


TRAITS = [
    trait("load_type", "load type", "constant-current LED driver"),
    trait("input_power_w", "input power", "5.5 to 6.5 W"),
    trait("input_current_a", "input current", "0.03 A", "declared"),
    trait("inrush_peak_a", "inrush peak", "20 A", "derived"),
    trait("stroboscopic_svm", "stroboscopic visibility SVM", "0.3"),
]
QUESTION = Question(
    name="driver.dim_floor_percent",
    label="dim floor",
    ask="What is the lowest stable light level of each driver?",
    about=["The driver"],
    where_to_find="the dimming range of the datasheet",
    rules=["R0925"],
    could_become="fails",
)


EMPTY = ("outputs", "breakers", "questions", "cautions", "traits", "methods", "assumptions")
NOTHING: dict[str, Any] = {name: [] for name in EMPTY}


def sample_lookup(count: int | None = None, **changes: Any) -> Lookup:
    """The look-up; ``changes`` replace fields of it."""
    lookup = Lookup(
        program_version="0.1.0",
        dataset=DatasetStamp(version="1.4.2", sha256="9f2c" * 16),
        driver="D0902",
        driver_name="LED driver, 6 W, invented",
        methods=["perhaps forward phase", "DALI", "switched"],
        traits=TRAITS,
        count=count,
        counts_up_to=UP_TO,
        outputs=outputs(count),
        breakers=BREAKERS,
        source=[
            trait("resistance_ohm", "source resistance", "0.1 to 0.5 Ω"),
            trait("inductance_uh", "source inductance", "100 to 800 µH"),
        ],
        assumptions=["a neutral is there where the control is mounted"],
        questions=[QUESTION],
        cautions=[f"A lamp can burn. {LOCAL}", f"A contact can weld shut. {LOCAL}"],
        caution=CAUTION,
    )
    return lookup.model_copy(update=changes)
