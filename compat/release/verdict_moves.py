"""Which verdicts moved between two editions on a schedule, judged by the one engine with both."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from compat.dataset.overlay import project_beside, read_setting
from compat.dataset.read import data_root
from compat.engine.check import Check
from compat.intake.own_equipment import with_own
from compat.intake.read import read_schedule
from compat.model.changes import LEVELS, Level, Move, Owner, ScheduleMoves
from compat.model.faults import BadInput
from compat.model.report import CircuitReport, Finding, LineReport, Report
from compat.model.verdicts import RANK, Verdict
from compat.release.edition import Edition

Told = Verdict | Literal["no_finding"]
NO_FINDING: Literal["no_finding"] = "no_finding"
QUIET = ("works", NO_FINDING)


@dataclass(frozen=True, slots=True)
class ScheduleInputs:
    """A schedule with what is laid over the dataset to judge it; a project beside it is used."""

    schedule: Path
    project: Path | None = None
    drivers: Path | None = None
    outputs: Path | None = None
    sheet: str | None = None
    belongs_to: Owner = "user"


def reference_moves(old: Edition, new: Edition) -> list[ScheduleMoves]:
    """What moved on the reference schedules: those of the new edition, the old, or the program.

    The first that both editions can judge are taken, since an edition may name what another lacks;
    failing that the first there are, with what each edition says against them.
    """
    first: list[ScheduleMoves] = []
    roots: dict[Owner, Path] = {"new": new.dataset.root, "old": old.dataset.root, "program": data_root()}
    for owner, root in roots.items():
        paths = sorted((root / "datasets" / "demo").glob("*.xlsx"))
        found = [schedule_moves(ScheduleInputs(path, belongs_to=owner), old, new) for path in paths]
        first = first or found
        if found and not any(schedule.old_refused or schedule.new_refused for schedule in found):
            return found
    return first


def schedule_moves(work: ScheduleInputs, old: Edition, new: Edition) -> ScheduleMoves:
    """What moved on one schedule. An edition that cannot read it is told with its faults.

    Raises BadInput when a schedule of the user's fits neither edition.
    """
    before, old_faults = _report(work, old)
    after, new_faults = _report(work, new)
    known = after or before
    if known is None and work.belongs_to == "user":
        raise BadInput(new_faults.faults if new_faults else [])
    moves: list[Move] = []
    if before is not None and after is not None:
        moves = _grouped(_steps(before, after), old, new)
    return ScheduleMoves(
        schedule=work.schedule.name,
        sha256=known.schedule_sha256 if known else "",
        belongs_to=work.belongs_to,
        circuits=len(known.circuits) if known else 0,
        lines=len(known.lines) if known else 0,
        old_refused=_sentences(old_faults),
        new_refused=_sentences(new_faults),
        moves=moves,
    )


def _report(work: ScheduleInputs, edition: Edition) -> tuple[Report | None, BadInput | None]:
    try:
        laid = with_own(with_own(edition.dataset, "drivers", work.drivers).dataset, "outputs", work.outputs)
        dataset = laid.dataset
        project = work.project or (project_beside(work.schedule) if work.schedule.name else None)
        setting = read_setting(dataset, project, laid.ids)
        tables = dataset.tables
        read = read_schedule(
            work.schedule, dataset.vocabulary, tables["drivers"], tables["outputs"], work.sheet
        )
        return Check(dataset, edition.live, setting).report(read), None
    except BadInput as error:
        return None, error


def _sentences(refused: BadInput | None) -> list[str]:
    return [fault.sentence() for fault in refused.faults] if refused else []


# What moved: at which level, by which rule with its slug, from and to.
Moved = tuple[Level, str, str, Told, Told]


def _grouped(steps: Iterable[tuple[Moved, str]], old: Edition, new: Edition) -> list[Move]:
    """By level, rule, from and to; the places in the order of the schedule."""
    groups: dict[Moved, list[str]] = {}
    for moved, where in steps:
        groups.setdefault(moved, []).append(where)

    def order(moved: Moved) -> tuple[int, str, int, int]:
        level, rule, _, was, now = moved
        return LEVELS.index(level), rule, RANK.get(was, -1), RANK.get(now, -1)

    return [
        Move(
            level=level,
            rule=rule,
            slug=slug,
            old=was,
            new=now,
            stable=not rule or old.judges(rule) or new.judges(rule),
            count=len(groups[level, rule, slug, was, now]),
            where=groups[level, rule, slug, was, now],
        )
        for level, rule, slug, was, now in sorted(groups, key=order)
    ]


def _steps(before: Report, after: Report) -> Iterator[tuple[Moved, str]]:
    """Each verdict that moved, with its place."""
    circuits = {circuit.circuit: circuit for circuit in before.circuits}
    for circuit in after.circuits:
        if circuit.circuit in circuits:
            yield from _circuit_steps(circuits[circuit.circuit], circuit)
    lines = {line.line: line for line in before.lines}
    for line in after.lines:
        if line.line in lines:
            name, was = f"line {line.line}", lines[line.line]
            yield from _own_step("line", was, line, name)
            yield from _finding_steps(was.findings, line.findings, name)


def _circuit_steps(before: CircuitReport, after: CircuitReport) -> Iterator[tuple[Moved, str]]:
    name = after.circuit
    was, now = (report.output.output if report.output else "no output" for report in (before, after))
    yield from _own_step("circuit", before, after, name if was == now else f"{name} ({was} -> {now})")
    if was == now:
        yield from _finding_steps(before.findings, after.findings, name)
    # Outputs that the circuit is not on in either edition.
    others = {output.output: output for output in before.other_outputs}
    for output in after.other_outputs:
        old = others.get(output.output)
        if old is not None and old.verdict != output.verdict:
            told = output if RANK[output.verdict] > RANK[old.verdict] else old
            where = f"{name} on {output.output}"
            yield ("output", told.rule or "", told.slug or "", old.verdict, output.verdict), where


def _own_step(
    level: Level, before: CircuitReport | LineReport, after: CircuitReport | LineReport, where: str
) -> Iterator[tuple[Moved, str]]:
    """The verdict of a circuit or line itself, with the rule behind the worse of the two."""
    if before.verdict != after.verdict:
        worse = after if RANK[after.verdict] > RANK[before.verdict] else before
        told = next((finding for finding in worse.findings if finding.verdict == worse.verdict), None)
        rule, slug = (told.rule, told.slug) if told else ("", "")
        yield (level, rule, slug, before.verdict, after.verdict), where


def _finding_steps(
    before: Sequence[Finding], after: Sequence[Finding], where: str
) -> Iterator[tuple[Moved, str]]:
    """Rules that judge the same circuit or line otherwise; between works and nothing is no news."""
    was, now = _by_rule(before), _by_rule(after)
    slugs = {finding.rule: finding.slug for finding in [*before, *after]}
    for rule in sorted(slugs):
        old, new = was.get(rule, NO_FINDING), now.get(rule, NO_FINDING)
        if old != new and not (old in QUIET and new in QUIET):
            yield ("finding", rule, slugs[rule], old, new), where


def _by_rule(findings: Sequence[Finding]) -> Mapping[str, Verdict]:
    """The worst verdict of each rule."""
    return {finding.rule: finding.verdict for finding in sorted(findings, key=lambda f: RANK[f.verdict])}
