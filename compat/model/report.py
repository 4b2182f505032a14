"""What a check gives back. The published schema ``report.schema.json`` is made from these models."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from compat.model.values import Basis
from compat.model.verdicts import Verdict


class Model(BaseModel):
    """A record of the report: no unknown fields, every field described by its name and unit."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


class Place(Model):
    """Where a value was written."""

    file: str
    sheet: str | None = None
    cell: str | None = None
    line: int | None = None
    key: str | None = None


class Amount(Model):
    """An interval in a unit; both ends None when it is not known."""

    low: float | None
    high: float | None
    unit: str = Field(description="Unit name of the vocabulary, such as w, ma or percent.")
    text: str = Field(description="The interval as people read it, such as '38 to 42 W'.")


class Input(Model):
    """One value that a finding rests on."""

    name: str
    label: str
    text: str = Field(description="The value as people read it, or 'not known'.")
    basis: Basis | None = None
    source: str | None = None
    place: Place | None = None


class SourceNote(Model):
    """A source of a rule or a value: what it is and which part is used."""

    source: str
    title: str
    edition: str = ""
    locator: str = ""
    basis: Basis
    supports: list[str] = []


class Question(Model):
    """What to ask, because the answer could change the verdict."""

    name: str
    label: str
    ask: str
    about: list[str] = Field(description="The luminaire types or the output it is asked about.")
    where_to_find: str
    rules: list[str]
    could_become: Verdict = Field(description="The worst verdict the answer could lead to.")


class Finding(Model):
    """One rule on one circuit and output."""

    rule: str
    slug: str
    title: str
    verdict: Verdict
    because: str
    demand: Amount | None = None
    relation: Literal["at_most", "at_least"] | None = None
    limit: Amount | None = None
    margin_percent: float | None = Field(
        default=None, description="Distance to the limit at the worse end, in % of the limit; < 0 is over."
    )
    inputs: list[Input] = []
    sources: list[SourceNote] = []
    remedies: list[str] = []
    caution: str = ""


class Luminaires(Model):
    """One row of the schedule as it stands in a circuit."""

    luminaire_type: str
    quantity: int
    driver: str | None
    driver_name: str
    place: Place | None = None


class LoadBar(Model):
    """The load of a circuit against the window of its output, in watts."""

    load: Amount
    window_low_w: float | None
    window_high_w: float | None


class OutputReport(Model):
    """One output for a circuit: the verdict and the rule that decided."""

    output: str
    name: str
    method: str
    verdict: Verdict
    rule: str | None = None
    slug: str | None = None
    because: str = ""


class CircuitReport(Model):
    """One circuit: its verdict on its output, why, what to do and what to ask."""

    circuit: str
    room: str
    luminaires: list[Luminaires]
    wanted_control: str
    output: OutputReport | None
    chosen_by: Literal["schedule", "ranking", "none"]
    verdict: Verdict
    bar: LoadBar | None
    findings: list[Finding]
    remedies: list[str]
    questions: list[Question]
    cautions: list[str]
    other_outputs: list[OutputReport]


class LineLimit(Model):
    """How much of one limit of a line is used."""

    label: str
    rule: str
    relation: Literal["at_most", "at_least"]
    used: Amount
    limit: Amount
    share_percent: float | None = Field(
        description="Used share of the limit at the worse ends, in %; above 100 it is broken. For a least "
        "value the share is the limit of what there is. None when it is not known."
    )


class LineReport(Model):
    """One control line: what its circuits use of each limit together, and what the rules say of it."""

    line: str
    kind: str = Field(description="Analogue pair, DALI line, DMX line, or 'not known'.")
    circuits: list[str]
    proposed: bool = Field(description="Whether the program put the circuits on the line.")
    verdict: Verdict
    findings: list[Finding]
    limits: list[LineLimit] = Field(description="The limit that is used most comes first.")
    remedies: list[str]
    questions: list[Question]
    cautions: list[str]


class DatasetStamp(Model):
    """Which dataset gave the verdicts."""

    version: str
    sha256: str
    rule_schema: str = "rule/1"


class Report(Model):
    """The whole answer to ``compat check``."""

    report: Literal["report/1"] = "report/1"
    program_version: str
    dataset: DatasetStamp
    schedule: str
    schedule_sha256: str
    supply: list[Input]
    counts: dict[Verdict, int]
    circuits: list[CircuitReport]
    lines: list[LineReport] = []
    notes: list[str]
    caution: str
