"""The closed grammar: whatever is not on its list is refused with a sentence, and nothing is ever run."""

from __future__ import annotations

import contextlib
import warnings

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.model.vocabulary import Vocabulary
from compat.rulebook.expression import LONGEST_TEXT, ExpressionError, Reader
from tests.rulebook.parts import reader

HOSTILE = {
    "call": "exit()",
    "call of a call": "min(1, 2)(3)",
    "import": "__import__('os')",
    "method of a trait": "circuit.input_power_w.conjugate()",
    "dunder": "circuit.__class__",
    "dunder below a trait": "circuit.input_power_w.__class__",
    "module": "os.system",
    "lambda": "lambda: 1",
    "list comprehension": "[x for x in (1, 2)]",
    "generator": "(x for x in (1, 2))",
    "string": "'a'",
    "bytes": "b'a'",
    "formatted string": "f'{1}'",
    "assignment expression": "(x := 1)",
    "assignment": "x = 1",
    "power": "2 ** 3",
    "large power": "9 ** 9 ** 9",
    "bit or": "1 | 2",
    "bit and": "1 & 2",
    "bit exclusive or": "1 ^ 2",
    "bit inversion": "~1",
    "shift": "1 << 2",
    "whole division": "circuit.driver_count // 2",
    "remainder": "circuit.driver_count % 2",
    "matrix product": "1 @ 2",
    "sign before a number": "-1",
    "plus before a number": "+1",
    "minus before a trait": "-circuit.input_power_w",
    "conditional": "1 if true else 2",
    "subscript": "circuit.methods[0]",
    "list": "[1]",
    "set": "{1}",
    "dictionary": "{1: 2}",
    "ellipsis": "...",
    "none": "None",
    "python true": "True",
    "python true as a figure": "w(True)",
    "complex number": "1j",
    "not a number": "nan",
    "infinity": "inf",
    "infinite literal": "1e400",
    "beyond the largest number": "1e13",
    "four hundred digits": "9" * 400,
    "negative in a unit": "w(-1)",
    "sum in a unit": "w(1 + 1)",
    "trait in a unit": "w(circuit.driver_count)",
    "two figures in a unit": "w(1, 2)",
    "keyword argument": "w(x=1)",
    "unknown unit": "horsepower(1)",
    "one argument": "min(1)",
    "three arguments": "max(1, 2, 3)",
    "starred arguments": "min(*(1, 2))",
    "decimal comma": "12,5",
    "await": "await x",
    "yield": "yield 1",
    "star": "*x",
    "two statements": "true; true",
    "two lines": "true\ntrue",
    "comment": "always # and output.needs_neutral",
    "line continuation": "always \\\n and true",
    "zero byte": "true\x00",
    "escape code": "\x1b[31mtrue",
    "empty": "",
    "blank": "   ",
    "word run into a number": "1if true else 2",
    "too deep in parentheses": "(" * 300 + "1" + ")" * 300,
    "too deep in minus signs": "-" * 900 + "1",
    "too deep in not": "not " * 240 + "true",
    "too deep in sums": "1" + " + 1" * 200,
    "too many parts": " or ".join(["output.needs_neutral"] * 47),
    "too many words": f"output.method in ({', '.join(['dali'] * 140)}) and {' and '.join(['true'] * 60)}",
}

HOSTILE_CONDITIONS = {
    "chain of comparisons": "1 < 2 < 3",
    "chain of words": "output.method == switched == dali",
    "identity": "circuit.input_power_w is w(1)",
    "identity refused": "circuit.input_power_w is not w(1)",
    "number as a condition": "true or 1",
    "quantity as a condition": "circuit.input_power_w",
    "choice as a condition": "output.method",
    "quantity in words": "circuit.input_power_w in (dali, dmx)",
    "word of another list": "output.method == relay",
    "traits of two lists": "output.method in circuit.load_types",
    "choice and quantity": "output.method in circuit.input_power_w",
    "word that is none": "output.method == telepathy",
    "string as a word": "output.method == 'dali'",
    "number as a word": "output.method == 1",
    "no words": "output.method in ()",
    "no words on the left": "() in circuit.load_types",
    "two words without a trait": "dali in (dali, dmx)",
    "yes or no compared": "output.needs_neutral == true",
    "yes or no in words": "output.needs_neutral in (true, false)",
    "set compared for equality": "circuit.load_types == circuit.load_types",
    "word greater than word": "output.method >= dali",
    "not a call": "not(1)",
    "call of true": "true()",
}

