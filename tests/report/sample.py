"""An invented report with every verdict, limits not known, intervals and hostile names.

All ids, names and figures here are made up for the tests; none is a rule or a product.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from compat.model.report import (
    CircuitReport,
    DatasetStamp,
    Finding,
    LoadBar,
    Luminaires,
    OutputReport,
    Question,
    Report,
)
from compat.model.verdicts import VERDICTS, Verdict, worst
from tests.report.parts import (
    CAUTION,
    EDGE_QUESTION,
    ESCAPE,
    HOSTILE,
    INRUSH,
    NOT_DIMMABLE,
    QUESTION,
    SCHEDULE,
    above_rated,
    bar,
    below_minimum,
    cell,
    holds,
    output,
    value,
)


def circuit(
    name: str,
    room: str,
    rows: Sequence[tuple[str, int, str]],
    findings: Sequence[Finding],
    on: str | None = "O0903",
    load: LoadBar | None = None,
    questions: Sequence[Question] = (),
    others: Sequence[OutputReport] = (),
    chosen_by: Literal["schedule", "ranking", "none"] = "schedule",
    **more: Any,
) -> CircuitReport:
    verdict = worst(finding.verdict for finding in findings) if findings else "unproven"
    first = next((finding for finding in findings if finding.verdict == verdict), None)
    rule, because = (first.rule, first.because) if first and verdict != "works" else (None, "")
    broken = [finding for finding in findings if finding.verdict in ("marginal", "fails", "hazard")]
    return CircuitReport(
        circuit=name,
        room=room,
        luminaires=[
            Luminaires(
                luminaire_type=kind,
                quantity=count,
                driver="D0902",
                driver_name=driver,
                place=cell(f"C{line}"),
            )
            for line, (kind, count, driver) in enumerate(rows, 5)
        ],
        wanted_control=more.get("wanted_control", "dimmed"),
        output=output(on, verdict, rule, because) if on else None,
        chosen_by=chosen_by,
        verdict=verdict,
        bar=load,
        findings=list(findings),
        remedies=list(dict.fromkeys(remedy for finding in broken for remedy in finding.remedies)),
        questions=list(questions),
        cautions=list(dict.fromkeys(finding.caution for finding in broken if finding.caution)),
        other_outputs=list(others),
    )


LAMP = "Integral LED lamp, 6 W, either phase edge"
STRIP = "Constant-voltage LED driver, 24 V, 60 W"
METHOD_HOLDS = holds("R0902", "Method accepted by every driver")
NEUTRAL_HOLDS = holds("R0904", "Neutral where the control needs one")


def sample_report() -> Report:
    """Eleven circuits: every verdict, open windows, no window, no output, hostile names."""
    circuits = [*_plain_circuits(), *_odd_circuits()]
    counts = {verdict: sum(c.verdict == verdict for c in circuits) for verdict in VERDICTS}
    return report_of(circuits, counts)


def report_of(circuits: list[CircuitReport], counts: dict[Verdict, int]) -> Report:
    return Report(
        program_version="0.1.0",
        dataset=DatasetStamp(version="1.4.2", sha256="9f2c" * 16),
        schedule=SCHEDULE,
        schedule_sha256="51ab" * 16,
        supply=[
            value("nominal supply voltage", "230 V", None, "standard", "S0950"),
            value("supply frequency", "50 Hz", None, "standard", "S0950"),
        ],
        counts=counts,
        circuits=circuits,
        notes=["Sheet Circuits, row 21 is a total and was not read as a circuit."],
        caution=CAUTION,
    )


def long_report(count: int) -> Report:
    """``count`` circuits that work, as a large house has."""
    circuits = [
        circuit(
            f"C{number:03}",
            "Corridor",
            [("L1", 4, LAMP)],
            [METHOD_HOLDS],
            load=bar(24, 24, 20, 150),
        )
        for number in range(count)
    ]
    return report_of(circuits, {"works": count})


def _plain_circuits() -> list[CircuitReport]:
    works = [
        METHOD_HOLDS,
        NEUTRAL_HOLDS,
        below_minimum("works", 44, 52, 20, 120),
        above_rated("works", 44, 52, 150),
    ]
    switched = output("O0905", "fails", "R0910", "The circuit is to be dimmed; the output only switches.")
    return [
        circuit("C01", "Hall", [("L1", 8, LAMP)], works, load=bar(44, 52, 20, 150), others=[switched]),
        circuit(
            "C02",
            "Kitchen worktop",
            [("L2", 2, LAMP)],
            [
                METHOD_HOLDS,
                below_minimum("fails", 11, 13, 20, -45),
                above_rated("works", 11, 13, 150),
            ],
            load=bar(11, 13, 20, 150),
            others=[output("O0908", "fails", "R0902", "The drivers accept no DALI."), switched],
        ),
        circuit(
            "C03",
            "Living room",
            [("L1", 3, LAMP), ("L4", 1, STRIP), ("L5", 12, LAMP), ("L9", 2, "Wall lamp")],
            [METHOD_HOLDS, below_minimum("marginal", 17.5, 22, 20, -12.5), NEUTRAL_HOLDS],
            load=bar(17.5, 22, 20, 150),
        ),
        circuit(
            "C04",
            "Bathroom",
            [("L6", 4, "Integral LED lamp marked as not dimmable")],
            [NOT_DIMMABLE, above_rated("works", 24, 24, 300)],
            on="O0902",
            load=bar(24, 24, None, 300),
            others=[output("O0905", "works")],
        ),
        circuit(
            "C05",
            "Garage",
            [("L8", 8, "Batten with constant-current LED driver")],
            [INRUSH, METHOD_HOLDS],
            on="O0905",
            load=bar(320, 360, 0, None),
            questions=[QUESTION],
            wanted_control="switched",
        ),
        circuit(
            "C06",
            "Terrace and garden path with the long name",
            [("L3", 10, STRIP), ("L7", 4, STRIP)],
            [
                above_rated("fails", 600, 640, 150),
                METHOD_HOLDS.model_copy(update={"verdict": "unproven"}),
            ],
            load=bar(600, 640, 20, 150),
            questions=[EDGE_QUESTION],
        ),
    ]


def _odd_circuits() -> list[CircuitReport]:
    return [
        circuit("C07", "Bedroom", [("L1", 6, LAMP)], [METHOD_HOLDS], on="O0908", chosen_by="ranking"),
        circuit(
            HOSTILE,
            ESCAPE,
            [('"><img src=x onerror=alert(1)>', 2, "[bold]{{ 7 * 7 }}")],
            [above_rated("unproven", 12, 12, None), METHOD_HOLDS],
            load=bar(12, 12, 3, None),
            questions=[EDGE_QUESTION],
        ),
        circuit("C09", "", [("L1", 1, LAMP)], [], on=None, chosen_by="none", load=bar(6, 6, None, None)),
        circuit(
            "C10",
            "Stairs",
            [("L2", 5, LAMP)],
            [above_rated("unproven", None, None, 2300)],
            on="O0905",
            load=bar(None, None, 0, 2300),
        ),
        circuit(
            "C11",
            "日本間 tatami room",
            [("L1", 4, LAMP)],
            [METHOD_HOLDS, below_minimum("works", 20, 20, 20, 0)],
            load=bar(20, 20, 20, 150),
        ),
    ]
