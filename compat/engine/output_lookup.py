"""One output looked up: how many of each driver it takes, by the joins that a look-up of a driver uses."""

from __future__ import annotations

from collections.abc import Iterator

from compat import __version__
from compat.dataset.read import Equipment
from compat.engine.lookup import Looker
from compat.engine.subject import OutputSubject
from compat.model.cautions import STANDING_CAUTION
from compat.model.lookup import LoadCounts, OutputLookup
from compat.model.report import DatasetStamp, Input
from compat.model.values import UNKNOWN, TokenSet
from compat.model.verdicts import RANK

COUNTS_UP_TO = 60


def look_up_output(looker: Looker, output: Equipment, up_to: int = COUNTS_UP_TO) -> OutputLookup:
    """The answer for an output: the drivers that accept its method, each with the counts it takes."""
    subject = OutputSubject(looker.dataset, output)
    loads = sorted(_loads(looker, output, up_to), key=lambda load: (load.load_type, load.driver))
    return OutputLookup(
        program_version=__version__,
        dataset=DatasetStamp(version=looker.dataset.version, sha256=looker.dataset.sha256),
        output=output.id,
        output_name=output.name,
        method=subject.text("output.method"),
        traits=list(_stated(subject)),
        counts_up_to=up_to,
        loads=loads,
        assumptions=list(looker.setting.assumptions),
        caution=STANDING_CAUTION,
    )


def _stated(subject: OutputSubject) -> Iterator[Input]:
    for trait in subject.dataset.vocabulary.of_subject("output"):
        known = subject.trait(trait.full_name)
        if known.content is not None or known.recalled is not None:
            yield subject.written(trait, known, trait.label)


def _loads(looker: Looker, output: Equipment, up_to: int) -> Iterator[LoadCounts]:
    method = output.traits.get("method", UNKNOWN).content
    choices = looker.dataset.vocabulary.choices["load_type"]
    for driver in looker.dataset.tables["drivers"].values():
        methods = driver.traits.get("methods", UNKNOWN).content
        if isinstance(methods, TokenSet) and method not in methods.possible:
            continue
        counts = looker.counts_on(driver, output, up_to)
        told = counts.told
        # An output that takes none of it, whatever the count, is no load of its own.
        if RANK[told.best] > RANK["unproven"] and counts.least is None:
            continue
        bound = told.most_bound or told.least_bound
        kind = driver.traits.get("load_type", UNKNOWN).content
        yield LoadCounts(
            driver=driver.id,
            name=driver.name,
            load_type=choices.get(str(kind), ""),
            best=counts.best,
            expected=counts.expected.best if counts.expected else None,
            least=told.least,
            most=told.most,
            open_ended=told.open_ended,
            because=bound.because if bound else told.ranges[0].because,
        )
