"""Every construct of a condition over all four truth values, whole and in clauses."""

from __future__ import annotations

import itertools

import pytest

from compat.model.values import Content, Interval, TokenSet
from compat.model.verdicts import Verdict
from compat.model.vocabulary import Vocabulary
from compat.rulebook.truth import EITHER, NO, UNKNOWN, YES, both, either, negated, verdict_of
from tests.rulebook.parts import clause_truths, exact, reader, truths

CODES = (NO, UNKNOWN, EITHER, YES)

NOT = {NO: YES, UNKNOWN: UNKNOWN, EITHER: EITHER, YES: NO}
AND = {
    (NO, NO): NO, (NO, UNKNOWN): NO, (NO, EITHER): NO, (NO, YES): NO,
    (UNKNOWN, NO): NO, (UNKNOWN, UNKNOWN): UNKNOWN, (UNKNOWN, EITHER): UNKNOWN, (UNKNOWN, YES): UNKNOWN,
    (EITHER, NO): NO, (EITHER, UNKNOWN): UNKNOWN, (EITHER, EITHER): EITHER, (EITHER, YES): EITHER,
    (YES, NO): NO, (YES, UNKNOWN): UNKNOWN, (YES, EITHER): EITHER, (YES, YES): YES,
}  # fmt: skip
OR = {
    (NO, NO): NO, (NO, UNKNOWN): UNKNOWN, (NO, EITHER): EITHER, (NO, YES): YES,
    (UNKNOWN, NO): UNKNOWN, (UNKNOWN, UNKNOWN): UNKNOWN, (UNKNOWN, EITHER): UNKNOWN, (UNKNOWN, YES): YES,
    (EITHER, NO): EITHER, (EITHER, UNKNOWN): UNKNOWN, (EITHER, EITHER): EITHER, (EITHER, YES): YES,
    (YES, NO): YES, (YES, UNKNOWN): YES, (YES, EITHER): YES, (YES, YES): YES,
}  # fmt: skip

# Values that bring ``trait <= w(10)`` to each of the four.
AT_MOST_TEN: dict[int, Content] = {
    NO: exact(20.0),
    UNKNOWN: None,
    EITHER: Interval(5.0, 20.0),
    YES: exact(5.0),
}
LEFT, RIGHT = "circuit.input_power_w", "circuit.standby_power_w"


def rows_of(pairs: list[tuple[int, int]]) -> list[dict[str, Content]]:
    return [{LEFT: AT_MOST_TEN[left], RIGHT: AT_MOST_TEN[right]} for left, right in pairs]


@pytest.mark.parametrize(
    ("text", "table"),
    [
        (f"{LEFT} <= w(10) and {RIGHT} <= w(10)", AND),
        (f"{LEFT} <= w(10) or {RIGHT} <= w(10)", OR),
        (f"not {LEFT} <= w(10)", {(left, right): NOT[left] for left, right in AND}),
        (f"not ({LEFT} <= w(10) and {RIGHT} <= w(10))", {pair: NOT[code] for pair, code in AND.items()}),
        (f"not {LEFT} <= w(10) or {RIGHT} <= w(10)", {(a, b): OR[NOT[a], b] for a, b in OR}),
        (f"{LEFT} <= w(10) and true", {(left, right): left for left, right in AND}),
        (f"{LEFT} <= w(10) and always", {(left, right): left for left, right in AND}),
        (f"{LEFT} <= w(10) and false", dict.fromkeys(AND, NO)),
        (f"{LEFT} <= w(10) or true", dict.fromkeys(AND, YES)),
        (f"{LEFT} <= w(10) or false", {(left, right): left for left, right in AND}),
    ],
)
def test_and_or_not(
    text: str,
    table: dict[tuple[int, int], int],
    vocabulary: Vocabulary,
) -> None:
    pairs = list(itertools.product(CODES, CODES))
    tree = reader(vocabulary).truth(text)
    expected = [table[pair] for pair in pairs]
    assert truths(tree, rows_of(pairs), vocabulary) == expected


def test_and_or_not_of_codes() -> None:
    assert {code: negated(code) for code in CODES} == NOT
    assert {pair: both(*pair) for pair in AND} == AND
    assert {pair: either(*pair) for pair in OR} == OR


def test_more_than_two_parts_join_from_the_left(vocabulary: Vocabulary) -> None:
    triples = list(itertools.product(CODES, CODES, CODES))
    names = (LEFT, RIGHT, "output.max_load_w")
    rows = [{name: AT_MOST_TEN[code] for name, code in zip(names, codes, strict=True)} for codes in triples]
    for word, table in (("and", AND), ("or", OR)):
        tree = reader(vocabulary).truth(f" {word} ".join(f"{name} <= w(10)" for name in names))
        expected = [table[table[a, b], c] for a, b, c in triples]
        assert truths(tree, rows, vocabulary) == expected
        assert clause_truths(tree, rows, vocabulary) == expected


