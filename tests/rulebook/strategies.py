"""Random expressions as text, built from the grammar, with random values for the traits they use."""

from __future__ import annotations

from hypothesis import strategies as st

from compat.model.values import Content, Interval
from compat.model.vocabulary import Vocabulary
from tests.engine.strategies import contents

POWERS = ("circuit.input_power_w", "circuit.standby_power_w", "output.max_load_w", "output.min_load_w")
CURRENTS = ("circuit.input_current_a", "circuit.dali_current_ma", "output.max_current_a")
RATIOS = ("output.capacitive_share", "circuit.dim_floor_percent", "circuit.driver_count")
FIGURES = st.one_of(st.sampled_from([0, 1, 2, 0.1, 0.3, 250, 1e-9, 1e12]), st.floats(0, 1e6)).map(repr)
KINDS = {
    "power": (POWERS, ("w",)),
    "current": (CURRENTS, ("a", "ma", "ka")),
    "ratio": (RATIOS, ("percent", "ratio", "count")),
}
SETS = ("circuit.methods", "output.dali_device_types", "circuit.load_types", "circuit.colours")
CHOICES = ("output.method", "output.switching_element", "circuit.wanted_control")
SAME_LIST = (
    ("output.method", "circuit.methods"),
    ("circuit.dali_device_types", "output.dali_device_types"),
    ("circuit.colours", "output.colours"),
    ("circuit.load_types", "output.listed_load_types"),
)
YES_NO = ("output.needs_neutral", "circuit.neutral_at_control", "circuit.dimming_forbidden")


def quantities(kind: str, depth: int) -> st.SearchStrategy[str]:
    """Texts of quantities of one dimension, at most ``depth`` operators deep."""
    traits, units = KINDS[kind]
    literals = st.tuples(st.sampled_from(units), FIGURES).map(lambda pair: f"{pair[0]}({pair[1]})")
    leaves = st.one_of(st.sampled_from(traits), literals)
    if depth == 0:
        return leaves
    same, ratio = quantities(kind, depth - 1), quantities("ratio", depth - 1)
    other = st.sampled_from(sorted(KINDS)).flatmap(lambda name: quantities(name, 0))
    return st.one_of(
        leaves,
        st.tuples(same, st.sampled_from("+-"), same).map(lambda parts: f"({parts[0]} {parts[1]} {parts[2]})"),
        st.tuples(same, st.sampled_from("*/"), ratio).map(
            lambda parts: f"({parts[0]} {parts[1]} {parts[2]})"
        ),
        st.tuples(st.sampled_from(("min", "max")), same, same).map(lambda p: f"{p[0]}({p[1]}, {p[2]})"),
        st.tuples(same, other).map(lambda parts: f"({parts[0]} * {parts[1]} / {parts[1]})"),
    )


def conditions(vocabulary: Vocabulary, depth: int) -> st.SearchStrategy[str]:
    """Texts of conditions, at most ``depth`` joins deep."""
    operators = st.sampled_from(("<=", "<", ">=", ">", "==", "!="))

    def words(trait: str) -> st.SearchStrategy[str]:
        known = list(vocabulary.choices[vocabulary.traits[trait].choices])
        some = st.lists(st.sampled_from(known), min_size=1, max_size=3).map(lambda w: f"({', '.join(w)})")
        return st.tuples(st.sampled_from(("in", "not in")), some).map(
            lambda pair: f"{trait} {pair[0]} {pair[1]}"
        )

    def compared(kind: str) -> st.SearchStrategy[str]:
        sides = quantities(kind, 2)
        return st.tuples(sides, operators, sides).map(" ".join)

    leaves = st.one_of(
        st.sampled_from(sorted(KINDS)).flatmap(compared),
        st.sampled_from(SETS + CHOICES).flatmap(words),
        st.sampled_from(SAME_LIST).map(" in ".join),
        st.sampled_from(SAME_LIST).map(" not in ".join),
        st.sampled_from(YES_NO),
        st.sampled_from(("true", "false", "always")),
    )
    if depth == 0:
        return leaves
    part = conditions(vocabulary, depth - 1)
    return st.one_of(
        leaves,
        st.tuples(part, st.sampled_from(("and", "or")), part).map(lambda p: f"({p[0]} {p[1]} {p[2]})"),
        part.map(lambda text: f"(not {text})"),
    )


def values_of(name: str, vocabulary: Vocabulary) -> st.SearchStrategy[Content]:
    """Contents of a trait; quantities also below zero, which no table allows but arithmetic makes."""
    trait = vocabulary.traits[name]
    if trait.kind != "quantity":
        return contents(trait, vocabulary)

    def turned(content: Content) -> Content:
        return Interval(-content.high, -content.low) if isinstance(content, Interval) else content

    def straddling(content: Content) -> Content:
        return Interval(-content.low, content.high) if isinstance(content, Interval) else content

    ordinary = contents(trait, vocabulary)
    return st.one_of(ordinary, ordinary, ordinary.map(turned), ordinary.map(straddling))
