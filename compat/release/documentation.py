"""What a rule or a method must say of itself before it is published."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compat.dataset.read import Dataset
from compat.dataset.toml_files import read_document
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.release.methods import METHODS, method_meanings
from compat.rulebook.rules import ParsedRule, cases_file, read_cases

# Fewer letters than this are no sentence that explains anything.
SHORTEST = 12


def check_documentation(dataset: Dataset, rules: Sequence[ParsedRule]) -> None:
    """Raises BadInput with one fault for everything that a page would lack."""
    faults = [fault for rule in rules for fault in _rule_faults(rule, dataset)]
    meanings = method_meanings(dataset)
    for method in dataset.vocabulary.choices[METHODS]:
        if len(meanings.get(method, "")) < SHORTEST:
            where = Origin("choices.csv", key=f"{METHODS} {method}")
            faults.append(Fault("the method has no meaning", where, do="Write the column meaning"))
    if faults:
        raise BadInput(faults)


def _rule_faults(rule: ParsedRule, dataset: Dataset) -> Iterator[Fault]:
    data = rule.rule
    for key in ("title", "question", "because"):
        if len(getattr(data, key).strip()) < SHORTEST:
            yield _lacking(rule, f"{key} explains nothing", (key,), f"Write {key} as a sentence")
    if not all(remedy.strip() for remedy in data.remedies):
        yield _lacking(rule, "a remedy is empty", ("remedies",), "Say what to do, or take it out")
    if data.breach == "hazard" and not data.caution.strip():
        yield _lacking(rule, "a hazard has no caution", ("breach",), "Add caution")
    if data.status == "withdrawn" and not data.withdrawn_because.strip():
        yield _lacking(
            rule, "it is not said why the rule was withdrawn", ("status",), "Add withdrawn_because"
        )
    for place, citation in enumerate(data.sources):
        if citation.source not in dataset.sources:
            what = f"the source {citation.source} is not described in datasets/sources"
            yield _lacking(rule, what, ("sources", place, "source"), "Describe it there")
    yield from _case_faults(rule)


def _case_faults(rule: ParsedRule) -> Iterator[Fault]:
    beside = cases_file(rule.file)
    if not beside.is_file():
        yield _lacking(rule, "the rule has no cases", ("id",), f"Write {rule.family}/{beside.name}")
        return
    try:
        read_cases(beside)
    except BadInput as error:
        yield from error.faults


def _lacking(rule: ParsedRule, what: str, steps: tuple[str | int, ...], do: str) -> Fault:
    line = read_document(rule.file).line(*steps)
    return Fault(f"{rule.rule.id}: {what}", Origin(f"{rule.family}/{rule.file.name}", line=line), do=do)
