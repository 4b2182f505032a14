"""Rule files: read from a folder and parsed into trees."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from compat.dataset.toml_files import Document, read_document, validated
from compat.model.faults import BadInput, Fault
from compat.model.rule import Cases, Rule
from compat.model.values import Origin
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.clauses import Clause, clauses_of
from compat.rulebook.nodes import QuantityNode, TruthNode
from compat.rulebook.units import NUMBER

if TYPE_CHECKING:
    from compat.rulebook.expression import ExpressionError

CASES_SUFFIX = ".cases.toml"
RELATIONS_FOLDER = "relations"
SUBJECTS_OF: dict[str, frozenset[str]] = {
    "luminaire": frozenset({"driver", "circuit", "supply"}),
    "supply": frozenset({"circuit", "supply", "breaker", "cable", "source_impedance"}),
    "bus": frozenset({"line", "supply", "cable", "source_impedance"}),
    "pairing": frozenset({"circuit", "output", "supply", "breaker", "cable", "source_impedance"}),
    "system": frozenset({"house", "system"}),
}


@dataclass(frozen=True, slots=True)
class ParsedRule:
    """A rule with its trees; ``demand`` and ``limit`` are None for a rule that ``requires``."""

    rule: Rule
    family: str
    file: Path
    applies: TruthNode
    test: TruthNode
    demand: QuantityNode | None
    limit: QuantityNode | None

    condition: TruthNode = field(init=False)
    names: list[str] = field(init=False)
    _clauses: dict[str, tuple[Clause, ...]] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )

    def __post_init__(self) -> None:
        """``condition`` is what must hold wherever the rule is looked at: not applies, or test.

        ``names`` are the traits the rule uses, each once.
        """
        used = dict.fromkeys(nodes.names(self.applies) + nodes.names(self.test))
        object.__setattr__(self, "condition", nodes.Either(nodes.Not(self.applies), self.test))
        object.__setattr__(self, "names", list(used))

    @property
    def clauses(self) -> tuple[Clause, ...]:
        """The clauses of ``condition``, made when they are first asked for."""
        return self._clauses_of("condition", self.condition)

    @property
    def applies_clauses(self) -> tuple[Clause, ...]:
        """The clauses of ``applies``."""
        return self._clauses_of("applies", self.applies)

    def _clauses_of(self, part: str, node: TruthNode) -> tuple[Clause, ...]:
        if part not in self._clauses:
            self._clauses[part] = clauses_of(node)
        return self._clauses[part]


def is_of_circuit(rule: ParsedRule) -> bool:
    """Whether a rule is about a circuit, and not about a control line or a system as a whole."""
    return rule.rule.scope not in ("bus", "system")


def rule_files(folder: Path) -> Iterator[Path]:
    """Every rule file of a rules folder, without the cases and the relations, in a fixed order."""
    return (
        path
        for path in sorted(folder.glob("*/*.toml"))
        if not path.name.endswith(CASES_SUFFIX) and path.parent.name != RELATIONS_FOLDER
    )


def cases_file(rule_file: Path) -> Path:
    """The cases file that belongs beside a rule file."""
    return rule_file.with_name(rule_file.stem + CASES_SUFFIX)


def read_rules(folder: Path, vocabulary: Vocabulary, withdrawn: bool = False) -> list[ParsedRule]:
    """All live rules in the order in which they are told: precedence, then id.

    ``withdrawn`` adds those that judge nothing any more. Raises BadInput with every fault of every
    file.
    """
    rules: list[ParsedRule] = []
    faults: list[Fault] = []
    for path in rule_files(folder):
        try:
            rules.append(read_rule(path, vocabulary))
        except BadInput as error:
            faults.extend(error.faults)
    if faults:
        raise BadInput(faults)
    live = [rule for rule in rules if rule.rule.status != "withdrawn"]
    if not live:
        # Without rules every circuit would work.
        raise BadInput([Fault("the folder holds no rule in force", Origin(str(folder)))])
    told = rules if withdrawn else live
    return sorted(told, key=lambda rule: (rule.rule.precedence, rule.rule.id))


def read_rule(path: Path, vocabulary: Vocabulary) -> ParsedRule:
    """One rule file, validated and parsed; raises BadInput with all its faults."""
    # Here, since rules kept parsed need no parser.
    from compat.rulebook.expression import ExpressionError, Reader, at_most

    document = read_document(path)
    rule = validated(Rule, document.data, document)
    reader = Reader(vocabulary, SUBJECTS_OF.get(rule.scope, frozenset()))
    faults: list[Fault] = []

    def quantity(field: str) -> QuantityNode:
        try:
            return reader.quantity(getattr(rule, field))
        except ExpressionError as error:
            faults.append(_fault(document, field, error))
            return nodes.Number(0.0, NUMBER)

    def truth(field: str) -> TruthNode:
        try:
            return reader.truth(getattr(rule, field))
        except ExpressionError as error:
            faults.append(_fault(document, field, error))
            return nodes.Always(True)

    tests = [field for field in ("at_most", "at_least", "requires") if getattr(rule, field)]
    if len(tests) != 1 or (tests != ["requires"]) != bool(rule.demand):
        what = "a rule has either a demand with at_most or at_least, or requires"
        raise BadInput([Fault(what, Origin(path.name), do="Give exactly one of the three")])
    applies, demand, limit = truth("applies"), None, None
    if tests == ["requires"]:
        test = truth("requires")
    else:
        demand, limit = quantity("demand"), quantity(tests[0])
        try:
            test = at_most(demand, limit) if tests == ["at_most"] else at_most(limit, demand)
        except ExpressionError as error:
            test = nodes.Always(True)
            if not faults:
                faults.append(_fault(document, tests[0], error))
    if faults:
        raise BadInput(faults)
    return ParsedRule(rule, path.parent.name, path, applies, test, demand, limit)


def read_cases(path: Path) -> Cases:
    """The cases file of a rule; raises BadInput."""
    document = read_document(path)
    return validated(Cases, document.data, document)


def _fault(document: Document, field: str, error: ExpressionError) -> Fault:
    return Fault(f"{field} cannot be read: {error}".rstrip("."), document.where(field))
