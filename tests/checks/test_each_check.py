"""Each check of the dataset finds what it is there for, and says so by name."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

import compat.checks
from compat.checks.run import CHECKS, check_dataset
from tests.checks.parts import (
    MINIMUM,
    MINIMUM_CASES,
    MOTOR,
    MOTOR_CASES,
    NEUTRAL,
    NEUTRAL_CASES,
    Break,
    add,
    cut,
    found_by,
    found_in,
    small_dataset,
    swap,
)
from tests.dataset.parts import restored

DMX = "datasets/drivers/dmx-drivers.toml"
SOURCES = "datasets/sources/rules.toml"
MEMORY = '[[sources]]\nsource = "S0002"\nsupports = ["requires"]\nbasis = "memory"\n'


def withdrawn(root: Path) -> None:
    swap(NEUTRAL, 'status = "stable"', 'status = "withdrawn"')(root)


def both(*breaks: Break) -> Break:
    def breaking(root: Path) -> None:
        for step in breaks:
            step(root)

    return breaking


# Name of the check, what is broken, and what it must say.
BREAKS: list[tuple[str, Break, str]] = [
    (
        "published-schemas",
        swap("schemas/rule.schema.json", '"^R[0-9]{4}$"', '"^R[0-9]{5}$"'),
        "schemas/rule.schema.json: the published schema is not the one the program uses. "
        "Run: compat dataset schemas.",
    ),
    (
        "published-schemas",
        lambda root: (root / "schemas" / "cables.schema.json").unlink(),
        "schemas/cables.schema.json: the published schema is not the one the program uses",
    ),
    (
        "published-schemas",
        swap(DMX, 'methods = ["dmx", "switched"]', 'methods = ["dmx", "dmx"]'),
        "traits.methods: ['dmx', 'dmx'] is not allowed",
    ),
    (
        "ids",
        swap(NEUTRAL, 'id = "R0033"', 'id = "R0007"'),
        "switching/neutral-missing.toml, line 2: the id R0007 is given already in "
        "load/load-below-minimum.toml. Give a new one; ids are never used again.",
    ),
    (
        "ids",
        swap(NEUTRAL, 'slug = "neutral-missing"', 'slug = "load-below-minimum"'),
        "the slug load-below-minimum is given already in load/load-below-minimum.toml",
    ),
    (
        "ids",
        add("datasets/drivers/more.toml", 'schema = "drivers/1"\n[[driver]]\nid = "D0056"\nname = "x"\n'),
        "more.toml, line 3: the id D0056 is given already in dmx-drivers.toml.",
    ),
    (
        "file-names",
        swap(NEUTRAL, 'slug = "neutral-missing"', 'slug = "no-neutral"'),
        "neutral-missing.toml, line 3: the slug is 'no-neutral' and the file 'neutral-missing.toml'. "
        "Name the file no-neutral.toml.",
    ),
    (
        "file-names",
        swap(NEUTRAL_CASES, 'rule = "R0033"', 'rule = "R0034"'),
        "neutral-missing.cases.toml, line 2: the cases are of rule R0034, the rule beside them is R0033",
    ),
    (
        "file-names",
        add("rules/stray.toml", 'schema = "rule/1"\n'),
        "stray.toml: the file is not read: it is neither a rule nor the cases of one. Put it into rules/",
    ),
    (
        "file-names",
        add("rules/load/stray.cases.toml", 'schema = "cases/1"\n'),
        "load/stray.cases.toml: the file is not read",
    ),
    (
        "citations",
        swap(NEUTRAL, 'source = "S0001"', 'source = "S9999"'),
        "switching/neutral-missing.toml, line 25: the source S9999 is not in datasets/sources",
    ),
    (
        "citations",
        swap(NEUTRAL, 'supports = ["applies", "requires"]', 'supports = ["applies", "at_most"]'),
        "S0001 is said to support at_most, which the rule does not have",
    ),
    (
        "citations",
        swap(NEUTRAL, 'supports = ["applies", "requires"]', 'supports = ["applies"]'),
        'no source supports requires. Add supports = ["requires"] to one.',
    ),
    (
        "citations",
        swap(DMX, 'basis = "common_practice"', 'basis = "common_practice"\nsource = "S9998"'),
        "the source S9998 is not in datasets/sources",
    ),
    (
        "citations",
        swap(DMX, 'basis = "common_practice"', 'basis = "standard"'),
        "a value of basis standard needs its source",
    ),
    (
        "basis",
        both(cut(NEUTRAL, "[[sources]]"), add(NEUTRAL, MEMORY)),
        "switching/neutral-missing.toml, line 9: requires rests on memory alone and the breach is fails. "
        'Find a source, or write breach = "marginal".',
    ),
    (
        "basis",
        both(
            cut(NEUTRAL, "[[sources]]"),
            add(NEUTRAL, MEMORY.replace('basis = "memory"', 'basis = "common_practice"')),
        ),
        "requires rests on memory alone and the breach is fails",
    ),
    (
        "basis",
        cut(MOTOR, "caution =", "[ask_for]"),
        "motor-on-phase-cut.toml, line 9: a rule whose breach is a hazard needs a caution. Add caution.",
    ),
    (
        "slots",
        swap(MINIMUM, "{demand}", "{load}"),
        "load/load-below-minimum.toml, line 13: the slot {load} is not filled by this rule. Allowed: ",
    ),
    (
        "slots",
        swap(NEUTRAL, "{output.needs_neutral}", "{limit}"),
        "the slot {limit} is not filled by this rule. Allowed: circuit.neutral_at_control",
    ),
    (
        "slots",
        swap(NEUTRAL, "{output.needs_neutral}", "{output.min_load_w}"),
        "the slot {output.min_load_w} is not filled by this rule",
    ),
    (
        "ask-for",
        cut(NEUTRAL, '"output.needs_neutral" = "Must', '"circuit.'),
        "switching/neutral-missing.toml, line 20: ask_for has no question for output.needs_neutral. Add it.",
    ),
    (
        "ask-for",
        swap(
            NEUTRAL,
            '"output.needs_neutral" = "Must',
            '"output.min_load_w" = "x"\n"output.needs_neutral" = "Must',
        ),
        "ask_for has output.min_load_w, which the rule does not use. Remove it.",
    ),
    (
        "cases-present",
        lambda root: (root / NEUTRAL_CASES).unlink(),
        "switching/neutral-missing.toml: the rule has no readable cases file. "
        "Write switching/neutral-missing.cases.toml.",
    ),
    (
        "cases-present",
        swap(NEUTRAL_CASES, 'kind = "holds"', 'kind = "missing"'),
        "switching/neutral-missing.cases.toml: there is no case of kind 'holds'. Add one.",
    ),
    (
        "cases-present",
        swap(NEUTRAL_CASES, 'kind = "breaks"', 'kind = "missing"'),
        "there is no case of kind 'breaks'",
    ),
    (
        "cases-present",
        swap(NEUTRAL_CASES, 'kind = "not_applicable"', 'kind = "missing"'),
        "there is no case of kind 'not_applicable'",
    ),
    (
        "cases-present",
        swap(
            NEUTRAL_CASES, '"circuit.neutral_at_control" = "unknown"', '"circuit.neutral_at_control" = true'
        ),
        "there is no case in which circuit.neutral_at_control is missing. Add one.",
    ),
    (
        "cases-present",
        swap(NEUTRAL_CASES, '"circuit.neutral_at_control" = true\n', ""),
        "the case 'A neutral is in the box' does not give circuit.neutral_at_control. Give each, or",
    ),
    (
        "case-results",
        swap(NEUTRAL_CASES, '"circuit.neutral_at_control" = true', '"circuit.neutral_at_control" = false'),
        "neutral-missing.cases.toml, line 5: 'A neutral is in the box': expected works, found fails.",
    ),
    (
        "case-results",
        swap(NEUTRAL_CASES, 'expect = "works"', 'expect = "works"\nknown_gap = "we do not know better"'),
        "'A neutral is in the box' passes now. Remove its known_gap.",
    ),
    (
        "case-results",
        swap(
            NEUTRAL_CASES, '"circuit.neutral_at_control" = true', '"circuit.neutral_at_control" = "perhaps"'
        ),
        "a case cannot be read: 'perhaps' is not allowed; allowed: true or false",
    ),
    (
        "case-results",
        swap(NEUTRAL_CASES, '"circuit.neutral_at_control" = true', '"circuit.weather" = true'),
        "a case cannot be read: 'circuit.weather' is not in the vocabulary",
    ),
    (
        "applicability",
        swap(NEUTRAL, 'applies = "output.needs_neutral"', 'applies = "false"'),
        "switching/neutral-missing.toml, line 7: the rule can never apply. Withdraw it.",
    ),
    (
        "applicability",
        swap(NEUTRAL, 'requires = "circuit.neutral_at_control"', 'requires = "true"'),
        "the test of the rule uses no value, so it always gives the same",
    ),
    (
        "applicability",
        swap(NEUTRAL, 'breach = "fails"', 'breach = "marginal"'),
        "switching/neutral-missing.toml, line 9: no case shows the rule broken (marginal).",
    ),
    (
        "withdrawal",
        withdrawn,
        "switching/neutral-missing.toml, line 11: a withdrawn rule says why. Add withdrawn_because.",
    ),
    (
        "withdrawal",
        swap(NEUTRAL, 'status = "stable"', 'status = "stable"\nwithdrawn_because = "x"'),
        "line 12: a live rule has withdrawn_because. Remove it.",
    ),
    (
        "withdrawal",
        both(withdrawn, swap(NEUTRAL, "precedence =", 'superseded_by = ["R0800"]\nprecedence =')),
        "superseded_by names R0800, which is no live rule",
    ),
    (
        "withdrawal",
        both(withdrawn, swap(NEUTRAL, "precedence =", 'superseded_by = ["R0033"]\nprecedence =')),
        "superseded_by names R0033, which is no live rule",
    ),
]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_dataset(tmp_path_factory.mktemp("small"))


@pytest.fixture
def root(small: Path) -> Iterator[Path]:
    with restored(small) as folder:
        yield folder


def test_the_small_dataset_is_well(root: Path) -> None:
    assert found_in(root) == []


@pytest.mark.parametrize(("name", "breaking", "sentence"), BREAKS)
def test_a_broken_dataset_is_told_by_the_check(name: str, breaking: Break, sentence: str, root: Path) -> None:
    breaking(root)
    found = found_by(name, root)
    assert any(sentence in line for line in found), found


def test_both_forms_must_agree(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A case on which plain Python and the database differ is told as such."""
    monkeypatch.setattr(
        "compat.checks.case_results.database_outcomes", lambda rule, cases, *_: ["hazard"] * len(cases)
    )
    found = found_by("case-results", root)
    assert any("plain Python says works, the database hazard" in line for line in found), found


