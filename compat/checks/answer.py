"""The answer of the checks as data: what was checked, and every fault with its file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

from compat import __version__
from compat.checks.context import DatasetCheck
from compat.checks.run import CheckFault
from compat.dataset.find import version_in
from compat.dataset.read import data_root
from compat.model.checks import READABLE, CheckNote, ChecksReport, FaultNote

READABLE_SENTENCE = "every file can be read and every value fits"
# Where a file that a fault names by its last parts may lie in a dataset.
PLACES = ("rules", "datasets", "datasets/*", "rules/*", "schemas")


def answer_of(
    checks: Sequence[DatasetCheck],
    breaches: Sequence[CheckFault],
    root: Path | None,
    own_files: Sequence[Path] = (),
) -> ChecksReport:
    """The report on a run. ``own_files`` are the user's own tables; their path is told as given."""
    found = Counter(breach.check for breach in breaches)
    own = {path.name: path.as_posix() for path in own_files}
    known: dict[str, str] = {}
    checked = [CheckNote(name=READABLE, scope="dataset", sentence=READABLE_SENTENCE, faults=found[READABLE])]
    checked += [
        CheckNote(name=check.name, scope=check.scope, sentence=check.sentence, faults=found[check.name])
        for check in checks
    ]
    return ChecksReport(
        program_version=__version__,
        dataset_version=version_in(root or data_root()),
        checked=checked,
        faults=[_note(breach, root, own, known) for breach in breaches],
    )


def _note(breach: CheckFault, root: Path | None, own: Mapping[str, str], known: dict[str, str]) -> FaultNote:
    fault = breach.fault
    file = fault.where.file
    if file not in known:
        known[file] = own.get(file) or path_in(root or data_root(), file, root)
    return FaultNote(
        check=breach.check,
        path=known[file],
        line=fault.where.line,
        key=fault.where.key,
        what=fault.what,
        allowed=fault.allowed,
        do=fault.do,
        sentence=fault.sentence(),
    )


def path_in(root: Path, file: str, given: Path | None) -> str:
    """The path of a file that a fault names, from the folder in which the command was given.

    ``given`` is the folder of the dataset as the user wrote it; a whole path is not repeated, so that
    the answer does not depend on the machine. A name that stands for no file, or for several, is
    given back as it is.
    """
    if Path(file).is_absolute() or ".." in Path(file).parts:
        return Path(file).name
    folders = [root, *(folder for place in PLACES for folder in sorted(root.glob(place)))]
    found = [folder for folder in folders if (folder / file).is_file()]
    if len(found) != 1:
        return file
    inside = (found[0] / file).relative_to(root)
    before = given if given is not None and not given.is_absolute() else Path()
    return (before / inside).as_posix()
