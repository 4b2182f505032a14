"""Rule files: what is wrong with one is told by field and line, all of it in one go."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.model.faults import BadInput
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.rules import cases_file, read_cases, read_rule, read_rules, rule_files
from tests.conftest import ROOT

RULE = """\
schema = "rule/1"
id = "R0900"
slug = "too-heavy"
title = "The load must not be too heavy."
question = "Is it too heavy?"
scope = "pairing"
applies = "output.method == switched"
demand = "circuit.input_power_w"
at_most = "output.max_load_w"
breach = "fails"
because = "The circuit draws {demand}; the output takes {limit}."
remedies = ["Use another output."]

[ask_for]
"circuit.input_power_w" = "What power?"

[[sources]]
source = "S0001"
supports = ["at_most"]
basis = "common_practice"
"""


def write(folder: Path, text: str, name: str = "too-heavy") -> Path:
    path = folder / "load" / f"{name}.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def sentences(path: Path, vocabulary: Vocabulary) -> list[str]:
    with pytest.raises(BadInput) as caught:
        read_rule(path, vocabulary)
    return [fault.sentence() for fault in caught.value.faults]


def test_a_rule_is_read_into_trees(tmp_path: Path, vocabulary: Vocabulary) -> None:
    rule = read_rule(write(tmp_path, RULE), vocabulary)
    assert (rule.rule.id, rule.family, rule.file.name) == ("R0900", "load", "too-heavy.toml")
    assert rule.names == ["output.method", "circuit.input_power_w", "output.max_load_w"]
    assert rule.test == nodes.AtMost(rule.demand, rule.limit)  # type: ignore[arg-type]
    assert rule.rule.precedence == 500
    assert rule.condition == nodes.Either(nodes.Not(rule.applies), rule.test)


def test_at_least_turns_the_sides(tmp_path: Path, vocabulary: Vocabulary) -> None:
    rule = read_rule(write(tmp_path, RULE.replace("at_most", "at_least")), vocabulary)
    assert rule.test == nodes.AtMost(rule.limit, rule.demand)  # type: ignore[arg-type]


def test_requires_has_no_demand(tmp_path: Path, vocabulary: Vocabulary) -> None:
    test = 'requires = "output.needs_neutral"'
    text = RULE.replace('demand = "circuit.input_power_w"\nat_most = "output.max_load_w"', test)
    rule = read_rule(write(tmp_path, text), vocabulary)
    assert (rule.demand, rule.limit) == (None, None)
    assert rule.test == nodes.YesNoName("output.needs_neutral")


FAULTY = {
    "no test": ('at_most = "output.max_load_w"\n', "", "a rule has either a demand with at_most or at_least"),
    "no demand": ('demand = "circuit.input_power_w"\n', "", "has either a demand with at_most or at_least"),
    "two limits": ('breach = "fails"', 'at_least = "w(1)"\nbreach = "fails"', "Give exactly one of the"),
    "test and limit": (
        'breach = "fails"',
        'requires = "output.needs_neutral"\nbreach = "fails"',
        "Give exactly one of the three",
    ),
    "unlike dimensions": (
        "output.max_load_w",
        "output.max_current_a",
        "too-heavy.toml, line 9: at_most cannot be read: current cannot be compared with or added to power.",
    ),
    "unknown trait": (
        "circuit.input_power_w",
        "circuit.input_power_ww",
        "too-heavy.toml, line 8: demand cannot be read: 'circuit.input_power_ww' is not in the vocabulary. "
        "Nearest: circuit.input_power_w",
    ),
    "driver in a pairing": (
        "circuit.input_power_w",
        "driver.input_power_w",
        "line 8: demand cannot be read: driver.input_power_w cannot be used here; allowed subjects: breaker",
    ),
    "python in applies": (
        "output.method == switched",
        "__import__('os')",
        "too-heavy.toml, line 7: applies cannot be read: the character",
    ),
    "scope without names": ('scope = "pairing"', 'scope = "system"', "cannot be used here; allowed subjects"),
    "unknown field": (
        'scope = "pairing"',
        'scope = "pairing"\nscoep = 1',
        "line 7, scoep: 'scoep' is no field of this file. Nearest: scope",
    ),
    "missing field": ('title = "The load must not be too heavy."\n', "", "title: 'title' is missing. Add it"),
    "wrong breach": (
        'breach = "fails"',
        'breach = "breaks"',
        "line 10, breach: 'breaks' is not allowed. Input should be 'marginal'",
    ),
    "wrong id": (
        'id = "R0900"',
        'id = "R900"',
        "line 2, id: 'R900' is not allowed. String should match pattern",
    ),
    "wrong schema": (
        "rule/1",
        "rule/2",
        "line 1, schema: 'rule/2' is not allowed. Input should be 'rule/1'",
    ),
    "wrong slug": ("too-heavy", "Too heavy", "line 3, slug: 'Too heavy' is not allowed"),
    "no sources": (
        '[[sources]]\nsource = "S0001"\nsupports = ["at_most"]\nbasis = "common_practice"\n',
        "",
        "'sources' is missing",
    ),
    "wrong basis": (
        'basis = "common_practice"',
        'basis = "hearsay"',
        "sources.0.basis: 'hearsay' is not allowed",
    ),
    "not TOML": (
        'breach = "fails"',
        "breach = fails",
        "too-heavy.toml, line 10: this is not TOML: Invalid value. Mend the line.",
    ),
    "long expression": ("output.method == switched", "true and " * 120 + "true", "applies: 'true and"),
}


@pytest.mark.parametrize(("old", "new", "sentence"), FAULTY.values(), ids=FAULTY)
def test_a_faulty_rule_is_told_by_field_and_line(
    old: str, new: str, sentence: str, tmp_path: Path, vocabulary: Vocabulary
) -> None:
    assert old in RULE
    found = sentences(write(tmp_path, RULE.replace(old, new)), vocabulary)
    assert any(sentence in line for line in found), found


def test_all_faults_of_a_rule_are_told_at_once(tmp_path: Path, vocabulary: Vocabulary) -> None:
    text = RULE.replace("== switched", "== swotched").replace("input_power_w", "power")
    text = text.replace("output.max_load_w", "9 ** 9")
    found = sentences(write(tmp_path, text), vocabulary)
    assert [line.split(" cannot be read")[0] for line in found] == [
        "too-heavy.toml, line 7: applies",
        "too-heavy.toml, line 8: demand",
        "too-heavy.toml, line 9: at_most",
    ]


def test_all_faults_of_all_files_are_told_at_once(tmp_path: Path, vocabulary: Vocabulary) -> None:
    write(tmp_path, RULE.replace('breach = "fails"', "breach = fails"), "one")
    write(tmp_path, RULE, "two")
    write(tmp_path, RULE.replace("R0900", "900"), "three")
    with pytest.raises(BadInput) as caught:
        read_rules(tmp_path, vocabulary)
    assert [fault.where.file for fault in caught.value.faults] == ["one.toml", "three.toml"]


def test_rules_are_told_by_precedence_then_id_and_withdrawn_ones_not_at_all(
    tmp_path: Path, vocabulary: Vocabulary
) -> None:
    precedence = '"fails"\nprecedence = 100'
    write(tmp_path, RULE.replace("R0900", "R0905"), "a")
    write(tmp_path, RULE.replace("R0900", "R0904"), "b")
    write(tmp_path, RULE.replace("R0900", "R0909").replace('"fails"', precedence), "c")
    write(tmp_path, RULE.replace("R0900", "R0901").replace('"fails"', '"fails"\nstatus = "withdrawn"'), "d")
    assert [rule.rule.id for rule in read_rules(tmp_path, vocabulary)] == ["R0909", "R0904", "R0905"]


def test_cases_are_no_rules(tmp_path: Path) -> None:
    path = write(tmp_path, RULE)
    cases_file(path).write_text("", encoding="utf-8")
    assert list(rule_files(tmp_path)) == [path]
    assert cases_file(path).name == "too-heavy.cases.toml"


def test_a_faulty_cases_file_is_told_by_field(tmp_path: Path) -> None:
    path = tmp_path / "too-heavy.cases.toml"
    path.write_text(
        'schema = "cases/1"\nrule = "R0900"\n[[case]]\nname = "a"\nkind = "hold"\nexpect = "works"\n'
    )
    with pytest.raises(BadInput) as caught:
        read_cases(path)
    found = [fault.sentence() for fault in caught.value.faults]
    assert any("line 5, case.0.kind: 'hold' is not allowed" in line for line in found)
    assert any("case.0.given: 'given' is missing" in line for line in found)


def test_every_published_rule_can_be_read(vocabulary: Vocabulary) -> None:
    files = list(rule_files(ROOT / "rules"))
    assert len(files) > 40
    for path in files:
        assert read_rule(path, vocabulary).rule.slug == path.stem
