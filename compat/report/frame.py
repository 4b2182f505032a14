"""Findings as a table for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from compat.model.report import Amount, Finding, Report

if TYPE_CHECKING:
    import polars as pl


def findings_frame(report: Report) -> pl.DataFrame:
    """One row for each finding of each circuit and line; amounts with both ends, null when not known."""
    import polars as pl

    schema = {
        **dict.fromkeys(("subject", "kind", "output", "rule", "slug", "verdict", "because"), pl.String),
        **dict.fromkeys(("demand_low", "demand_high", "limit_low", "limit_high"), pl.Float64),
        "unit": pl.String,
        "relation": pl.String,
        "margin_percent": pl.Float64,
    }
    return pl.DataFrame(list(_rows(report)), schema=schema, orient="row")


def _rows(report: Report) -> Iterator[tuple[object, ...]]:
    for circuit in report.circuits:
        output = circuit.output.output if circuit.output else None
        for finding in circuit.findings:
            yield (circuit.circuit, "circuit", output, *_cells(finding))
    for line in report.lines:
        for finding in line.findings:
            yield (line.line, "line", None, *_cells(finding))


def _cells(finding: Finding) -> tuple[object, ...]:
    unit = finding.demand.unit if finding.demand else None
    return (
        finding.rule,
        finding.slug,
        finding.verdict,
        finding.because,
        *_ends(finding.demand),
        *_ends(finding.limit),
        unit,
        finding.relation,
        finding.margin_percent,
    )


def _ends(amount: Amount | None) -> tuple[float | None, float | None]:
    return (amount.low, amount.high) if amount else (None, None)
