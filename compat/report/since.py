"""What got better, worse, new or gone since an earlier report in JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from compat.model.faults import BadInput, Fault
from compat.model.files import open_ordinary
from compat.model.report import Report
from compat.model.values import Origin
from compat.model.verdicts import VERDICTS, Verdict
from compat.report.answer import count_text
from compat.report.lines import SOFT, STRONG, Line, line
from compat.report.page import render_lines
from compat.report.states import STATES, State, line_state, state_by, state_of

MOST_BYTES = 100_000_000
Subject = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Since:
    """Circuits and lines by what became of them, each with its states before and now."""

    better: list[tuple[str, State, State]]
    worse: list[tuple[str, State, State]]
    new: list[tuple[str, State]]
    gone: list[tuple[str, State]]
    unchanged: int


def read_states(path: Path) -> dict[Subject, State]:
    """The states that an earlier report tells. Raises BadInput for a file that is none."""
    where = Origin(path.name)
    do = "Give a file that compat check --format json has written"
    with open_ordinary(path) as stream:
        content = stream.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise BadInput([Fault("this file is too large for an earlier report", where, do=do)])
    try:
        data = json.loads(content)
        return dict(_states(data))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise BadInput(
            [Fault("this is no earlier report", where, "A report by report/1 in JSON", do)]
        ) from error


def _states(data: Any) -> Iterator[tuple[Subject, State]]:
    if data["report"] != "report/1":
        raise ValueError(data["report"])
    subjects = [("circuit", entry) for entry in data["circuits"]]
    subjects += [("line", entry) for entry in data.get("lines", [])]
    for kind, entry in subjects:
        expected = entry.get("expected") or {}
        likely = _verdict(expected["verdict"]) if expected else None
        yield (kind, str(entry[kind])), state_by(_verdict(entry["verdict"]), likely)


def _verdict(text: str) -> Verdict:
    for verdict in VERDICTS:
        if verdict == text:
            return verdict
    raise ValueError(text)


def since(before: dict[Subject, State], report: Report) -> Since:
    """What became of every circuit and line; by the order of the states, works last."""
    now: dict[Subject, State] = {("circuit", one.circuit): state_of(one) for one in report.circuits}
    now |= {("line", one.line): line_state(one) for one in report.lines}
    both = [(subject, before[subject], state) for subject, state in now.items() if subject in before]
    moved = [(_name(subject), old, state) for subject, old, state in both if old != state]
    return Since(
        better=[one for one in moved if STATES.index(one[2]) > STATES.index(one[1])],
        worse=[one for one in moved if STATES.index(one[2]) < STATES.index(one[1])],
        new=[(_name(subject), state) for subject, state in now.items() if subject not in before],
        gone=[(_name(subject), state) for subject, state in before.items() if subject not in now],
        unchanged=len(both) - len(moved),
    )


def render_since(found: Since, name: str, width: int, colour: bool) -> str:
    """The comparison in lines of at most ``width`` cells, ending in an empty one."""
    return render_lines(_lines(found, name), width, colour)


def _lines(found: Since, name: str) -> Iterator[Line]:
    moved = len(found.better) + len(found.worse) + len(found.new) + len(found.gone)
    told = f"{count_text(moved, 'change')}, {found.unchanged} unchanged"
    yield line(("Since ", STRONG), (name, STRONG), f": {told}")
    for heading, steps in (("worse", found.worse), ("better", found.better)):
        for subject, old, state in steps:
            yield line(f"{heading}: ", (subject, STRONG), f" from {old} to {state}", hang=2)
    for heading, entries in (("new", found.new), ("gone", found.gone)):
        for subject, state in entries:
            yield line(f"{heading}: ", (subject, STRONG), (f" ({state})", SOFT), hang=2)
    yield line()


def _name(subject: Subject) -> str:
    kind, name = subject
    return name if kind == "circuit" else f"line {name}"
