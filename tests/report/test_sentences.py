"""Every sentence that a rule makes: its length, its slots and what it never says.

The rules of wording are the project's own: a verdict with its number and its limit, in at most 20 words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from compat import api
from compat.dataset.read import Dataset, data_root
from compat.model.report import Finding, Report
from compat.rulebook.rules import ParsedRule, read_rules

MOST_WORDS = 20
NEVER = re.compile(
    r"not known|must be among|works by|\{|\}|: (yes|no)\b|forward phase|reverse phase|\bX\b|  ", re.IGNORECASE
)
SLOT = re.compile(r"\{[a-z0-9_.]+\}")
DEMO = data_root() / "datasets" / "demo"


@pytest.fixture(scope="module")
def rules(dataset: Dataset) -> list[ParsedRule]:
    return list(read_rules(dataset.rules_folder, dataset.vocabulary))


def faults_of(sentence: str) -> Iterator[str]:
    if len(sentence.split()) > MOST_WORDS:
        yield f"{len(sentence.split())} words: {sentence}"
    if NEVER.search(sentence):
        yield f"never so: {sentence}"
    if not re.fullmatch(r"[A-Z0-9].*[.]", sentence):
        yield f"no sentence: {sentence}"


def test_the_sentences_of_the_rules(rules: list[ParsedRule]) -> None:
    """A slot counts as one word, and stands for one here."""
    told = [text for of in rules for text in (of.rule.because, *of.rule.because_by.values())]
    said = [SLOT.sub("9", text) for text in told]
    assert len(said) >= len(rules) > 150
    assert [fault for text in said for fault in faults_of(text)] == []


def test_the_cautions_are_short_and_leave_the_deference_to_the_report(rules: list[ParsedRule]) -> None:
    cautions = [of.rule.caution for of in rules if of.rule.caution]
    assert len(cautions) > 20
    assert [fault for text in cautions for fault in faults_of(text)] == []
    assert not any("licensed electrician" in text for text in cautions)


def test_the_remedies_are_short_sentences(rules: list[ParsedRule]) -> None:
    remedies = [text for of in rules for text in of.rule.remedies]
    assert [text for text in remedies if len(text.split()) > MOST_WORDS or not text.endswith(".")] == []


def test_a_question_asks_in_short_sentences(rules: list[ParsedRule]) -> None:
    asked = {text for of in rules for text in of.rule.ask_for.values()}
    parts = [part for text in asked for part in re.split(r"(?<=[?.;]) ", text)]
    assert [text for text in asked if "?" not in text] == []
    assert [part for part in parts if len(part.split()) > MOST_WORDS] == []


def findings_of(report: Report) -> Iterator[Finding]:
    for circuit in report.circuits:
        yield from circuit.findings
    for line in report.lines:
        yield from line.findings


@pytest.mark.parametrize("name", ["house.xlsx", "office.csv", "control-lines.csv"])
def test_what_the_demo_says(name: str, rules: list[ParsedRule]) -> None:
    """Of every finding, expected verdict and other output. Titles stand in where a value is missing."""
    report = api.check(Path(DEMO) / name).report
    titles = {of.rule.title for of in rules}
    said = {finding.because for finding in findings_of(report) if finding.verdict != "works"}
    said |= {circuit.expected.because for circuit in report.circuits if circuit.expected}
    said |= {other.because for circuit in report.circuits for other in circuit.other_outputs}
    said -= {"", *titles}
    assert len(said) > 5
    # A device that circuits share names them all before the sentence.
    plain = [re.sub(r"^(Breaker|RCD) [^:]*: (.)", lambda m: m[2].upper(), text) for text in said]
    assert [fault for text in plain for fault in faults_of(text)] == []
