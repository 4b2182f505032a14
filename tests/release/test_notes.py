"""Release notes: what it holds, and with ``--since`` what changed; a version too low is refused."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from compat.dataset.read import load_dataset
from tests.cli.parts import called
from tests.dataset.parts import replaced

RULE = "rules/load/load-below-minimum.toml"


@pytest.fixture
def newer(source: Path, tmp_path: Path) -> Path:
    """A newer edition of the same version, in which one rule is worded otherwise."""
    root = tmp_path / "newer"
    shutil.copytree(source, root)
    replaced(root / RULE, 'title = "The load', 'title = "The whole load')
    return root


def next_patch(root: Path) -> str:
    major, minor, patch = load_dataset(root).version.split(".")
    return f"{major}.{minor}.{int(patch) + 1}"


def test_without_an_older_edition_the_notes_say_what_it_holds(release: Path) -> None:
    notes = (release / "RELEASE-NOTES.md").read_text(encoding="utf-8")
    assert "## What it holds" in notes
    assert "## Changes since" not in notes
    assert "licensed electrician" in notes


def test_the_notes_are_made_from_the_changes(source: Path, newer: Path, tmp_path: Path) -> None:
    old, new = load_dataset(source).version, next_patch(newer)
    replaced(newer / "datasets" / "datapackage.json", f'"version": "{old}"', f'"version": "{new}"')
    ended = called("dataset", "build", newer, "--since", source, "--output", tmp_path / "out")
    assert ended.code == 0, ended.err
    notes = (tmp_path / f"out/lighting-control-compatibility-{new}/RELEASE-NOTES.md").read_text("utf-8")
    assert f"## Changes since {old}\n\nVersion step: patch; the changes ask for patch.\n" in notes
    assert "### Reworded\n\n- rule `R0007` " in notes
    assert "### Verdicts that moved\n\n- `house.xlsx`: none of " in notes
    assert str(tmp_path) not in notes


def test_a_version_that_does_not_tell_the_changes_is_refused(
    source: Path, newer: Path, tmp_path: Path
) -> None:
    ended = called("dataset", "build", newer, "--since", source, "--output", tmp_path / "out")
    version = load_dataset(source).version
    assert ended.code == 2
    assert ended.err == (
        f"datapackage.json, version: the version is {version}; the changes since {version} ask for patch. "
        f"Write version {next_patch(source)} or a higher one.\n"
    )
    assert not (tmp_path / "out").exists()
