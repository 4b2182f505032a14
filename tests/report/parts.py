"""Parts of an invented report: values, findings, questions, outputs.

All ids, names and figures here are made up for the tests; none is a rule or a product.
"""

from __future__ import annotations

from compat.model.figures import amount_text
from compat.model.report import (
    Amount,
    Finding,
    Input,
    LoadBar,
    OutputReport,
    Place,
    Question,
    SourceNote,
)
from compat.model.values import Basis
from compat.model.verdicts import Verdict

SCHEDULE = "house-by-the-mill.xlsx"
HOSTILE = '<script>alert("x")</script>'
ESCAPE = "Den \x1b[31mred\x1b[0m\u202etxet"
SYMBOL = {"w": "W", "a": "A", "percent": "%", "ma": "mA", "": "", "count": ""}
CAUTION = (
    "This report compares stated values only. It is no design and no approval: follow the local "
    "codes, and have the work done and checked by a licensed electrician."
)
HAZARD_CAUTION = (
    "Lamps marked as not dimmable can overheat on a dimmer. Do not connect them. Follow the local "
    "codes and ask a licensed electrician before any work on the circuit."
)


def amount(low: float | None, high: float | None, unit: str = "w") -> Amount:
    return Amount(low=low, high=high, unit=unit, text=amount_text(low, high, SYMBOL[unit]))


def cell(name: str, sheet: str = "Circuits") -> Place:
    return Place(file=SCHEDULE, sheet=sheet, cell=name)


def table(file: str, key: str) -> Place:
    return Place(file=f"datasets/{file}", key=key)


def value(
    label: str,
    text: str,
    place: Place | None,
    basis: Basis | None = "declared",
    source: str | None = None,
) -> Input:
    return Input(
        name=f"circuit.{label.replace(' ', '_')}",
        label=label,
        text=text,
        basis=basis,
        source=source,
        place=place,
    )


SOURCE = SourceNote(
    source="S0911",
    title="Invented handbook of circuits",
    edition="2020",
    locator="clause 4.2",
    basis="common_practice",
    supports=["demand", "at_least"],
)


def below_minimum(verdict: Verdict, low: float, high: float, limit: float, margin: float) -> Finding:
    load = amount(low, high)
    return Finding(
        rule="R0907",
        slug="load-below-minimum",
        title="Load below the minimum of the output",
        verdict=verdict,
        because=f"The circuit draws {load.text}; the output needs at least {amount(limit, limit).text}.",
        demand=load,
        relation="at_least",
        limit=amount(limit, limit),
        margin_percent=margin,
        inputs=[
            value("load", load.text, cell("F7")),
            value(
                "minimum load",
                f"{limit:g} W",
                table("outputs/phase.toml", "O0903.min_load_w"),
                "common_practice",
                "S0911",
            ),
        ],
        sources=[SOURCE],
        remedies=["Put more luminaires on the circuit, or choose an output with a lower minimum load."],
    )


def above_rated(verdict: Verdict, low: float | None, high: float | None, limit: float | None) -> Finding:
    load, rated = amount(low, high), amount(limit, limit)
    margin = None if limit is None or high is None else (limit - high) / limit * 100
    return Finding(
        rule="R0905",
        slug="load-above-rated",
        title="Load above the rated load of the output",
        verdict=verdict,
        because=f"The circuit draws {load.text}; the output carries at most {rated.text}.",
        demand=load,
        relation="at_most",
        limit=rated,
        margin_percent=margin,
        inputs=[
            value("load", load.text, cell("F9")),
            value(
                "rated load",
                rated.text,
                table("outputs/phase.toml", "O0903.max_load_w"),
                None if limit is None else "standard",
            ),
        ],
        sources=[
            SOURCE.model_copy(update={"locator": "table 7", "supports": ["at_most"], "basis": "standard"})
        ],
        remedies=[
            "Divide the circuit over two outputs.",
            "Choose an output with a higher rated load.",
        ],
    )


def holds(rule: str, title: str) -> Finding:
    return Finding(
        rule=rule,
        slug=title.lower().replace(" ", "-"),
        title=title,
        verdict="works",
        margin_percent=None,
        because="The method of the output is one that every driver accepts.",
        inputs=[
            value(
                "methods accepted",
                "reverse phase, switched",
                table("drivers/lamps.toml", "D0902.methods"),
                "common_practice",
            )
        ],
        sources=[SOURCE],
        remedies=["Choose an output of another method."],
    )


NOT_DIMMABLE = Finding(
    rule="R0901",
    slug="dimming-forbidden",
    title="Lamp marked as not dimmable on a dimmer",
    verdict="hazard",
    margin_percent=None,
    because="A lamp on the circuit is marked as not dimmable, and the output dims by forward phase.",
    inputs=[
        value("must never be dimmed", "yes", cell("J12")),
        value(
            "method",
            "forward phase",
            table("outputs/phase.toml", "O0902.method"),
            "common_practice",
        ),
    ],
    sources=[SOURCE],
    remedies=["Choose a switched output.", "Change the lamps for dimmable ones."],
    caution=HAZARD_CAUTION,
)
INRUSH = Finding(
    rule="R0920",
    slug="inrush-above-withstand",
    title="Inrush peak above what the output withstands",
    verdict="unproven",
    margin_percent=None,
    because="The circuit draws an inrush peak of 20 to 160 A; the output withstands not known.",
    demand=amount(20, 160, "a"),
    relation="at_most",
    limit=amount(None, None, "a"),
    inputs=[
        value("inrush peak", "20 to 160 A", cell("H14"), "derived", "S0003"),
        value("peak current withstood", "not known", None, None),
    ],
    sources=[SOURCE],
    remedies=["Choose an output with a stated peak current."],
)
QUESTION = Question(
    name="output.inrush_peak_max_a",
    label="peak current withstood",
    ask="Which inrush peak does the output withstand at each switching, and for which pulse width?",
    about=["O0905 Relay channel, 10 A"],
    where_to_find="the load table of the datasheet",
    rules=["R0920"],
    could_become="hazard",
)
EDGE_QUESTION = Question(
    name="driver.methods",
    label="methods it accepts",
    ask="By which phase edge may the driver be dimmed?",
    about=["L3", "L7"],
    where_to_find="the dimming line of the datasheet; it must name the edge",
    rules=["R0902", "R0903"],
    could_become="fails",
)

OUTPUTS = {
    "O0902": ("Wall-box dimmer, two-wire", "forward_phase"),
    "O0903": ("Dimmer channel for rail mounting", "reverse_phase"),
    "O0905": ("Relay channel, 10 A", "switched"),
    "O0908": ("DALI channel, addressed", "dali"),
}


def output(name: str, verdict: Verdict, rule: str | None = None, because: str = "") -> OutputReport:
    label, method = OUTPUTS[name]
    return OutputReport(output=name, name=label, method=method, verdict=verdict, rule=rule, because=because)


def bar(low: float | None, high: float | None, least: float | None, most: float | None) -> LoadBar:
    return LoadBar(load=amount(low, high), window_low_w=least, window_high_w=most)
