"""The sentence of a finding: one for what is broken, one for what is so in part, one for what is missing."""

from __future__ import annotations

import re
from collections.abc import Sequence

from compat.engine.subject import Pairing
from compat.model.figures import DIGITS, NOT_KNOWN, known, number_text
from compat.model.report import Amount
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import EITHER, UNKNOWN, YES

SLOT = re.compile(r"\{([a-z0-9_.]+)\}")
TRADE_WORDS = {"forward phase": "leading edge", "reverse phase": "trailing edge"}
# A name longer than this would make the sentence too long.
LONG_NAME = 32
EACH = ("sum", "greatest", "least")
# The end of a wide interval that decides, by side, relation and whether the rule is broken for sure.
END = {
    ("demand", "at_most", True): ("low", "at least "),
    ("demand", "at_most", False): ("high", "up to "),
    ("demand", "at_least", True): ("high", "at most "),
    ("demand", "at_least", False): ("low", "as little as "),
    ("limit", "at_most", True): ("high", "at most "),
    ("limit", "at_most", False): ("low", "surely "),
    ("limit", "at_least", True): ("low", "at least "),
    ("limit", "at_least", False): ("high", "up to "),
}
# What is counted or listed, by the noun that leads its label: addresses, slots, load types, methods.
PLURAL = re.compile(
    r"([A-Za-z]+ )*?(addresses|slots|loads|types|methods|curves|directions|versions|colours|kinds|segments"
    r"|universes|supplies|circuits|characters)\b(?! of the breaker| of the residual)",
    re.IGNORECASE,
)


def sentence(
    rule: ParsedRule,
    pairing: Pairing,
    code: int,
    amounts: tuple[Amount | None, Amount | None, str | None],
    open_names: Sequence[str],
) -> str:
    """The sentence of a rule with its slots filled; empty for a rule that holds."""
    if code == YES:
        return ""
    by = rule.rule.because_by
    if code == UNKNOWN and "missing" not in by:
        return _missing(rule, pairing, open_names) or rule.rule.title
    template = {UNKNOWN: by.get("missing"), EITHER: by.get("in_part")}.get(code) or rule.rule.because
    texts = _deciding(pairing, amounts, code != EITHER, "{demand} of" in template)

    def text(name: str) -> str:
        return texts.get(name) or _value(pairing, name)

    slots = {name: text(name) for name in SLOT.findall(template)}
    # A value that is not known has no place in a sentence; the title says what must hold.
    if any(NOT_KNOWN in told for told in slots.values()):
        return rule.rule.title
    said = SLOT.sub(lambda match: slots[match[1]], template)
    return said[:1].upper() + said[1:]


def decides(name: str, rules: Sequence[ParsedRule], pairing: Pairing) -> str:
    """Up to which answer, or from which on, the rules that wait for it surely hold; empty when no limit
    is known. What a circuit sums is told for each of its luminaires.
    """
    vocabulary = pairing.dataset.vocabulary
    trait = vocabulary.traits[name]
    if trait.kind != "quantity" or trait.gather not in (*EACH, "", "column", "line"):
        return ""
    share = sum(m.row.quantity for m in pairing.circuit.circuit.members) if trait.gather == "sum" else 1
    most, least = [], []
    for test in (rule.test for rule in rules):
        if isinstance(test, nodes.AtMost):
            if _is_name(test.left, name) and (limit := pairing.quantity(test.right)):
                most.append(limit.low / share)
            if _is_name(test.right, name) and (limit := pairing.quantity(test.left)):
                least.append(limit.high / share)
    unit, each = vocabulary.unit_symbol(trait.unit), " each" if share > 1 else ""
    told = [f"up to {rounded(min(most), unit)}{each}"] if most else []
    told += [f"from {rounded(max(least), unit)}{each} on"] if least else []
    return " and ".join(told)


def rounded(value: float, unit: str) -> str:
    """A figure in two significant digits, such as ``24 A``."""
    return f"{number_text(float(f'{value:.2g}'))} {unit}".strip()


