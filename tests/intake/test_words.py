"""Words for choices, sets and yes or no."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compat.intake.alias_tables import OWN_LISTS, fold_word, word_rows
from compat.intake.cells import Unreadable
from compat.intake.words import Words, yes_no
from compat.model.values import TokenSet
from tests.intake.files import outcome, vocabulary

WORDS = Words(vocabulary())
METHODS = vocabulary().traits["driver.methods"]
LOAD_TYPE = vocabulary().traits["driver.load_type"]
FORBIDDEN = vocabulary().traits["driver.dimming_forbidden"]
EITHER_EDGE = TokenSet(frozenset({"switched"}), frozenset({"switched", "forward_phase", "reverse_phase"}))


def sure(*methods: str) -> TokenSet:
    return TokenSet.exactly("switched", *methods)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("forward_phase", sure("forward_phase")),
        ("Forward Phase", sure("forward_phase")),
        ("leading edge", sure("forward_phase")),
        ("Trailing-Edge dimmable", sure("reverse_phase")),
        ("leading/trailing edge", sure("forward_phase", "reverse_phase")),
        ("leading edge and trailing edge", sure("forward_phase", "reverse_phase")),
        ("1-10V", sure("analog_0_10v")),
        ("0 – 10 V", sure("analog_0_10v")),
        ("0/1-10V", sure("analog_0_10v")),
        ("analogue", sure("analog_0_10v")),
        ("DALI-2", sure("dali")),
        ("DALI dimmable", sure("dali")),
        ("DALI; 1-10 V", sure("dali", "analog_0_10v")),
        ("DALI or DMX512", sure("dali", "dmx")),
        ("on/off", sure()),
        ("DALI/on/off", sure("dali")),
        ("Relay", sure()),
        ("non-dim", sure()),
        ("non dimmable", sure()),
        ("mains dimmable", EITHER_EDGE),
        ("phase cut", EITHER_EDGE),
        ("TRIAC", EITHER_EDGE),
        ("ELV", EITHER_EDGE),
        ("MLV", sure("forward_phase")),
        ("TE", sure("reverse_phase")),
        ("Phasenabschnitt", sure("reverse_phase")),
        ("Phasenanschnitt", sure("forward_phase")),
        ("Phasenan-/abschnitt", sure("forward_phase", "reverse_phase")),
        ("nicht dimmbar", sure()),
        ("Fin de phase", sure("reverse_phase")),
        ("Gradation par coupure de phase", EITHER_EDGE),
        ("recorte de fase", EITHER_EDGE),
        ("recorte al final de fase", sure("reverse_phase")),
        ("taglio di fase", EITHER_EDGE),
        ("fase-afsnijding", sure("reverse_phase")),
        ("bakkant", sure("reverse_phase")),
        ("framkant", sure("forward_phase")),
        ("bagkant", sure("reverse_phase")),
        ("forkant", sure("forward_phase")),
        ("phase dim", EITHER_EDGE),
        ("TRIAC (leading edge)", sure("forward_phase")),
        ("Leading Edge (TRIAC)", sure("forward_phase")),
        ("Phase - trailing edge", sure("reverse_phase")),
        ("Phase cut (TE)", sure("reverse_phase")),
        ("DALI / push", sure("dali")),
        ("DALI-2 dimmable", sure("dali")),
        ("1-10V analogue", sure("analog_0_10v")),
        ("DMX/RDM", sure("dmx")),
        ("RDM", sure("dmx")),
        ("switched", sure()),
        ("til/fra", sure()),
    ],
)
def test_methods(text: str, expected: TokenSet) -> None:
    assert WORDS.token_set(text, METHODS) == expected


def test_an_edge_that_is_not_named_stays_open_beside_a_sure_method() -> None:
    found = WORDS.token_set("mains dimmable, DALI", METHODS)
    assert found == TokenSet(EITHER_EDGE.sure | {"dali"}, EITHER_EDGE.possible | {"dali"})


@pytest.mark.parametrize(
    "text",
    [
        "110V",
        "DALY",
        "leading; sideways",
        "not DALI",
        "DALI (not 0-10V)",
        "DALI (DMX)",
        "DALI-compatible fan",
    ],
)
def test_unknown_methods_are_refused_with_the_allowed_list(text: str) -> None:
    with pytest.raises(Unreadable) as caught:
        WORDS.token_set(text, METHODS)
    assert "is not known in the column: methods it accepts" in caught.value.what
    assert "Allowed: forward phase, reverse phase" in caught.value.allowed


@pytest.mark.parametrize("text", ["dimmable", "yes", "dimmbar", "push dim", "Zigbee", "regulable"])
def test_words_that_name_no_method_are_a_question(text: str) -> None:
    with pytest.raises(Unreadable) as caught:
        WORDS.token_set(text, METHODS)
    assert "does not say by which method" in caught.value.what


@pytest.mark.parametrize("text", ["DALI?", "DALI tbc", "trailing edge?", "evtl. DALI", "DALI (TBC)"])
def test_a_doubt_is_not_taken_for_sure(text: str) -> None:
    with pytest.raises(Unreadable) as caught:
        WORDS.token_set(text, METHODS)
    assert "is not said for sure" in caught.value.what


@pytest.mark.parametrize(
    "text", ["as spec", "see datasheet", "k.A.", "à définir", "n.v.t.", "da definire", "TBC", "ej angivet"]
)
def test_not_known_in_every_language(text: str) -> None:
    assert WORDS.token_set(text, METHODS) is None
    assert WORDS.choice(text, LOAD_TYPE) is None


def test_a_near_word_is_offered() -> None:
    with pytest.raises(Unreadable) as caught:
        WORDS.token_set("traling edge", METHODS)
    assert "trailing edge" in caught.value.do


@pytest.mark.parametrize(
    ("text", "token"),
    [
        ("integral LED lamp", "integral_lamp"),
        ("LED lamp", "integral_lamp"),
        ("constant-current", "constant_current_driver"),
        ("MAGNETIC_TRANSFORMER", "magnetic_transformer"),
        ("?", None),
        ("-", None),
        ("n/a", None),
    ],
)
def test_choices(text: str, token: str | None) -> None:
    assert WORDS.choice(text, LOAD_TYPE) == token


def test_a_word_with_several_meanings_is_refused() -> None:
    with pytest.raises(Unreadable):
        WORDS.choice("LED", LOAD_TYPE)
    with pytest.raises(Unreadable):
        WORDS.choice("transformer", LOAD_TYPE)


def test_none_is_a_colour_and_not_a_missing_value() -> None:
    colour = vocabulary().traits["driver.colour"]
    assert WORDS.choice("none", colour) == "none"
    assert WORDS.choice("?", colour) is None
    assert WORDS.choice("DT6", vocabulary().traits["driver.dali_device_type"]) == "type_6"


@pytest.mark.parametrize(
    ("text", "answer"),
    [("yes", True), ("Y", True), ("TRUE", True), ("x", True), ("✓", True), ("1", True),
     ("no", False), ("N", False), ("false", False), ("0", False), ("?", None), ("-", None)],
)  # fmt: skip
def test_yes_no(text: str, answer: bool | None) -> None:
    assert yes_no(text, FORBIDDEN) is answer


@pytest.mark.parametrize("text", ["maybe", "✗", "2", "yes and no"])
def test_neither_yes_nor_no(text: str) -> None:
    with pytest.raises(Unreadable):
        yes_no(text, FORBIDDEN)


def test_every_symbol_and_token_reads_as_itself() -> None:
    for trait in vocabulary().traits.values():
        if trait.kind == "choice":
            for token, symbol in vocabulary().choices[trait.choices].items():
                assert WORDS.choice(token, trait) == token
                assert WORDS.choice(symbol, trait) == token


def test_no_word_of_the_table_hides_another_value() -> None:
    for row in word_rows():
        if row.list in OWN_LISTS:
            continue
        values = vocabulary().choices[row.list]
        assert {*row.known, *row.possible} <= set(values), row
        for token, symbol in values.items():
            if fold_word(row.word) in (fold_word(token), fold_word(symbol)):
                assert row.known == (token,), row


@given(st.text(max_size=40))
def test_any_text_gives_known_tokens_or_a_sentence(text: str) -> None:
    found = outcome(lambda: WORDS.token_set(text, METHODS), Unreadable)
    if isinstance(found, Unreadable):
        assert found.what.isprintable()
    elif found is not None:
        assert found.sure <= found.possible <= set(vocabulary().choices["method"])
        assert "switched" in found.sure