LOOK_ALIKES = {
    "full width": "ｗ(1)",
    "full-width digits": "w(１)",
    "cyrillic es": "\u0441ircuit.input_power_w",
    "greek omicron": "\u03bfutput.max_load_w",
    "mathematical letters": "\U0001d420(1)",
    "long s": "circuit.di\u017ftance",
    "full-width full stop": "circuit\uff0einput_power_w",
    "one dot leader": "circuit\u2024input_power_w",
    "minus sign": "circuit.input_power_w \u2212 w(1)",
    "no-break space": "circuit.input_power_w\u00a0+ w(1)",
    "zero-width space": "circuit.input_power_w\u200b",
    "right to left": "\u202ecircuit.input_power_w",
    "superscript": "circuit.input_power_w\u00b2",
    "times sign": "2 \u00d7 circuit.input_power_w",
    "less or equal sign": "circuit.input_power_w \u2264 w(1)",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_refused_as_quantity_and_as_condition(text: str, vocabulary: Vocabulary) -> None:
    for read in (reader(vocabulary).quantity, reader(vocabulary).truth):
        with pytest.raises(ExpressionError) as caught:
            read(text)
        assert 10 < len(str(caught.value)) < 400


@pytest.mark.parametrize("text", HOSTILE_CONDITIONS.values(), ids=HOSTILE_CONDITIONS)
def test_refused_as_condition(text: str, vocabulary: Vocabulary) -> None:
    with pytest.raises(ExpressionError):
        reader(vocabulary).truth(text)


@pytest.mark.parametrize("text", LOOK_ALIKES.values(), ids=LOOK_ALIKES)
def test_look_alikes_are_named_by_their_code(text: str, vocabulary: Vocabulary) -> None:
    """Python itself reads some of them as the plain letter, so they are refused before it sees them."""
    for read in (reader(vocabulary).quantity, reader(vocabulary).truth):
        with pytest.raises(ExpressionError, match=r"the character '\\[xuU][0-9a-f]+' \(at character \d+\)"):
            read(text)


def test_long_text_is_refused_before_it_is_parsed(vocabulary: Vocabulary) -> None:
    text = "true" + " and true" * 200
    with pytest.raises(ExpressionError, match=f"has {len(text)} characters; allowed are {LONGEST_TEXT}"):
        reader(vocabulary).truth(text)


def test_a_subject_out_of_scope_is_refused(vocabulary: Vocabulary) -> None:
    with pytest.raises(
        ExpressionError, match=r"driver\.input_power_w cannot be used here; allowed subjects: output"
    ):
        Reader(vocabulary, ("output",)).quantity("driver.input_power_w")


def test_an_unknown_trait_names_the_nearest_that_may_be_used(vocabulary: Vocabulary) -> None:
    with pytest.raises(ExpressionError) as caught:
        Reader(vocabulary, ("circuit",)).quantity("circuit.input_powre_w")
    assert "Nearest: circuit.input_power_w" in str(caught.value)
    assert "driver." not in str(caught.value)


def test_the_place_of_a_fault_is_told(vocabulary: Vocabulary) -> None:
    with pytest.raises(ExpressionError, match=r"\(at character 27\)"):
        reader(vocabulary).truth("output.needs_neutral and (1)")


def test_line_breaks_are_blanks(vocabulary: Vocabulary) -> None:
    """A TOML text over several lines reads like one line."""
    one = reader(vocabulary).truth("output.needs_neutral and output.method == dali")
    assert reader(vocabulary).truth("\n  output.needs_neutral\r\n  and\toutput.method == dali\n") == one


@settings(max_examples=150, deadline=None)
@given(text=st.one_of(st.text(max_size=60), st.text("().,<=>!+-*/ 0123456789eEawmx_.andornt", max_size=40)))
def test_any_text_is_read_or_refused(text: str, vocabulary: Vocabulary) -> None:
    """Nothing but a tree or an ExpressionError comes back; Python's own warnings never reach the user."""
    for read in (reader(vocabulary).quantity, reader(vocabulary).truth):
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with contextlib.suppress(ExpressionError):
                assert read(text) is not None
