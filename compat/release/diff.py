"""Two editions of the dataset compared: what changed, what moved, and the version step it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from compat import __version__
from compat.model.changes import KINDS, PARTS, STEPS, Change, Changes, EditionStamp
from compat.release.edition import Edition, read_edition
from compat.release.file_changes import file_changes
from compat.release.opening import Opened, opened
from compat.release.rule_changes import rule_changes
from compat.release.schema_changes import schema_changes
from compat.release.table_changes import default_changes, source_changes, table_changes
from compat.release.verdict_moves import Work, reference_moves, schedule_moves
from compat.release.version_step import version_step
from compat.release.vocabulary_changes import meaning_changes, vocabulary_changes


def dataset_changes(
    old: str, new: str, checkout: Path = Path(), work: Sequence[Work] | None = None
) -> Changes:
    """The changes from ``old`` to ``new``: folders, releases or git revisions of ``checkout``.

    ``work`` are the schedules on which verdicts are compared; None stands for the reference
    schedules. The same input gives the same answer. Raises BadInput.
    """
    with opened(old, checkout) as before, opened(new, checkout) as after:
        return changes_between(before, after, work)


def changes_between(before: Opened, after: Opened, work: Sequence[Work] | None = None) -> Changes:
    """The changes between two editions that lie in folders; see ``dataset_changes``."""
    old, new = read_edition(before.root, before.given), read_edition(after.root, after.given)
    found = _entries(old, new) or list(file_changes(before.root, after.root))
    entries = sorted(found, key=_order)
    given = None if work is None else [schedule_moves(one, old, new) for one in work]
    schedules = reference_moves(old, new) if given is None else given
    counts = Counter(change.kind for change in entries)
    return Changes(
        program_version=__version__,
        old=_stamp(before, old),
        new=_stamp(after, new),
        version_step=version_step(old.dataset.version, new.dataset.version, entries, schedules),
        counts={kind: counts[kind] for kind in KINDS if counts[kind]},
        entries=entries,
        schedules=schedules,
    )


def _entries(old: Edition, new: Edition) -> list[Change]:
    schemas = (edition.dataset.root / "schemas" for edition in (old, new))
    return [
        *rule_changes(old, new),
        *table_changes(old, new),
        *source_changes(old, new),
        *default_changes(old, new),
        *vocabulary_changes(old.dataset.vocabulary, new.dataset.vocabulary),
        *meaning_changes(old.dataset.root, new.dataset.root),
        *schema_changes(*schemas),
    ]


def _order(change: Change) -> tuple[int, int, int, str]:
    """By part, then kind, then the greater step, then id."""
    return PARTS.index(change.part), KINDS.index(change.kind), -STEPS.index(change.step), change.id


def _stamp(found: Opened, edition: Edition) -> EditionStamp:
    return EditionStamp(
        given=found.given,
        found_as=found.found_as,
        commit=found.commit,
        version=edition.dataset.version,
        sha256=edition.dataset.sha256,
    )
