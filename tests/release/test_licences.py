"""Code is Apache-2.0 and data CC0-1.0, and each says so where it lives."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from tests.conftest import ROOT

CODE, DATA = "Apache-2.0", "CC0-1.0"


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def test_the_texts_are_those_of_the_licences() -> None:
    assert "Apache License" in read("LICENSE")
    assert "Version 2.0, January 2004" in read("LICENSE")
    assert "END OF TERMS AND CONDITIONS" in read("LICENSE")
    assert read("LICENSE-DATA").startswith("Creative Commons Legal Code\n\nCC0 1.0 Universal\n")
    assert "4. Limitations and Disclaimers." in read("LICENSE-DATA")


def test_the_package_names_both_and_carries_both_texts() -> None:
    project = tomllib.loads(read("pyproject.toml"))["project"]
    assert project["license"] == f"{CODE} AND {DATA}"
    assert project["license-files"] == ["LICENSE", "LICENSE-DATA"]


@pytest.mark.parametrize("folder", ["compat", "tests"])
def test_code_says_its_licence(folder: str) -> None:
    first = read(f"{folder}/__init__.py").splitlines()[0]
    assert first == f"# SPDX-License-Identifier: {CODE}"


@pytest.mark.parametrize("folder", ["rules", "datasets", "schemas"])
def test_data_says_its_licence(folder: str) -> None:
    text = read(f"{folder}/README.md")
    assert f"SPDX-License-Identifier: {DATA}" in text
    assert "LICENSE-DATA" in text


def test_the_readme_says_which_holds_where() -> None:
    text = " ".join(read("README.md").split())
    assert f"Code (`compat/`, `tests/`): {CODE}" in text
    assert f"Data (`rules/`, `datasets/`, `schemas/`): {DATA}" in text


def test_a_release_is_data(release: Path) -> None:
    assert (release / "LICENSE-DATA").read_text(encoding="utf-8") == read("LICENSE-DATA")
    package = json.loads((release / "datapackage.json").read_text(encoding="utf-8"))
    assert [licence["name"] for licence in package["licenses"]] == [DATA]
    tables = json.loads(read("datasets/datapackage.json"))
    assert [licence["name"] for licence in tables["licenses"]] == [DATA]
