"""What to ask: only answers that could change the verdict, the most decisive first."""

from __future__ import annotations

from collections.abc import Sequence

from compat.engine.findings import Judged
from compat.engine.subject import Pairing
from compat.model.report import Question
from compat.model.verdicts import RANK, Verdict, worst
from compat.rulebook import nodes
from compat.rulebook.rules import ParsedRule


def questions_for(judged: Sequence[Judged], verdict: Verdict, pairing: Pairing) -> list[Question]:
    """The questions of a circuit on its output.

    Where the verdict already fails, an answer matters only if it could show a hazard. Otherwise
    every open finding matters. Most decisive: the gravest verdict it could lead to, then the
    number of rules that wait for it, then the order in which the rules are told.
    """
    waiting: dict[str, list[Judged]] = {}
    for entry in judged:
        grave = RANK[entry.rule.rule.breach] > RANK[verdict]
        if entry.finding.verdict == "unproven" and (grave or verdict == "unproven"):
            for name in entry.open_names:
                waiting.setdefault(name, []).append(entry)
    questions = [_question(name, entries, pairing) for name, entries in waiting.items()]
    return sorted(questions, key=lambda question: (-RANK[question.could_become], -len(question.rules)))


def _question(name: str, entries: Sequence[Judged], pairing: Pairing) -> Question:
    vocabulary = pairing.dataset.vocabulary
    definition = vocabulary.traits[name]
    asked = vocabulary.traits[definition.gathered_from] if definition.gathered_from else definition
    fallback = f"What is the {asked.label}?"
    ask = next((e.rule.rule.ask_for[name] for e in entries if name in e.rule.rule.ask_for), fallback)
    parts = pairing.circuit.open_parts(name)
    if parts:
        asked = definition
    about = [member.name for member in pairing.circuit.members_without(name)]
    if definition.subject == "output" and pairing.output.output:
        about = [pairing.output.output.name]
    return Question(
        name=asked.full_name,
        label=asked.label,
        ask=ask,
        about=list(dict.fromkeys(about)),
        where_to_find="; ".join(f"{part.label}: {part.where_to_find}" for part in parts)
        or asked.where_to_find
        or definition.where_to_find,
        rules=[entry.rule.rule.id for entry in entries],
        could_become=worst(entry.rule.rule.breach for entry in entries),
        decides=_decides(name, [entry.rule for entry in entries], pairing),
    )


EACH = ("sum", "greatest", "least")


def _decides(name: str, rules: Sequence[ParsedRule], pairing: Pairing) -> str:
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


def _is_name(node: nodes.Node, name: str) -> bool:
    return isinstance(node, nodes.QuantityName) and node.name == name


def rounded(value: float, unit: str) -> str:
    """A figure in two significant digits, such as ``24 A``."""
    return f"{float(f'{value:.2g}'):g} {unit}".strip()
