"""What to ask: only answers that could change the verdict, the most decisive first."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from compat.engine.findings import Judged
from compat.engine.sentences import decides
from compat.engine.subject import Pairing
from compat.model.report import Question
from compat.model.verdicts import RANK, Verdict, worst


def questions_for(
    judged: Sequence[Judged], verdict: Verdict, pairing: Pairing, as_so: Collection[str] | None = None
) -> list[Question]:
    """The questions of a circuit on its output. ``as_so`` are traits of which what is usual goes without
    saying; where it is given, only findings that are to be settled first make a question decisive.

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
    questions = []
    for name, entries in waiting.items():
        first = as_so is None or (name not in as_so and any(entry.finding.decisive for entry in entries))
        questions.append(_question(name, entries, pairing, first))
    return sorted(
        questions,
        key=lambda question: (not question.decisive, -RANK[question.could_become], -len(question.rules)),
    )


def _question(name: str, entries: Sequence[Judged], pairing: Pairing, decisive: bool) -> Question:
    vocabulary = pairing.dataset.vocabulary
    definition = vocabulary.traits[name]
    asked = vocabulary.traits[definition.gathered_from] if definition.gathered_from else definition
    fallback = f"What is the {asked.label}?"
    ask = next((e.rule.rule.ask_for[name] for e in entries if name in e.rule.rule.ask_for), fallback)
    parts = pairing.circuit.open_parts(name)
    if parts:
        asked = definition
    about = [member.name for member in pairing.circuit.members_without(name)]
    if not about and asked.subject == "driver":
        about = [member.name for member in pairing.circuit.circuit.members]
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
        decides=decides(name, [entry.rule for entry in entries], pairing),
        decisive=decisive,
    )
