"""Sources that are cited exist, and every part of a rule that can be wrong is supported."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material, in_rule
from compat.model.faults import Fault, did_you_mean

NAME = "citations"
SCOPE = "rule"
SENTENCE = "cited sources exist and support the test of the rule"


def check(material: Material) -> Iterator[Fault]:
    """Faults for unknown sources and unsupported tests."""
    sources = material.dataset.sources
    for rule in material.rules:
        data = rule.rule
        for citation in data.sources:
            if citation.source not in sources:
                what = f"the source {citation.source} is not in datasets/sources"
                yield Fault(what, in_rule(rule, citation.source), do=did_you_mean(citation.source, sources))
            unused = [part for part in citation.supports if part != "applies" and not getattr(data, part)]
            if unused:
                what = (
                    f"{citation.source} is said to support {', '.join(unused)}, which the rule does not have"
                )
                yield Fault(what, in_rule(rule, citation.source))
        test = "at_most" if data.at_most else "at_least" if data.at_least else "requires"
        if not any(test in citation.supports for citation in data.sources):
            yield Fault(
                f"no source supports {test}", in_rule(rule, "sources"), do=f'Add supports = ["{test}"] to one'
            )