def test_every_check_has_a_dataset_that_it_finds_broken() -> None:
    """A new module in compat/checks is not done before it is listed, described and shown to work."""
    modules = [import_module(f"compat.checks.{found.name}") for found in iter_modules(compat.checks.__path__)]
    checks = {module.NAME: module for module in modules if hasattr(module, "NAME")}
    assert {name for name, _, _ in BREAKS} == set(checks)
    assert sorted(module.NAME for module in CHECKS) == sorted(checks)
    for module in checks.values():
        assert module.SCOPE in ("rule", "table", "dataset")
        assert len(module.SENTENCE.split()) > 4
        assert module.__doc__


UNREADABLE = {
    NEUTRAL: (
        'breach = "fails"',
        "breach = fails",
        "readable: neutral-missing.toml, line 9: this is not TOML",
    ),
    MINIMUM: (
        "circuit.input_power_w",
        "circuit.power",
        "readable: load-below-minimum.toml, line 8: demand cannot be read",
    ),
    MOTOR_CASES: ('kind = "holds"', 'kind = "hold"', "readable: motor-on-phase-cut.cases.toml, line"),
    "datasets/outputs/dmx.toml": ('method = "dmx"', 'method = "dmy"', "readable: dmx.toml, line"),
    "datasets/vocabulary/traits.csv": ("quantity,w,", "quantity,watt,", "readable: traits.csv, line"),
    SOURCES: ('kind = "practice"', 'kind = "rumour"', "readable: rules.toml, line"),
}


