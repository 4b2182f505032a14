"""Faults of a dataset as JUnit XML, the form in which build servers take the results of tests."""

from __future__ import annotations

from xml.etree import ElementTree

from compat.model.checks import ChecksReport

SUITE = "compat dataset check"


def render_junit(report: ChecksReport) -> str:
    """A failed test case for each fault; one that passes when there is nothing to report."""
    failures = str(len(report.faults))
    counts = {"tests": str(max(1, len(report.faults))), "failures": failures, "errors": "0"}
    whole = ElementTree.Element("testsuites", {"name": SUITE, **counts})
    suite = ElementTree.SubElement(whole, "testsuite", {"name": SUITE, **counts, "skipped": "0"})
    if not report.faults:
        name = report.all_well()
        ElementTree.SubElement(suite, "testcase", {"classname": "dataset", "name": name})
    for fault in report.faults:
        place = f"{fault.path}:{fault.line}" if fault.line is not None else fault.path
        case = {"classname": fault.check, "name": _visible(place)}
        failed = ElementTree.SubElement(
            ElementTree.SubElement(suite, "testcase", case),
            "failure",
            {"type": fault.check, "message": fault.what and _visible(fault.what)},
        )
        failed.text = fault.sentence
    ElementTree.indent(whole)
    text = ElementTree.tostring(whole, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'


def _visible(text: str) -> str:
    """XML has no place for most control characters, not even by their number."""
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
