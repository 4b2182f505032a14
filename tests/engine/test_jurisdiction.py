"""Item 40: rules of a place, asked for in the project, by default of none; they speak of light sources."""

from __future__ import annotations

from pathlib import Path

import pytest

import compat

COLUMNS = (
    "Circuit,Room,Type,Load type,Quantity,Watts,Power factor,Displacement factor,Dim floor,Standby,"
    "Dimming,Wanted control"
)
ROWS = (
    "1,Bed,Fan,motor,1,40,0.6,,,,Switched,switched",
    "2,Hall,Downlight,LED lamp,6,8,0.8,0.4,30,,Leading edge,dimmed",
    "3,Living,Downlight,constant-current LED driver,6,40,0.95,0.95,5,0.8,DALI,dimmed",
)
OF_A_PLACE = {"R0213", "R0214", "R0215", "R0216", "R0260", "R0261"}
BROKEN = {
    "none": {},
    "eu": {"2": {"R0213"}, "3": {"R0214"}},
    "uk": {"2": {"R0213"}, "3": {"R0214"}},
    "us": {"2": {"R0261"}},
    "us-ca": {"2": {"R0215", "R0216"}},
}


@pytest.mark.parametrize("place", list(BROKEN))
def test_40_rules_of_a_place(place: str, tmp_path: Path) -> None:
    schedule, project = tmp_path / "house.csv", tmp_path / "house.toml"
    schedule.write_text("\n".join([COLUMNS, *ROWS]), encoding="utf-8")
    asked = f'jurisdiction = "{place}"\n' if place != "none" else ""
    project.write_text(f'schema = "project/1"\nname = "Invented"\n{asked}', encoding="utf-8")
    report = compat.check(schedule, project=project).report
    told = {
        circuit.circuit: {
            finding.rule
            for finding in circuit.findings
            if finding.rule in OF_A_PLACE and finding.verdict in ("fails", "marginal")
        }
        for circuit in report.circuits
    }
    assert {name: rules for name, rules in told.items() if rules} == BROKEN[place]
    spoken = {f.rule for circuit in report.circuits for f in circuit.findings} & OF_A_PLACE
    assert bool(spoken) == (place != "none")