@pytest.mark.parametrize("file", UNREADABLE)
def test_what_cannot_be_read_is_told_first(file: str, root: Path) -> None:
    old, new, sentence = UNREADABLE[file]
    swap(file, old, new)(root)
    assert found_in(root)[0].startswith(sentence)


def test_all_breaches_are_told_at_once(root: Path) -> None:
    swap(NEUTRAL, 'slug = "neutral-missing"', 'slug = "no-neutral"')(root)
    swap(MINIMUM_CASES, 'expect = "fails"', 'expect = "works"')(root)
    swap(MOTOR, "{circuit.load_types}", "{load_types}")(root)
    assert {line.split(":")[0] for line in found_in(root)} == {"file-names", "case-results", "slots"}


def test_a_folder_that_is_no_dataset(tmp_path: Path) -> None:
    (breach,) = check_dataset(tmp_path)
    assert breach.check == "readable"
    assert "this is no rules dataset" in breach.fault.sentence()


RULE_ALONE = """\
schema = "rule/1"
id = "R0900"
slug = "too-many-slots"
title = "A circuit must not take more slots than there are."
question = "Are there enough slots?"
scope = "pairing"
applies = "output.method == dmx"
demand = "circuit.dmx_slots"
at_most = "output.dmx_slots"
breach = "hazard"
because = "The circuit takes {demand} slots; there are {limit}."
remedies = ["Use another output."]

[[sources]]
source = "S0001"
supports = ["demand"]
basis = "common_practice"
"""


