"""The forms that build servers read, for any list of notes: SARIF, JUnit XML, workflow annotations.

SARIF: OASIS standard, Static Analysis Results Interchange Format Version 2.1.0, sections 3.13 (log),
3.14 (run), 3.19 (tool component), 3.27 (result), 3.49 (reporting descriptor).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal
from urllib.parse import quote
from xml.etree import ElementTree

Level = Literal["error", "warning", "note"]
COMMANDS: dict[Level, str] = {"error": "error", "warning": "warning", "note": "notice"}
VERSION = "2.1.0"
SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


@dataclass(frozen=True, slots=True)
class Note:
    """One thing to tell about a place in a file; ``rule`` is an id, ``what`` the short form of it."""

    rule: str
    path: str
    line: int | None
    sentence: str
    what: str = ""
    level: Level = "error"


@dataclass(frozen=True, slots=True)
class TestCase:
    """One case of a suite: passed when it has no ``note``; an open one is skipped, not failed."""

    group: str
    name: str
    note: Note | None = None
    is_open: bool = False


def sarif_text(version: str, rules: Sequence[Mapping[str, Any]], notes: Sequence[Note]) -> str:
    """One run with these rules, each with an ``id``, and a result for each note."""
    places = {rule["id"]: place for place, rule in enumerate(rules)}
    driver = {"name": "compat", "version": version, "rules": rules}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(note, places[note.rule]) for note in notes],
    }
    log = {"$schema": SCHEMA, "version": VERSION, "runs": [run]}
    return json.dumps(log, indent=2, ensure_ascii=False) + "\n"


def _result(note: Note, place: int) -> dict[str, Any]:
    physical: dict[str, Any] = {"artifactLocation": {"uri": quote(note.path)}}
    if note.line is not None:
        physical["region"] = {"startLine": note.line}
    return {
        "ruleId": note.rule,
        "ruleIndex": place,
        "level": note.level,
        "message": {"text": note.sentence},
        "locations": [{"physicalLocation": physical}],
    }


def junit_text(suite: str, cases: Sequence[TestCase]) -> str:
    """A suite with these cases."""
    failures = sum(case.note is not None and not case.is_open for case in cases)
    skipped = sum(case.note is not None and case.is_open for case in cases)
    counts = {"tests": str(len(cases)), "failures": str(failures), "errors": "0"}
    whole = ElementTree.Element("testsuites", {"name": suite, **counts})
    inner = ElementTree.SubElement(whole, "testsuite", {"name": suite, **counts, "skipped": str(skipped)})
    for case in cases:
        told = {"classname": visible(case.group), "name": visible(case.name)}
        made = ElementTree.SubElement(inner, "testcase", told)
        if case.note is None:
            continue
        if case.is_open:
            ElementTree.SubElement(made, "skipped", {"message": visible(case.note.sentence)})
            continue
        what = {"type": case.note.rule, "message": visible(case.note.what)}
        ElementTree.SubElement(made, "failure", what).text = visible(case.note.sentence)
    ElementTree.indent(whole)
    text = ElementTree.tostring(whole, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'


def annotations_text(notes: Sequence[Note], all_well: Note) -> str:
    """``::error file=...,line=...,title=...::sentence``; one notice when there is nothing to tell."""
    if not notes:
        return f"::notice title={_value(all_well.rule)}::{_message(all_well.sentence)}\n"
    return "".join(map(_line, notes))


def _line(note: Note) -> str:
    where = [f"file={_value(note.path)}"]
    if note.line is not None:
        where.append(f"line={note.line}")
    where.append(f"title={_value(note.rule)}")
    return f"::{COMMANDS[note.level]} {','.join(where)}::{_message(note.sentence)}\n"


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _value(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")


def visible(text: str) -> str:
    """XML has no place for most control characters, not even by their number."""
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
