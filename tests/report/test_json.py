"""The JSON report: valid by the schema, stable, and without a number that JSON has no word for."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from compat.model.lookup import Lookup
from compat.model.report import Amount, Finding, Report
from compat.report.json import render_json, render_lookup_json
from tests.report.lookup_sample import sample_lookup
from tests.report.parts import HOSTILE, bar
from tests.report.sample import report_of, sample_report

ROOT = Path(__file__).parents[2]


def test_is_valid_by_the_schema_and_reads_back_the_same() -> None:
    text = render_json(sample_report())
    schema = Report.model_json_schema(mode="serialization")
    assert list(Draft202012Validator(schema).iter_errors(json.loads(text))) == []
    assert Report.model_validate_json(text) == sample_report()


def test_layout_is_stable() -> None:
    text = render_json(sample_report())
    assert text == render_json(sample_report())
    assert text.startswith('{\n  "report": "report/1",\n  "program_version": "0.1.0",\n')
    assert text.endswith("\n}\n")
    data = json.loads(text)
    assert list(data) == list(Report.names())
    assert list(data["circuits"][0]["findings"][0]) == list(Finding.names())


def test_counts_stand_in_the_order_of_the_verdicts_however_they_came() -> None:
    report = report_of([], {"hazard": 1, "works": 2, "fails": 3})
    assert list(json.loads(render_json(report))["counts"]) == ["works", "fails", "hazard"]


@pytest.mark.parametrize("figure", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_not_finite_cannot_be_reported(figure: float) -> None:
    with pytest.raises(ValueError, match="finite number"):
        bar(1, 2, None, figure)
    with pytest.raises(ValueError, match="finite number"):
        Amount(low=figure, high=figure, unit="w", text="not known")


def test_names_are_kept_as_written() -> None:
    assert json.loads(render_json(sample_report()))["circuits"][7]["circuit"] == HOSTILE


def test_a_look_up_is_valid_by_the_published_schema_and_reads_back_the_same() -> None:
    for lookup in (sample_lookup(), sample_lookup(15)):
        text = render_lookup_json(lookup)
        schema = json.loads((ROOT / "schemas" / "lookup.schema.json").read_text(encoding="utf-8"))
        assert list(Draft202012Validator(schema).iter_errors(json.loads(text))) == []
        assert Lookup.model_validate_json(text) == lookup
        assert list(json.loads(text)) == list(Lookup.names())
        assert text == render_lookup_json(lookup)
        assert text.startswith('{\n  "lookup": "lookup/1",\n')
        assert text.endswith("\n}\n")
