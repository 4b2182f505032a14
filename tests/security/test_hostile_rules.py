"""Rule and case files made to harm: refused in a sentence, soon, and nothing of them is run."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.checks.parts import MINIMUM, MOTOR, NEUTRAL, NEUTRAL_CASES, small_dataset
from tests.dataset.parts import replaced, restored
from tests.security.parts import CANARY, PATH_TRICKS, SQL_NAMES, quoted, told, written


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_dataset(tmp_path_factory.mktemp("small"))


@pytest.fixture
def root(small: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A dataset to spoil; nothing may write into the folder in which the program runs."""
    with restored(small) as folder:
        monkeypatch.chdir(folder)
        yield folder
        assert not list(folder.parent.rglob(f"*{CANARY}*"))


EXPRESSIONS = {
    "many parts": " + ".join(["output.min_load_w"] * 300) + " <= w(1)",
    "many conditions": " and ".join(["output.needs_neutral"] * 90),
    "deep parentheses": "(" * 400 + "output.needs_neutral" + ")" * 400,
    "deep not": "not " * 200 + "output.needs_neutral",
    "deep minus": "-" * 500 + "1 <= 2",
    "power": "9 ** 9 ** 9 ** 9 <= 1",
    "shift": "1 << 1000000000 <= 1",
    "huge number": "9" * 300 + " <= 1",
    "huge exponent": "1e308 * 1e308 <= output.min_load_w",
    "infinite": "1e999 <= output.min_load_w",
    "repeated text": "'a' * 1000000000 == 'a'",
    "call": "__import__('os').system('touch canary-of-the-tests')",
    "call of a unit with a call": "w(open('canary-of-the-tests', 'w'))",
    "attribute chain": "output.__class__.__mro__",
    "attribute of an attribute": "output.min_load_w.real",
    "lambda": "(lambda: 1)()",
    "comprehension": "[x for x in (1, 2)]",
    "walrus": "(x := 1) <= 2",
    "f-string": "f'{1}' == '1'",
    "star": "motor in (*circuit.load_types,)",
    "keyword": "min(a=1, b=2) <= 1",
    "subscript": "output.min_load_w[0] <= 1",
    "sql": "output.min_load_w <= 1; DROP TABLE x",
    "sql comment": "output.min_load_w <= 1 -- x",
    "sql quote": "output.min_load_w' <= 1",
    "file function": "read_text('/etc/hostname') == 1",
    "statement": "import os",
    "line break": "output.needs_neutral\nimport os",
    "null": "output.needs_neutral\x00",
    "other letters": "output.needs_neutr\u0430l",
    "right to left": "output.needs_neutral\u202e",
    "nothing": " ",
}


@pytest.mark.parametrize("name", EXPRESSIONS)
def test_a_hostile_expression_is_refused(name: str, root: Path) -> None:
    """As ``requires`` of one rule and as ``applies`` of another."""
    hostile = quoted(EXPRESSIONS[name])
    replaced(root / MOTOR, 'requires = "motor in output.listed_load_types"', f"requires = {hostile}")
    replaced(root / NEUTRAL, 'applies = "output.needs_neutral"', f"applies = {hostile}")
    sentences = told(root)
    for file, sentence in zip(("motor-on-phase-cut", "neutral-missing"), sentences, strict=False):
        assert sentence.startswith(f"readable: {file}.toml, line ")
    assert len(sentences) >= 2
    assert "Traceback" not in "".join(sentences)


def test_the_largest_expressions_that_are_allowed_are_judged_soon(root: Path) -> None:
    """What just fits is worked through by every check, the search for values among them."""
    parts = " or ".join(f"output.min_load_w <= w({number})" for number in range(24))
    assert len(parts) < 1000
    replaced(root / NEUTRAL, 'applies = "output.needs_neutral"', f'applies = "{parts}"')
    sentences = told(root)
    assert any(line.startswith("ask-for: ") for line in sentences)
    assert not any(line.startswith("readable: ") for line in sentences)


FIELDS = {
    MINIMUM: ("id", '"R0007"'),
    MOTOR: ("slug", '"motor-on-phase-cut"'),
    NEUTRAL: ("source", '"S0001"'),
}


@pytest.mark.parametrize("trick", [*PATH_TRICKS, *SQL_NAMES])
def test_names_of_rules_are_no_paths_and_no_sql(trick: str, root: Path) -> None:
    for rule, (field, given) in FIELDS.items():
        replaced(root / rule, f"{field} = {given}", f"{field} = {quoted(trick)}")
    sentences = told(root)
    for rule, (field, _) in FIELDS.items():
        name = rule.rpartition("/")[2]
        found = [line for line in sentences if name in line]
        if (field, trick) == ("slug", "select"):
            # A word like any other: the name of the file is all that is wrong.
            assert found[0].startswith("file-names: ")
        else:
            assert found[0].startswith(f"readable: {name}, line "), (field, found)


@pytest.mark.parametrize("trick", ["x'); DROP TABLE x --", "a b", "-rf", "${HOME}", "\u202e", "A"])
def test_the_folder_of_a_family_has_a_plain_name(trick: str, root: Path) -> None:
    shutil.move(root / "rules" / "switching", root / "rules" / trick)
    assert any(line.startswith("file-names: ") and "no name of a family" in line for line in told(root))


TEXTS = {
    "because": "{0.__class__.__init__.__globals__}",
    "title": "\x1b[31mred\x1b[0m",
    "question": "\u202eright to left",
    "note": "{{ 7 * 7 }}<script>alert(1)</script>",
}


def test_a_slot_reaches_no_attribute(root: Path) -> None:
    text = (root / NEUTRAL).read_text(encoding="utf-8")
    start, end = text.index("because = "), text.index("remedies = ")
    changed = f'because = "{TEXTS["because"]}"\n'
    written(root / NEUTRAL, text[:start] + changed + text[end:])
    assert any(line.startswith("slots: ") and "__globals__" in line for line in told(root))


VALUES = [
    "1e400",
    "-1",
    "nan",
    "-inf",
    "0x" + "f" * 5000,
    "9" * 4999,
    "[" * 5000 + "]" * 5000,
    "[[1, 2], [3, 4]]",
    "{" + "a = {" * 900 + "}" * 901,
    quoted("'; DROP TABLE x; --"),
    "2026-11-25T00:00:00Z",
    '["dali", "dali", 1, true]',
]


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value[:12])
def test_a_hostile_value_of_a_case_is_refused(value: str, root: Path) -> None:
    given = '"circuit.neutral_at_control" = true'
    replaced(root / NEUTRAL_CASES, given, f'"circuit.neutral_at_control" = {value}')
    sentences = told(root)
    assert any("neutral-missing.cases.toml" in line for line in sentences), sentences


def test_the_name_of_a_value_never_reaches_the_database(root: Path) -> None:
    for trick in SQL_NAMES:
        with restored(root):
            given = '"circuit.neutral_at_control" = true'
            replaced(root / NEUTRAL_CASES, given, f"{quoted(trick)} = true")
            assert any("is not in the vocabulary" in line for line in told(root)), trick