POINTS: list[Content] = [exact(9.0), exact(10.0), exact(11.0), Interval(9.0, 10.0), Interval(10.0, 11.0)]
POINTS += [Interval(9.0, 11.0), None]
COMPARED = {
    "<=": [YES, YES, NO, YES, EITHER, EITHER, UNKNOWN],
    "<": [YES, NO, NO, EITHER, NO, EITHER, UNKNOWN],
    ">=": [NO, YES, YES, EITHER, YES, EITHER, UNKNOWN],
    ">": [NO, NO, YES, NO, EITHER, EITHER, UNKNOWN],
    "==": [NO, YES, NO, EITHER, EITHER, EITHER, UNKNOWN],
    "!=": [YES, NO, YES, EITHER, EITHER, EITHER, UNKNOWN],
}


@pytest.mark.parametrize("operator", COMPARED)
def test_comparisons_with_a_figure(operator: str, vocabulary: Vocabulary) -> None:
    tree = reader(vocabulary).truth(f"{LEFT} {operator} w(10)")
    rows = [{LEFT: point} for point in POINTS]
    assert truths(tree, rows, vocabulary) == COMPARED[operator]
    assert clause_truths(tree, rows, vocabulary) == COMPARED[operator]


def test_comparison_of_two_intervals(vocabulary: Vocabulary) -> None:
    tree = reader(vocabulary).truth(f"{LEFT} <= {RIGHT}")
    pairs = [
        (Interval(1.0, 2.0), Interval(2.0, 3.0), YES),
        (Interval(1.0, 2.0), Interval(3.0, 4.0), YES),
        (Interval(1.0, 3.0), Interval(2.0, 4.0), EITHER),
        (Interval(2.0, 3.0), Interval(1.0, 2.0), EITHER),
        (Interval(3.0, 4.0), Interval(1.0, 2.0), NO),
        (None, Interval(1.0, 2.0), UNKNOWN),
        (Interval(1.0, 2.0), None, UNKNOWN),
        (None, None, UNKNOWN),
    ]
    rows: list[dict[str, Content]] = [{LEFT: left, RIGHT: right} for left, right, _ in pairs]
    expected = [code for _, _, code in pairs]
    assert truths(tree, rows, vocabulary) == expected
    assert clause_truths(tree, rows, vocabulary) == expected


def test_yes_or_no(vocabulary: Vocabulary) -> None:
    rows: list[dict[str, Content]] = [{"output.needs_neutral": value} for value in (True, False, None)]
    for text, expected in (
        ("output.needs_neutral", [YES, NO, UNKNOWN]),
        ("not output.needs_neutral", [NO, YES, UNKNOWN]),
        ("output.needs_neutral or true", [YES, YES, YES]),
        ("output.needs_neutral and not output.needs_neutral", [NO, NO, UNKNOWN]),
    ):
        tree = reader(vocabulary).truth(text)
        assert truths(tree, rows, vocabulary) == expected
        assert clause_truths(tree, rows, vocabulary) == expected


def perhaps(*sure: str, maybe: tuple[str, ...] = ()) -> TokenSet:
    return TokenSet(frozenset(sure), frozenset(sure) | frozenset(maybe))


