"""Each check of the dataset finds what it is there for, and says so by name."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import get_args

import pytest

import compat.checks
from compat.checks.context import DatasetCheck
from compat.checks.run import CHECKS, check_dataset
from compat.model.checks import Scope
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
TRAITS = "datasets/vocabulary/traits.csv"
RELATION = """
schema = "relation/1"
id = "F0900"
slug = "a-fan-is-never-dimmed"
title = "A fan is never dimmed."
applies = "driver.load_type == motor"
holds = "driver.dimming_forbidden"

[[sources]]
source = "S0001"
basis = "common_practice"

[[case]]
name = "a fan"
given = { "driver.load_type" = "motor" }
follows = { "driver.dimming_forbidden" = true }

[[case]]
name = "a lamp"
given = { "driver.load_type" = "integral_lamp" }
follows = { "driver.dimming_forbidden" = "unknown" }
"""
USUAL = """
schema = "usual/1"

[[class]]
id = "K0900"
slug = "dmx-gear"
name = "DMX gear"
applies = "dmx in driver.methods"
[class.traits]
control_insulation = "selv"
dmx_unit_loads = [0.1, 1]
"""
A_RELATION = "rules/relations/a-fan-is-never-dimmed.toml"
A_USUAL = "datasets/usual/one.toml"
INTAKE_HEADINGS = "datasets/intake/headings.csv"
INTAKE_WORDS = "datasets/intake/words.csv"
UNUSED = """
[[source]]
id = "S0999"
short = "Unread book"
title = "A book"
kind = "textbook"
read_as = "read"
checked_on = "2026-11-25"
"""
EXCEPTION = """
[[exception]]
check = "support"
place = "switching/neutral-missing.toml"
reason = "the clause is being looked up"
until = "2027-06-30"
"""
MEMORY = '[[sources]]\nsource = "S0002"\nsupports = ["requires"]\nbasis = "memory"\n'


def withdrawn(root: Path) -> None:
    swap(NEUTRAL, 'status = "stable"', 'status = "withdrawn"')(root)


def both(*breaks: Break) -> Break:
    def breaking(root: Path) -> None:
        for step in breaks:
            step(root)

    return breaking


def added(file: str, text: str, *changes: tuple[str, str]) -> Break:
    """A break that adds a file of a text with some changes."""

    def breaking(root: Path) -> None:
        changed = text
        for old, new in changes:
            assert old in changed
            changed = changed.replace(old, new)
        (root / file).parent.mkdir(exist_ok=True)
        (root / file).write_text(changed.lstrip(), encoding="utf-8")

    return breaking


def copied(file: str, name: str, change: tuple[str, str]) -> Break:
    """A break that adds a second rule, the first one with a change and an id and slug of its own."""

    def breaking(root: Path) -> None:
        text = (root / file).read_text(encoding="utf-8")
        slug = name.split("/")[1]
        for old, new in (
            change,
            ('id = "R0033"', 'id = "R0900"'),
            ('slug = "neutral-missing"', f'slug = "{slug}"'),
        ):
            assert old in text, old
            text = text.replace(old, new, 1)
        (root / f"rules/{name}.toml").write_text(text, encoding="utf-8")

    return breaking


# Name of the check, what is broken, and what it must say.
BREAKS: list[tuple[str, Break, str]] = [
    (
        "hazard-defaults",
        swap(
            MOTOR,
            "and motor in circuit.load_types",
            "and motor in circuit.load_types and circuit.wanted_off_by_control",
        ),
        "line 9: the breach is a hazard, and defaults.toml fills in circuit.wanted_off_by_control.",
    ),
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
        "entry-citations",
        swap(DMX, 'basis = "common_practice"', 'basis = "common_practice"\nsource = "S9998"'),
        "the source S9998 is not in datasets/sources",
    ),
    (
        "entry-citations",
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
        "hazard-defaults",
        swap(
            "datasets/defaults.toml",
            "[circuit_defaults]",
            '[driver_defaults]\nload_type = "incandescent"\n\n[circuit_defaults]',
        ),
        "the breach is a hazard, and defaults.toml fills in circuit.load_types. Take the default away",
    ),
    (
        "slots",
        swap(NEUTRAL, "The output needs a neutral;", "The output needs {limit};"),
        "the slot {limit} is not filled by this rule. Allowed: circuit.neutral_at_control",
    ),
    (
        "slots",
        swap(NEUTRAL, "The output needs a neutral;", "The output needs {output.min_load_w};"),
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
    (
        "entry-citations",
        swap(DMX, 'basis = "common_practice"', 'basis = "standard"\nsource = "S0001"'),
        "basis standard needs a published source; this one is of kind practice. Correct one.",
    ),
    (
        "support",
        swap(NEUTRAL, 'basis = "common_practice"', 'basis = "standard"'),
        "switching/neutral-missing.toml, line 25: S0001: basis standard needs a published source; "
        "this one is of kind practice. Correct the basis or the source.",
    ),
    (
        "support",
        swap(NEUTRAL, 'basis = "common_practice"', 'basis = "memory"'),
        "S0001: basis memory does not go with a source that is not from memory",
    ),
    (
        "support",
        swap(NEUTRAL, 'basis = "common_practice"', 'basis = "derived"'),
        "S0001: basis derived needs a formula; a practice has none",
    ),
    (
        "support",
        swap(MINIMUM, 'locator = "3.12', 'edition = "3.12'),
        "load/load-below-minimum.toml, line 27: S0042 is cited without the part of it that is used. "
        "Add locator: clause, table, page or formula.",
    ),
    (
        "vocabulary",
        swap(TRAITS, "quantity,w,,sum,driver.input_power_w", "quantity,w,,summ,driver.input_power_w"),
        "circuit.input_power_w: gather is 'summ'; allowed: sum, least, greatest, largest_to_sum, some, "
        "every, all, any, column, line, count, types, computed. Nearest: sum.",
    ),
    (
        "vocabulary",
        swap(TRAITS, "quantity,w,,sum,driver.input_power_w", "quantity,w,,some,driver.input_power_w"),
        "circuit.input_power_w: gather some gives a set, not a quantity. Mend the kind or the way.",
    ),
    (
        "vocabulary",
        swap(TRAITS, "quantity,w,,sum,driver.input_power_w", "quantity,w,,sum,driver.input_current_a"),
        "circuit.input_power_w: driver.input_current_a is in the unit a, this is in w. Use one unit.",
    ),
    (
        "vocabulary",
        swap(TRAITS, "quantity,w,,sum,driver.input_power_w", "quantity,w,,sum,"),
        "circuit.input_power_w: gather sum needs the trait it is from. Write it under of.",
    ),
    (
        "vocabulary",
        swap(TRAITS, "quantity,w,,,,input power", "quantity,va,,,,input power"),
        "driver.input_power_w: the name does not end with its unit va. Name it input_power_w_va.",
    ),
    (
        "vocabulary",
        swap(TRAITS, "driver,methods,set,,method,,,", "driver,methods,set,,method,some,,"),
        "driver.methods: a trait of a driver is stated, not gathered. Leave gather and of empty.",
    ),
    (
        "relations",
        added(A_RELATION, RELATION, ('dimming_forbidden" = true', 'dimming_forbidden" = false')),
        "'a fan': driver.dimming_forbidden: expected False, found True.",
    ),
    (
        "relations",
        added(A_RELATION, RELATION, ("S0001", "S0998")),
        "the source S0998 is not in datasets/sources.",
    ),
    (
        "relations",
        added(A_RELATION, RELATION, ("a-fan-is", "no-fan-is")),
        "the slug is 'no-fan-is-never-dimmed' and the file 'a-fan-is-never-dimmed.toml'. "
        "Name the file no-fan-is-never-dimmed.toml.",
    ),
    (
        "relations",
        added(
            A_RELATION,
            RELATION,
            ('"driver.load_type == motor"', '"dmx in driver.methods"'),
            ('load_type" = "motor"', 'methods" = ["dmx", "switched"]'),
        ),
        "D0054: dimming_forbidden, methods cannot all be true by F0900. Correct one of them.",
    ),
    (
        "usual-values",
        added(A_USUAL, USUAL, ("[0.1, 1]", "[2, 3]")),
        "K0900 dmx_unit_loads: D0054 has 0.125 to 1, outside of it. Correct the class or the driver.",
    ),
    (
        "usual-values",
        added(A_USUAL, USUAL, ('"selv"', '"basic"')),
        "K0900 control_insulation: no generic driver of the class is so. Correct the class or the drivers.",
    ),
    (
        "usual-values",
        added(A_USUAL, USUAL, ('"selv"', '{ value = "selv", basis = "standard" }')),
        "K0900 control_insulation: a value of basis standard needs its source. "
        "Add source, or correct the basis.",
    ),
    (
        "vocabulary",
        add("datasets/vocabulary/traits.csv", "supply,noise_w,yes_no,,,,,noise,whether there is noise,,\n"),
        "supply.noise_w: the name ends with the unit w, and the trait has no such unit. Rename it.",
    ),
    (
        "vocabulary",
        add("datasets/vocabulary/choices.csv", "season,winter,winter,the cold one\n"),
        "no trait uses the list season. Remove it.",
    ),
    (
        "alias-tables",
        add(INTAKE_HEADINGS, "de,Schaltkreise,circut,,\n"),
        "the column 'circut' is not known. Nearest: circuit",
    ),
    (
        "alias-tables",
        add(INTAKE_HEADINGS, "en,Watts!,circuit,,\n"),
        "'Watts!' names circuit here and input_power_w in line",
    ),
    (
        "alias-tables",
        add(INTAKE_HEADINGS, "de,neutral at the control,room,,\n"),
        "'neutral at the control' is the name of the column neutral_at_control and stands for room. "
        "Leave it out.",
    ),
    (
        "alias-tables",
        add(INTAKE_HEADINGS, "xx,Sirkkit,circuit,,\n"),
        "the language 'xx' is not known. Allowed: en, de, fr, es, nl, it, sv, da, nb.",
    ),
    (
        "alias-tables",
        add(INTAKE_HEADINGS, "en,Sirkkit,circuit,w,\n"),
        "the unit w does not fit the column circuit. Mend it.",
    ),
    (
        "alias-tables",
        add(INTAKE_WORDS, "en,method,wobbling,wobble,\n"),
        "the word of the list method 'wobble' is not known.",
    ),
    (
        "alias-tables",
        add(INTAKE_WORDS, "nl,method,trailing edge,forward_phase,\n"),
        "'trailing edge' means something else in line",
    ),
    (
        "alias-tables",
        swap(INTAKE_WORDS, "language,list,word", "language,liste,word"),
        "words.csv: the table cannot be read: KeyError 'list'",
    ),
    (
        "alias-tables",
        add("datasets/intake/abbreviations.csv", "xx,ltg,lighting\n"),
        "abbreviations.csv: the language 'xx' is not known.",
    ),
    (
        "intervals",
        swap(DMX, "input_voltage_min_v = 198", "input_voltage_min_v = 298"),
        "dmx-drivers.toml, line 23: D0054: input_voltage_min_v is 298 or more, above input_voltage_max_v, "
        "which is 264 or less. Correct one of the two.",
    ),
    (
        "review-dates",
        swap(DMX, 'checked_on = "2026-11-25"', 'checked_on = "2023-11-24"'),
        "D0054: last checked on 2023-11-24, more than 3 years before the date of the dataset, 2026-11-25. "
        "Check it again and write the day.",
    ),
    (
        "review-dates",
        swap(DMX, 'checked_on = "2026-11-25"', 'checked_on = "2026-11-26"'),
        "D0054: checked on 2026-11-26, after the date of the dataset, 2026-11-25",
    ),
    (
        "review-dates",
        swap(DMX, 'checked_on = "2026-11-25"', 'checked_on = "last week"'),
        "D0054: checked_on is 'last week', which is no day. Write it as 2026-11-25.",
    ),
    (
        "review-dates",
        swap(DMX, 'checked_on = "2026-11-25"\n', ""),
        "D0054: checked_on is missing. Add the day on which it was last checked.",
    ),
    (
        "review-dates",
        swap(SOURCES, 'checked_on = "2026-11-25"', 'checked_on = "2020-02-29"'),
        "S0001: last checked on 2020-02-29, more than 3 years before",
    ),
    (
        "review-dates",
        swap("datasets/datapackage.json", '"created"', '"made"'),
        "datapackage.json: the date of the dataset is missing.",
    ),
    (
        "unused-sources",
        add(SOURCES, UNUSED),
        "nothing cites the source S0999. Cite it or remove it.",
    ),
    (
        "dangling-ids",
        swap(NEUTRAL, 'title = "', 'title = "As R0801 says: '),
        "switching/neutral-missing.toml, line 4: R0801 is named here, which is no rule in force, entry or "
        "reference.",
    ),
    (
        "dangling-ids",
        swap(DMX, 'checked_on = "2026-11-25"', 'checked_on = "2026-11-25"\nnote = "Like D0999."'),
        "D0054: D0999 is named here",
    ),
    (
        "dangling-ids",
        lambda root: (root / "README.md").write_text("One\nSee R0033 and R0034.\n", encoding="utf-8"),
        "README.md, line 2: R0034 is named here, which is no rule in force, entry or reference. "
        "Write the page anew.",
    ),
    (
        "applicability",
        swap(
            NEUTRAL,
            'applies = "output.needs_neutral"',
            'applies = "output.method == dmx and output.method in (dali, switched) and output.needs_neutral"',
        ),
        "the rule can never apply",
    ),
    (
        "applicability",
        swap(NEUTRAL, 'applies = "output.needs_neutral"', 'applies = "circuit.neutral_at_control"'),
        "no values break the rule where it applies. Mend applies or the test.",
    ),
    (
        "applicability",
        swap(NEUTRAL, 'applies = "output.needs_neutral"', 'applies = "not circuit.neutral_at_control"'),
        "no values keep the rule where it applies. Mend applies or the test.",
    ),
    (
        "contradictions",
        copied(NEUTRAL, "switching/neutral-again", ('breach = "fails"', 'breach = "marginal"')),
        "neutral-again.toml, line 10: the breach is marginal; the same values give fails by R0033, and both "
        "have precedence",
    ),
    (
        "contradictions",
        copied(
            NEUTRAL,
            "switching/neutral-again",
            ('requires = "circuit.neutral_at_control"', 'requires = "not circuit.neutral_at_control"'),
        ),
        "nothing can fulfil this rule together with R0033, and both have precedence",
    ),
    (
        "exceptions",
        add("rules/exceptions.toml", EXCEPTION.replace("support", "suport")),
        "exceptions.toml, line 16: there is no check 'suport' from which to except. Nearest: support.",
    ),
    (
        "exceptions",
        add("rules/exceptions.toml", EXCEPTION.replace("2027-06-30", "2026-11-24")),
        "exceptions.toml, line 19: the exception held until 2026-11-24; the dataset is of 2026-11-25.",
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


def test_every_check_has_a_dataset_that_it_finds_broken() -> None:
    """A new check is not done before it is listed, described and shown to work."""
    modules = [import_module(f"compat.checks.{found.name}") for found in iter_modules(compat.checks.__path__)]
    made = {
        value.name: value
        for module in modules
        for value in vars(module).values()
        if isinstance(value, DatasetCheck)
    }
    assert {name for name, _, _ in BREAKS} == set(made)
    assert sorted(check.name for check in CHECKS) == sorted(made)
    for check in made.values():
        assert check.scope in get_args(Scope)
        assert len(check.sentence.split()) > 4
        assert check.find.__doc__


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
    swap(MOTOR, "A motor is on", "{load_types} on")(root)
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
        f"{place}, line 7: the case 'x' does not give circuit.dmx_slots, output.dmx_slots. "
        'Give each, or "unknown".',
    ]
