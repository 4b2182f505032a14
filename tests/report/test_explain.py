"""The full chain for one circuit: every finding, every value with its place, basis and source."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from compat.report.explain import render_circuit_text
from tests.report.sample import sample_report


@pytest.mark.parametrize("width", [40, 60, 80, 120, 200])
def test_every_finding_and_input_of_every_circuit_is_told(width: int) -> None:
    report = sample_report()
    for circuit in report.circuits:
        text = render_circuit_text(report, circuit, width, False)
        assert max(map(cell_len, text.splitlines())) <= width
        words = "".join(text.split())
        for finding in circuit.findings:
            assert f"{finding.rule}{finding.slug}:" in words
            assert "".join(finding.because.split()) in words
            for value in finding.inputs:
                assert "".join(f"from {value.label}: {value.text}".split()) in words
                if value.place and value.place.cell:
                    assert f"cell{value.place.cell}" in words
            for note in finding.sources:
                assert "".join(f"source {note.source} {note.title}".split()) in words


def test_rules_that_hold_are_told_without_remedies() -> None:
    report = sample_report()
    text = render_circuit_text(report, report.circuits[1], 100, False)
    assert "works  R0902 method-accepted-by-every-driver" in text
    assert "Put more luminaires on the circuit" in text
    assert "Choose an output of another method." not in text


def test_shows_supply_places_sources_and_stamp() -> None:
    report = sample_report()
    text = render_circuit_text(report, report.circuits[0], 160, False)
    assert "nominal supply voltage: 230 V [standard]" in text
    assert "8 x L1: D0902 Integral LED lamp, 6 W, either phase edge [sheet Circuits, cell C5]" in text
    assert "source S0911 Invented handbook of circuits, 2020, table 7; for at most; standard" in text
    assert text.endswith(f"dataset 1.4.2 (rule/1)\nsha256 {'9f2c' * 16}\n")