def _missing(rule: ParsedRule, pairing: Pairing, open_names: Sequence[str]) -> str:
    """``Input current is missing; it holds up to 0.43 A each.``"""
    labels = list(dict.fromkeys(_label(pairing, name) for name in open_names))
    if not labels:
        return ""
    more = f", with {len(labels) - 1} more" if len(labels) > 1 else ""
    whose = _whose(pairing, open_names[:1])
    if pairing.dataset.vocabulary.traits[open_names[0]].kind == "yes_no":
        return f"It is not stated whether this holds{whose}{more}: {labels[0]}."
    said = f"{labels[0]}{whose} {'are' if PLURAL.match(labels[0]) else 'is'} missing{more}"
    limit = decides(open_names[0], [rule], pairing) if len(labels) == 1 else ""
    said += f"; it holds {limit}." if limit else "."
    return said[:1].upper() + said[1:]


def _label(pairing: Pairing, name: str) -> str:
    traits = pairing.dataset.vocabulary.traits
    source = traits[name].gathered_from
    return traits[source].label if source else traits[name].label


def _whose(pairing: Pairing, names: Sequence[str]) -> str:
    """`` of the output`` or `` of Path light``; nothing where it is several things'."""
    if all(name.startswith("output.") for name in names):
        return " of the output"
    members = {member.name for name in names for member in pairing.circuit.members_without(name)}
    is_one = len(members) == 1 and not any(name.startswith("output.") for name in names)
    name = members.pop() if is_one else ""
    return f" of {name}" if name and len(name) <= LONG_NAME else ""


def _value(pairing: Pairing, name: str) -> str:
    if name not in pairing.dataset.vocabulary.traits:
        return NOT_KNOWN
    text = pairing.text(name)
    for ours, trade in TRADE_WORDS.items():
        text = text.replace(ours, trade)
    return text


def _deciding(
    pairing: Pairing,
    amounts: tuple[Amount | None, Amount | None, str | None],
    broken: bool,
    is_share: bool,
) -> dict[str, str]:
    """Demand and limit by the end that decides, in so few digits as tell the two apart.

    A ratio that ``is_share`` of something is told in percent.
    """
    demand, limit, relation = amounts
    if demand is None or limit is None or relation is None:
        return {}
    ends = [_end("demand", demand, relation, broken), _end("limit", limit, relation, broken)]
    symbol = pairing.dataset.vocabulary.unit_symbol(demand.unit)
    factor = 1.0
    if demand.unit == "ratio" and is_share:
        symbol, factor = "%", 100.0
    values = [None if end is None else end[0] * factor for end in ends]
    counts = demand.unit == "count"
    texts = _figures(values, [end is not None and bool(end[1]) and not counts for end in ends])
    return {
        side: NOT_KNOWN if end is None else f"{end[1]}{text} {symbol}".rstrip()
        for side, end, text in zip(("demand", "limit"), ends, texts, strict=True)
    }


def _end(side: str, amount: Amount, relation: str, broken: bool) -> tuple[float, str] | None:
    """The end that decides, and the words before it where the interval is wide."""
    place, words = END[side, relation, broken]
    value = known(amount.low if place == "low" else amount.high)
    if value is None:
        return None
    return value, "" if amount.low == amount.high else words


def _figures(values: Sequence[float | None], wide: Sequence[bool]) -> list[str]:
    """Each value in two significant digits, an exact one in four; more where both would read alike."""
    first, second = values
    for more in range(8):
        shown = [
            None if value is None else float(f"{value:.{(2 if open_ else DIGITS) + more}g}")
            for value, open_ in zip(values, wide, strict=True)
        ]
        a, b = shown
        if first is None or second is None or a is None or b is None:
            break
        if (a < b) == (first < second) and (a > b) == (first > second):
            break
    return [NOT_KNOWN if value is None else number_text(value, 12) for value in shown]


def _is_name(node: nodes.Node, name: str) -> bool:
    return isinstance(node, nodes.QuantityName) and node.name == name
