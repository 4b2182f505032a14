"""The page's interpreter and the command give the same reports."""

from __future__ import annotations

import base64
import json
import os
import random
import subprocess
from pathlib import Path
from typing import Any

import pytest

from compat import api
from tests.conftest import ROOT

pytestmark = pytest.mark.browser
# The houses judged by hand are among those of the demo.
HOUSES = (
    *sorted((ROOT / "datasets" / "demo").glob("*.csv")),
    ROOT / "datasets" / "demo" / "house.xlsx",
)
# As many look-ups by hand: COMPAT_LOOKUPS=500.
LOOKUPS = int(os.environ.get("COMPAT_LOOKUPS", "12"))
LABELS: tuple[dict[str, str], ...] = (
    {},
    {"--watts": "12", "--method": "trailing edge"},
    {"--watts": "4-6", "--inrush": "28 A / 380 us"},
    {"--power-factor": "0.5", "--load-type": "LED lamp"},
    {"--method": "DALI", "--current": "60 mA"},
)


def looked_up() -> list[dict[str, Any]]:
    """What is looked up: the same for every run."""
    chosen = random.Random(14)
    drivers = [entry.id for entry in api.list_entries("drivers")]
    return [
        {"driver": chosen.choice(drivers), "stated": chosen.choice(LABELS), "count": chosen.randint(1, 40)}
        for _ in range(LOOKUPS)
    ]


def rounded(told: Any) -> Any:
    """Numbers to 12 digits: the last ones are the mathematical library's, which is another in the page."""
    if isinstance(told, dict):
        return {name: rounded(value) for name, value in told.items()}
    if isinstance(told, list):
        return [rounded(value) for value in told]
    return float(f"{told:.12g}") if isinstance(told, float) else told


def test_houses_and_look_ups_have_equal_reports(built: Path, tmp_path: Path) -> None:
    jobs: list[dict[str, Any]] = []
    wanted: list[str] = []
    for path in HOUSES:
        beside = [one for one in (path, path.with_suffix(".toml")) if one.exists()]
        files = {one.name: base64.b64encode(one.read_bytes()).decode() for one in beside}
        result = api.check(path)
        jobs.append({"check": path.name, "files": files})
        wanted += [result.to_json(), result.to_html()]
    for asked in looked_up():
        jobs.append({"lookup": asked})
        wanted.append(api.lookup(**asked).to_json())
    (tmp_path / "jobs.json").write_text(json.dumps(jobs), encoding="utf-8")
    command = ["node", str(ROOT / "tests" / "page" / "in_node.mjs"), str(built)]
    subprocess.run([*command, str(tmp_path / "jobs.json"), str(tmp_path / "told.json")], check=True)
    told = json.loads((tmp_path / "told.json").read_text(encoding="utf-8"))
    assert len(told) == len(wanted)
    for page, command_line in zip(told, wanted, strict=True):
        if page.startswith("<"):
            assert page == command_line
        else:
            assert rounded(json.loads(page)) == rounded(json.loads(command_line))