METHOD, METHODS, LOADS = "output.method", "circuit.methods", "circuit.load_types"
WORDS = [
    (f"{METHOD} == dali", {METHOD: "dali"}, YES),
    (f"{METHOD} == dali", {METHOD: "dmx"}, NO),
    (f"{METHOD} == dali", {METHOD: None}, UNKNOWN),
    (f"{METHOD} != dali", {METHOD: "dali"}, NO),
    (f"{METHOD} != dali", {METHOD: "dmx"}, YES),
    (f"{METHOD} != dali", {METHOD: None}, UNKNOWN),
    (f"{METHOD} in (dali, dmx)", {METHOD: "dmx"}, YES),
    (f"{METHOD} in (dali, dmx)", {METHOD: "switched"}, NO),
    (f"{METHOD} not in (dali, dmx)", {METHOD: "switched"}, YES),
    (f"{METHOD} in dali", {METHOD: "dali"}, YES),
    (f"{METHOD} in {METHODS}", {METHOD: "dali", METHODS: perhaps("dali", "dmx")}, YES),
    (f"{METHOD} in {METHODS}", {METHOD: "dali", METHODS: perhaps("dmx")}, NO),
    (f"{METHOD} in {METHODS}", {METHOD: "dali", METHODS: perhaps("dmx", maybe=("dali",))}, UNKNOWN),
    (f"{METHOD} in {METHODS}", {METHOD: "dali", METHODS: perhaps("dali", maybe=("dmx",))}, YES),
    (f"{METHOD} in {METHODS}", {METHOD: "dali", METHODS: None}, UNKNOWN),
    (f"{METHOD} in {METHODS}", {METHOD: None, METHODS: perhaps("dali")}, UNKNOWN),
    (f"{METHOD} in {METHODS}", {METHOD: None, METHODS: perhaps()}, UNKNOWN),
    (f"{METHOD} in {METHODS}", {METHOD: "dali", METHODS: perhaps()}, NO),
    (f"{METHOD} in {METHODS}", {METHOD: None, METHODS: None}, UNKNOWN),
    (f"motor in {LOADS}", {LOADS: perhaps("motor", "incandescent")}, YES),
    (f"motor in {LOADS}", {LOADS: perhaps("incandescent")}, NO),
    (f"motor in {LOADS}", {LOADS: perhaps("incandescent", maybe=("motor",))}, UNKNOWN),
    (f"motor in {LOADS}", {LOADS: None}, UNKNOWN),
    (f"motor not in {LOADS}", {LOADS: perhaps("incandescent")}, YES),
    (f"motor not in {LOADS}", {LOADS: perhaps("incandescent", maybe=("motor",))}, UNKNOWN),
    (f"(motor, fluorescent) in {LOADS}", {LOADS: perhaps("motor", "fluorescent", "incandescent")}, YES),
    (f"(motor, fluorescent) in {LOADS}", {LOADS: perhaps("motor")}, NO),
    (f"(motor, fluorescent) in {LOADS}", {LOADS: perhaps("motor", maybe=("fluorescent",))}, UNKNOWN),
    (f"{LOADS} in (motor, fluorescent)", {LOADS: perhaps("motor")}, YES),
    (f"{LOADS} in (motor, fluorescent)", {LOADS: perhaps("motor", "incandescent")}, NO),
    (f"{LOADS} in (motor, fluorescent)", {LOADS: perhaps("motor", maybe=("fluorescent",))}, YES),
    (f"{LOADS} in (motor, fluorescent)", {LOADS: perhaps("motor", maybe=("incandescent",))}, UNKNOWN),
    (f"{LOADS} in (motor, fluorescent)", {LOADS: None}, UNKNOWN),
    (f"{LOADS} not in (motor, fluorescent)", {LOADS: perhaps("motor", "incandescent")}, YES),
    (
        "circuit.dali_device_types in output.dali_device_types",
        {
            "circuit.dali_device_types": perhaps("type_6"),
            "output.dali_device_types": perhaps("type_6", "type_8"),
        },
        YES,
    ),
    (
        "circuit.dali_device_types in output.dali_device_types",
        {
            "circuit.dali_device_types": perhaps("type_6", "type_8"),
            "output.dali_device_types": perhaps("type_6"),
        },
        NO,
    ),
    (
        "circuit.dali_device_types in output.dali_device_types",
        {
            "circuit.dali_device_types": perhaps("type_6", maybe=("type_8",)),
            "output.dali_device_types": perhaps("type_6"),
        },
        UNKNOWN,
    ),
    (
        "output.control_current_direction == driver.control_current_direction",
        {"output.control_current_direction": "sinks", "driver.control_current_direction": "sinks"},
        YES,
    ),
    (
        "output.control_current_direction == driver.control_current_direction",
        {"output.control_current_direction": "sinks", "driver.control_current_direction": None},
        UNKNOWN,
    ),
]


@pytest.mark.parametrize(("text", "row", "expected"), WORDS)
def test_words_and_sets(
    text: str,
    row: dict[str, Content],
    expected: int,
    vocabulary: Vocabulary,
) -> None:
    tree = reader(vocabulary).truth(text)
    assert truths(tree, [row], vocabulary) == [expected]
    assert clause_truths(tree, [row], vocabulary) == [expected]


def test_a_choice_that_may_be_any_word_is_within_all_words(vocabulary: Vocabulary) -> None:
    """Sound though not known: whatever the word, it is one of the list."""
    tree = reader(vocabulary).truth(f"{METHOD} in ({', '.join(vocabulary.choices['method'])})")
    assert truths(tree, [{METHOD: None}], vocabulary) == [YES]
    assert clause_truths(tree, [{METHOD: None}], vocabulary) == [YES]


@pytest.mark.parametrize(
    ("breach", "verdicts"),
    [
        ("marginal", ["marginal", "unproven", "marginal", "works"]),
        ("fails", ["fails", "unproven", "marginal", "works"]),
        ("hazard", ["hazard", "unproven", "unproven", "works"]),
    ],
)
def test_verdicts_of_truth_values(breach: Verdict, verdicts: list[Verdict]) -> None:
    """A hazard must be shown to be absent: one end that holds is not enough."""
    assert [verdict_of(code, breach) for code in CODES] == verdicts
