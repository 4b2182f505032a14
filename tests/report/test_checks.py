"""The answer of ``compat dataset check`` in each of its forms."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema
import pytest

from compat.checks.answer import answer_of
from compat.checks.run import CHECKS, CheckFault
from compat.model.checks import ChecksReport
from compat.model.faults import Fault
from compat.model.values import Origin
from compat.report.checks_annotations import render_annotations
from compat.report.checks_json import render_json
from compat.report.checks_junit import render_junit
from compat.report.checks_sarif import render_sarif
from compat.report.checks_text import render_text
from tests.conftest import ROOT

# The schema of the OASIS standard as published with it, kept here so that no network is needed.
SARIF_SCHEMA = json.loads((ROOT / "tests" / "data" / "sarif-schema-2.1.0.json").read_text(encoding="utf-8"))
HOSTILE = 'a <b> & "c" %0A::error::, x\n\x00\x1b[31m\u202e'
BREACHES = [
    CheckFault("slots", Fault("the slot {x} is not filled", Origin("load/load-below-minimum.toml", line=13))),
    CheckFault("readable", Fault("this is not TOML", Origin("dmx-drivers.toml", line=4), do="Mend the line")),
    CheckFault("slots", Fault("100 % wrong", Origin("nowhere.toml"), "Allowed: nothing", "Stop")),
    CheckFault("ids", Fault(HOSTILE, Origin("strange: name, 1 %.toml", line=1))),
]


@pytest.fixture(scope="module")
def well() -> ChecksReport:
    return answer_of(CHECKS, [], ROOT)


@pytest.fixture(scope="module")
def faulty() -> ChecksReport:
    return answer_of(CHECKS, BREACHES, ROOT)


def test_every_check_is_told_with_its_faults(faulty: ChecksReport) -> None:
    assert [note.name for note in faulty.checked] == ["readable", *(check.name for check in CHECKS)]
    counted = {note.name: note.faults for note in faulty.checked if note.faults}
    assert counted == {"readable": 1, "slots": 2, "ids": 1}


def test_the_file_of_a_fault_is_found(faulty: ChecksReport) -> None:
    assert [Path(fault.path).name for fault in faulty.faults] == [
        "load-below-minimum.toml",
        "dmx-drivers.toml",
        "nowhere.toml",
        "strange: name, 1 %.toml",
    ]
    assert faulty.faults[0].path == "rules/load/load-below-minimum.toml"
    assert faulty.faults[1].path == "datasets/drivers/dmx-drivers.toml"


def test_paths_start_where_the_command_was_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT.parent)
    report = answer_of(CHECKS, BREACHES[:1], Path(ROOT.name))
    assert report.faults[0].path == f"{ROOT.name}/rules/load/load-below-minimum.toml"


def test_no_path_of_this_machine_is_told(tmp_path: Path) -> None:
    breaches = [CheckFault("readable", Fault("this is no rules dataset", Origin(str(tmp_path / "x.toml"))))]
    report = answer_of(CHECKS, breaches, tmp_path)
    assert report.faults[0].path == "x.toml"
    assert report.dataset_version is None


def test_text(well: ChecksReport, faulty: ChecksReport) -> None:
    assert render_text(well) == f"all well: {len(CHECKS)} checks\n"
    lines = render_text(faulty).splitlines()
    assert lines[0] == "slots: load/load-below-minimum.toml, line 13: the slot {x} is not filled."
    assert lines[2] == "slots: nowhere.toml: 100 % wrong. Allowed: nothing. Stop."
    assert len(lines) == len(BREACHES)
    assert all(line.isprintable() for line in lines)


def test_json_fits_its_published_schema(well: ChecksReport, faulty: ChecksReport) -> None:
    schema = json.loads((ROOT / "schemas" / "checks.schema.json").read_text(encoding="utf-8"))
    for report in (well, faulty):
        data = json.loads(render_json(report))
        jsonschema.Draft202012Validator(schema).validate(data)
        assert ChecksReport.model_validate(data) == report
    assert data["faults"][0]["line"] == 13
    assert data["faults"][2] == {
        "check": "slots",
        "path": "nowhere.toml",
        "line": None,
        "key": None,
        "what": "100 % wrong",
        "allowed": "Allowed: nothing",
        "do": "Stop",
        "sentence": "nowhere.toml: 100 % wrong. Allowed: nothing. Stop.",
    }


def sarif(report: ChecksReport) -> dict[str, Any]:
    log: dict[str, Any] = json.loads(render_sarif(report))
    checker = jsonschema.FormatChecker()
    jsonschema.Draft4Validator(SARIF_SCHEMA, format_checker=checker).validate(log)
    return log


def test_sarif_fits_the_schema_of_the_standard(well: ChecksReport, faulty: ChecksReport) -> None:
    log = sarif(faulty)
    assert (log["version"], log["$schema"]) == ("2.1.0", SARIF_SCHEMA["id"])
    (run,) = log["runs"]
    names = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert names == sorted({"readable", *(check.name for check in CHECKS)})
    for result in run["results"]:
        assert names[result["ruleIndex"]] == result["ruleId"]
    (place,) = run["results"][0]["locations"]
    assert place["physicalLocation"] == {
        "artifactLocation": {"uri": "rules/load/load-below-minimum.toml"},
        "region": {"startLine": 13},
    }
    strange = run["results"][3]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert strange == "strange%3A%20name%2C%201%20%25.toml"
    assert sarif(well)["runs"][0]["results"] == []


def test_the_schema_of_the_standard_refuses_what_is_wrong(faulty: ChecksReport) -> None:
    log = sarif(faulty)
    del log["runs"][0]["results"][0]["message"]
    with pytest.raises(jsonschema.ValidationError, match="'message' is a required property"):
        jsonschema.Draft4Validator(SARIF_SCHEMA).validate(log)


def test_junit_has_one_passing_case_when_all_is_well(well: ChecksReport) -> None:
    root = ElementTree.fromstring(render_junit(well))
    (case,) = root.iter("testcase")
    assert root.get("tests") == "1"
    assert root.get("failures") == "0"
    assert case.get("name") == f"all well: {len(CHECKS)} checks"
    assert list(case) == []


def test_junit_has_a_failure_for_each_fault(faulty: ChecksReport) -> None:
    root = ElementTree.fromstring(render_junit(faulty))
    cases = list(root.iter("testcase"))
    assert root.get("tests") == root.get("failures") == str(len(cases)) == str(len(BREACHES))
    assert [case.get("classname") for case in cases] == ["slots", "readable", "slots", "ids"]
    assert cases[0].get("name") == "rules/load/load-below-minimum.toml:13"
    failure = cases[0].find("failure")
    assert failure is not None
    assert failure.text == "load/load-below-minimum.toml, line 13: the slot {x} is not filled."


def test_annotations(well: ChecksReport, faulty: ChecksReport) -> None:
    lines = render_annotations(faulty).splitlines()
    assert lines[0] == (
        "::error file=rules/load/load-below-minimum.toml,line=13,title=slots::"
        "load/load-below-minimum.toml, line 13: the slot {x} is not filled."
    )
    assert lines[2].startswith("::error file=nowhere.toml,title=slots::nowhere.toml: 100 %25 wrong.")
    assert lines[3].startswith("::error file=strange%3A name%2C 1 %25.toml,line=1,title=ids::")
    # A text of a file can start no command of its own.
    assert len(lines) == len(BREACHES)
    assert all(re.fullmatch(r"::error [^:]*::.*", line) for line in lines)
    assert render_annotations(well) == f"::notice title=compat dataset check::{well.all_well()}\n"