def test_a_stranger_with_nothing_but_a_rule_file_is_told_all_that_is_missing(root: Path) -> None:
    add("rules/dmx/too-many-slots.toml", RULE_ALONE)(root)
    place = "dmx/too-many-slots.toml"
    assert found_in(root) == [
        f'citations: {place}, line 14: no source supports at_most. Add supports = ["at_most"] to one.',
        f"basis: {place}, line 10: a rule whose breach is a hazard needs a caution. Add caution.",
        f"ask-for: {place}: ask_for has no question for circuit.dmx_slots. Add it.",
        f"ask-for: {place}: ask_for has no question for output.dmx_slots. Add it.",
        f"cases-present: {place}: the rule has no readable cases file. Write dmx/too-many-slots.cases.toml.",
    ]


def test_a_stranger_with_a_cases_file_is_told_which_cases_are_missing(root: Path) -> None:
    add("rules/dmx/too-many-slots.toml", RULE_ALONE)(root)
    case = '[[case]]\nname = "x"\nkind = "holds"\nexpect = "works"\n[case.given]\n"output.method" = "dmx"\n'
    add("rules/dmx/too-many-slots.cases.toml", f'schema = "cases/1"\nrule = "R0900"\n{case}')(root)
    place = "dmx/too-many-slots.cases.toml"
    assert found_by("cases-present", root) == [
        f"{place}: there is no case of kind 'breaks'. Add one.",
        f"{place}: there is no case of kind 'at_limit'. Add one.",
        f"{place}: there is no case of kind 'past_limit'. Add one.",
        f"{place}: there is no case of kind 'not_applicable'. Add one.",
        f"{place}: there is no case in which circuit.dmx_slots is missing. Add one.",
        f"{place}: there is no case in which output.dmx_slots is missing. Add one.",
        f"{place}, line 4: the case 'x' does not give circuit.dmx_slots, output.dmx_slots. "
        'Give each, or "unknown".',
    ]
