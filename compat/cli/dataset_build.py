"""``compat dataset build``: a release folder of the rules dataset."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from compat.cli.common import EXIT_BAD_INPUT, EXIT_FINE, chosen_folder, say

if TYPE_CHECKING:
    from compat.model.changes import Changes


def build(
    path: Annotated[
        Path | None, typer.Argument(help="Folder with rules/, schemas/ and datasets/, or a version.")
    ] = None,
    output: Annotated[
        Path, typer.Option("--output", help="Folder that the release folder is put into.")
    ] = Path(),
    since: Annotated[
        str | None,
        typer.Option("--since", help="Older folder, release or git revision that the notes compare with."),
    ] = None,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Replace the release when it is there.")
    ] = False,
    archive: Annotated[
        bool,
        typer.Option("--archive", help="Archive it in datasets/releases, for dataset diff to find it."),
    ] = False,
) -> None:
    """Build a release: database, tables, rules, pages, notes, sums and the files they are made of.

    A dataset with faults, a rule without full documentation, or with
    --since a version that does not tell what changed, is refused: exit
    code 2. The same dataset gives the same bytes.
    """
    from compat.checks.run import check_dataset
    from compat.dataset.read import data_root
    from compat.release.build import build_release

    root = chosen_folder(path) or data_root()
    breaches = check_dataset(root)
    for breach in breaches:
        sys.stderr.write(f"{breach.check}: {breach.fault.sentence()}\n")
    if breaches:
        sys.stderr.write(f"{len(breaches)} {'fault' if len(breaches) == 1 else 'faults'}, nothing is built\n")
        raise typer.Exit(EXIT_BAD_INPUT)
    made = build_release(root, output, _changes(since, root), overwrite)
    say(f"built: {made}\n")
    if archive:
        from compat.release.archive import archive_release

        say(f"archived: {archive_release(made, root)}\n")
    raise typer.Exit(EXIT_FINE)


def _changes(since: str | None, root: Path) -> Changes | None:
    """The changes since an older edition. Raises BadInput when the version does not tell them."""
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin
    from compat.release.diff import dataset_changes

    if since is None:
        return None
    changes = dataset_changes(since, str(root), root)
    step = changes.version_step
    if not step.suffices:
        old, new = changes.old.version, changes.new.version
        what = f"the version is {new}; the changes since {old} ask for {step.needed}"
        do = f"Write version {step.least_version} or a higher one"
        raise BadInput([Fault(what, Origin("datapackage.json", key="version"), do=do)])
    return changes
