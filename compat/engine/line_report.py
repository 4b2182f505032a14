"""The report on one control line: limits with their used share, findings, remedies, questions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from compat.dataset.read import Dataset
from compat.engine.circuit_report import cautions_of, remedies_of
from compat.engine.findings import Judged
from compat.engine.lines import Line, judged_on
from compat.engine.questions import questions_for
from compat.engine.site import Site
from compat.engine.subject import Pairing
from compat.model.report import Amount, Expected, Finding, LineLimit, LineReport
from compat.model.verdicts import worst
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.evaluator import slackened
from compat.rulebook.rules import ParsedRule


def report_line(
    line: Line,
    rules: Sequence[ParsedRule],
    site: Site,
    dataset: Dataset,
    usual: tuple[Line, Site] | None = None,
    brief: bool = False,
) -> LineReport:
    """The report on a line. A line that no rule applies to works.

    ``usual`` is the same line with usual values in the gaps and its site, for what is expected of it.
    ``brief`` is as of :func:`findings.judge`.
    """
    pairing = Pairing.of(line, None, site, dataset)
    judged = judged_on(pairing, rules, brief)
    # A line has no usual values beside it, so all that is open comes first.
    findings = [replace(entry.finding, decisive=entry.finding.verdict == "unproven") for entry in judged]
    verdict = worst(finding.verdict for finding in findings)
    return LineReport(
        line=line.id,
        kind=pairing.text("line.kind"),
        circuits=[circuit.id for circuit in line.circuits],
        proposed=line.proposed,
        verdict=verdict,
        findings=findings,
        limits=limits_of(judged, dataset.vocabulary),
        remedies=remedies_of(findings),
        questions=questions_for(judged, verdict, pairing),
        cautions=cautions_of(findings),
        expected=_expected(judged, rules, *usual, dataset) if usual and verdict == "unproven" else None,
    )


def _expected(
    judged: Sequence[Judged], rules: Sequence[ParsedRule], usual: Line, site: Site, dataset: Dataset
) -> Expected:
    """What an unproven line is expected to be, why, and the usual values that decide it."""
    pairing = Pairing.of(usual, None, site, dataset)
    first = next((entry.finding for entry in judged_on(pairing, rules, brief=True)), None)
    broken = first if first and first.verdict != "works" else None
    names = dict.fromkeys(name for found in judged for name in found.open_names)
    inputs = [one for name in names for one in pairing.inputs(name) if one.basis == "usual"]
    return Expected(
        verdict=broken.verdict if broken else "works",
        rule=broken.rule if broken else None,
        slug=broken.slug if broken else None,
        because=broken.because if broken else "",
        usual=list({(one.name, one.label): one for one in inputs}.values()),
    )


def limits_of(judged: Iterable[Judged], vocabulary: Vocabulary) -> list[LineLimit]:
    """What is used of each limit, most used first and those that are not known last.

    A limit of none or of one thing is left out: it is a condition and nothing fills it up.
    """
    found = [limit for entry in judged if (limit := _limit(entry, vocabulary)) is not None]
    # Two rules with one limit, such as one for each version of a standard, fill it alike.
    limits = {
        (limit.label, limit.relation, limit.used.text, limit.limit.text): limit for limit in reversed(found)
    }
    return sorted(
        limits.values(), key=lambda limit: (limit.share_percent is None, -(limit.share_percent or 0.0))
    )


def _limit(entry: Judged, vocabulary: Vocabulary) -> LineLimit | None:
    finding = entry.finding
    if finding.demand is None or finding.limit is None or finding.relation is None:
        return None
    if finding.limit.unit == "count" and finding.limit.high is not None and finding.limit.high <= 1:
        return None
    if finding.limit.high == 0:
        return None
    return LineLimit(
        label=_label(entry.rule, finding, vocabulary),
        rule=finding.rule,
        relation=finding.relation,
        used=finding.demand,
        limit=finding.limit,
        share_percent=_share(finding.demand, finding.limit, finding.relation),
    )


def _label(rule: ParsedRule, finding: Finding, vocabulary: Vocabulary) -> str:
    """The trait that is used, where it is one, or the one that limits it; else all that are used."""
    used, limiting = (nodes.names(part) if part is not None else [] for part in (rule.demand, rule.limit))
    shown = used if len(used) == 1 else limiting if len(limiting) == 1 else used
    return ", ".join(vocabulary.traits[name].label for name in shown) or finding.title


def _share(used: Amount, limit: Amount, relation: str) -> float | None:
    """The used share at the worse ends, in %; 100 where the rules count the two as equal."""
    part, whole = (used.high, limit.low) if relation == "at_most" else (limit.high, used.low)
    if part is None or not whole:
        return None
    share = 100.0 * part / whole
    return min(share, 100.0) if part <= slackened(whole) else share
