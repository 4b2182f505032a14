"""What the public functions give: answers, and the forms in which each is written.

Everything heavier than this file is loaded when it is used.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import polars as pl

    from compat.dataset.read import Dataset
    from compat.model.lookup import Lookup, OutputLookup
    from compat.model.plan import DaliAddresses, DmxPatch, Plan
    from compat.model.report import CircuitReport, LineReport, Report
    from compat.model.rule import Case
    from compat.model.vocabulary import Vocabulary
    from compat.report.plan_table import PlanTable
    from compat.rulebook.rules import ParsedRule

Told = TypeVar("Told")


@dataclass(frozen=True)
class CheckResult:
    """The answer to a check. ``report`` is the whole of it, as ``report.schema.json`` has it.

    ``schedule`` is the file that was judged, whose copy :meth:`to_xlsx` writes into; ``vocabulary`` has
    the units and words in which :meth:`to_questions` asks.
    """

    report: Report
    schedule: Path | None = None
    vocabulary: Vocabulary | None = None

    def to_json(self, details: bool = True) -> str:
        """The report as JSON, by the published schema; without details about a tenth of it."""
        from compat.report.json import render_json

        return render_json(self.report, details)

    def to_csv(self) -> str:
        """A row for each circuit and line; no text in it runs as a formula."""
        from compat.report.check_formats import render_csv

        return render_csv(self.report)

    def to_jsonl(self) -> str:
        """A JSON object for each circuit and line, one a line."""
        from compat.report.check_formats import render_jsonl

        return render_jsonl(self.report)

    def to_markdown(self) -> str:
        """The answer with a table of all circuits and lines."""
        from compat.report.check_formats import render_markdown

        return render_markdown(self.report)

    def to_sarif(self) -> str:
        """What does not work as SARIF 2.1.0."""
        from compat.report.check_formats import render_sarif

        return render_sarif(self.report)

    def to_junit(self) -> str:
        """A test case for each circuit and line as JUnit XML."""
        from compat.report.check_formats import render_junit

        return render_junit(self.report)

    def to_annotations(self) -> str:
        """What does not work as workflow annotations."""
        from compat.report.check_formats import render_annotations

        return render_annotations(self.report)

    def to_xlsx(self) -> bytes:
        """The schedule's own workbook back with the answer in added columns and sheets.

        A schedule of another format gives the sheets alone. Raises BadInput without openpyxl.
        """
        from compat.report.check_xlsx import render_xlsx

        is_book = self.schedule is not None and self.schedule.suffix.lower() == ".xlsx"
        return render_xlsx(self.report, self.schedule.read_bytes() if is_book and self.schedule else None)

    def to_questions(self) -> bytes:
        """What to ask as a workbook with empty cells for the answers, a sheet for each enquiry."""
        from compat.dataset.read import data_root, load_dataset
        from compat.report.questions_xlsx import render_questions

        return render_questions(self.report, self.vocabulary or load_dataset(data_root()).vocabulary)

    def to_pdf(self) -> bytes:
        """The check as papers for issue; equal bytes for equal reports. Raises BadInput without typst."""
        from compat.report.pdf import render_pdf

        return render_pdf(self.report)

    def since(self, earlier: str | Path, width: int = 100, colour: bool = False) -> str:
        """What got better, worse, new or gone since an earlier report in JSON. Raises BadInput."""
        from compat.report.since import read_states, render_since, since

        path = Path(earlier)
        return render_since(since(read_states(path), self.report), path.name, width, colour)

    def to_html(self) -> str:
        """The report as one page that needs nothing else."""
        from compat.report.html import render_html

        return render_html(self.report)

    def to_text(
        self, width: int = 100, colour: bool = False, details: bool = False, ascii_only: bool = False
    ) -> str:
        """The report in lines of at most ``width`` characters, of which there are at least 40."""
        from compat.report.text import render_text

        return render_text(self.report, width, colour, details, ascii_only)

    @cached_property
    def findings(self) -> pl.DataFrame:
        """One row for each rule on each circuit and line: subject, kind, output, rule, slug, verdict,
        because, demand and limit with their ends and unit, margin in %.
        """
        from compat.report.frame import findings_frame

        return findings_frame(self.report)

    def circuit(self, name: str) -> CircuitReport:
        """The report on one circuit. Raises BadInput with the nearest names."""
        return _named("circuit", name, {entry.circuit: entry for entry in self.report.circuits}, self.report)

    def line(self, name: str) -> LineReport:
        """The report on one control line. Raises BadInput with the nearest names."""
        return _named("line", name, {entry.line: entry for entry in self.report.lines}, self.report)


@dataclass(frozen=True)
class LookupResult:
    """The answer to a look-up. ``answer`` is the whole of it, as ``lookup.schema.json`` has it."""

    answer: Lookup

    def to_json(self) -> str:
        """The answer as JSON, by the published schema."""
        from compat.report.json import render_lookup_json

        return render_lookup_json(self.answer)

    def to_html(self) -> str:
        """The answer as one page that needs nothing else."""
        from compat.report.lookup_html import render_lookup_html

        return render_lookup_html(self.answer)

    def to_text(self, width: int = 100, colour: bool = False) -> str:
        """The answer in lines of at most ``width`` characters."""
        from compat.report.lookup_text import render_lookup_text

        return render_lookup_text(self.answer, width, colour)


@dataclass(frozen=True)
class OutputLookupResult:
    """The answer to a look-up of an output, as ``output_lookup.schema.json`` has it."""

    answer: OutputLookup

    def to_json(self) -> str:
        """The answer as JSON, by the published schema."""
        from compat.report.json import render_record_json

        return render_record_json(self.answer)

    def to_text(self, width: int = 100, colour: bool = False) -> str:
        """The answer in lines of at most ``width`` characters."""
        from compat.report.output_lookup_text import render_output_lookup_text

        return render_output_lookup_text(self.answer, width, colour)


class OfTable:
    """What is written from one table."""

    @property
    def table(self) -> PlanTable:
        """The table."""
        raise NotImplementedError

    def to_csv(self) -> str:
        """The rows as CSV."""
        from compat.report.plan_formats import render_plan_csv

        return render_plan_csv(self.table)

    def to_html(self) -> str:
        """The table as one page that needs nothing else."""
        from compat.report.plan_formats import render_plan_html

        return render_plan_html(self.table)

    def to_text(self, width: int = 100, colour: bool = False) -> str:
        """The table in lines of at most ``width`` characters."""
        from compat.report.plan_formats import render_plan_text

        return render_plan_text(self.table, width, colour)


@dataclass(frozen=True)
class TableResult(OfTable):
    """One table of a plan that goes to site."""

    paper: PlanTable

    @property
    def table(self) -> PlanTable:
        """The table."""
        return self.paper


@dataclass(frozen=True)
class PlanResult:
    """A plan of the house. ``plan`` is the whole of it, as ``plan.schema.json`` has it."""

    plan: Plan

    @property
    def is_complete(self) -> bool:
        """Whether the kind holds the house as far as is known, and every circuit has a place."""
        plan = self.plan
        return bool(plan.circuits) and not (plan.left_out or plan.not_planned or plan.fits[0].holds == "no")

    def to_json(self) -> str:
        """The plan as JSON, by the published schema."""
        return self.plan.model_dump_json(indent=2) + "\n"

    def to_text(self, width: int = 100, colour: bool = False) -> str:
        """The plan in lines of at most ``width`` characters, of which there are at least 40."""
        from compat.report.plan_text import render_plan

        return render_plan(self.plan, width, colour)

    def paper(self, name: str) -> PlanTable:
        """One paper of the plan as a table. Raises BadInput where the plan has none of that name."""
        from compat.model.faults import BadInput, Fault
        from compat.model.values import Origin
        from compat.report.plan_papers import papers_of

        papers = papers_of(self.plan)
        if name not in papers:
            fault = Fault(
                f"this plan has no paper '{name}'", Origin("--table"), f"It has: {', '.join(papers)}"
            )
            raise BadInput([fault])
        return papers[name]

    def to_html(self) -> str:
        """All papers on one page that needs nothing else."""
        from compat.report.plan_book import render_plan_book_html

        return render_plan_book_html(self.plan)

    def to_xlsx(self) -> bytes:
        """All papers as a workbook ready for print."""
        from compat.report.plan_book import render_plan_xlsx

        return render_plan_xlsx(self.plan)

    def to_svg(self) -> str:
        """The one-line diagram."""
        from compat.report.plan_drawing import render_plan_svg

        return render_plan_svg(self.plan)

    def to_dxf(self) -> str:
        """The one-line diagram as DXF. Raises BadInput without ezdxf."""
        from compat.report.plan_drawing import render_plan_dxf

        return render_plan_dxf(self.plan)

    def to_pdf(self) -> bytes:
        """All papers for issue. Raises BadInput without typst."""
        from compat.report.plan_book import render_plan_pdf

        return render_plan_pdf(self.plan)


@dataclass(frozen=True)
class PlanComparison(OfTable):
    """Two plans with the names under which they are told apart."""

    names: tuple[str, str]
    plans: tuple[Plan, Plan]

    @cached_property
    def table(self) -> PlanTable:
        from compat.report.plan_comparison import comparison_table

        return comparison_table(self.names, self.plans)

    @property
    def is_complete(self) -> bool:
        """Whether the second plan leaves nothing out."""
        return PlanResult(self.plans[1]).is_complete

    def to_json(self) -> str:
        """Both plans as a JSON list, each by the schema of a plan."""
        return f"[{PlanResult(self.plans[0]).to_json()},{PlanResult(self.plans[1]).to_json()}]\n"


def is_plan(path: str | Path) -> bool:
    """Whether a JSON file holds a plan and not a schedule. Raises BadInput."""
    from compat.dataset.toml_files import read_document

    return "plan" in read_document(Path(path)).data


def read_plan(path: str | Path) -> Plan:
    """A plan that was written as JSON, such as one of an earlier date. Raises BadInput."""
    from compat.dataset.toml_files import read_document, validated
    from compat.model.plan import Plan

    document = read_document(Path(path))
    return validated(Plan, document.data, document)


@dataclass(frozen=True)
class AddressResult(OfTable):
    """A table that goes to site; ``plan`` is the whole of it."""

    plan: DmxPatch | DaliAddresses

    @cached_property
    def table(self) -> PlanTable:
        from compat.model.plan import DmxPatch
        from compat.report.plan_table import dali_table, dmx_table

        return dmx_table(self.plan) if isinstance(self.plan, DmxPatch) else dali_table(self.plan)

    @property
    def is_complete(self) -> bool:
        """Whether everything has a place, and something has one."""
        return bool(self.plan.places) and not self.plan.not_planned

    def to_json(self) -> str:
        """The plan as JSON, by its published schema."""
        return self.plan.model_dump_json(indent=2) + "\n"


@dataclass(frozen=True)
class RuleExplanation:
    """A rule with its cases and the dataset it is of."""

    rule: ParsedRule
    cases: Sequence[Case]
    dataset: Dataset

    def to_json(self) -> str:
        """The rule, its formula, sources and cases as JSON."""
        from compat.report.rule import render_rule_json

        return render_rule_json(self.rule, self.cases, self.dataset)

    def to_text(self, width: int = 100, colour: bool = False) -> str:
        """The rule in sentences."""
        from compat.report.rule import render_rule_text

        return render_rule_text(self.rule, self.cases, self.dataset, width, colour)


# So many names are told where none is like the one that was asked for.
MOST_NAMES = 8


def _named(what: str, wanted: str, known: Mapping[str, Told], report: Report) -> Told:
    """The report of one name. Raises BadInput with the nearest names."""
    from compat.model.faults import BadInput, Fault, did_you_mean
    from compat.model.values import Origin

    if wanted not in known:
        fault = f"there is no {what} '{wanted}' in the schedule"
        some = ", ".join(list(known)[:MOST_NAMES]) + (", ..." if len(known) > MOST_NAMES else "")
        do = did_you_mean(wanted, known) or (f"There are: {some}" if known else f"It has no column {what}")
        raise BadInput([Fault(fault, Origin(report.schedule), do=do)])
    return known[wanted]
