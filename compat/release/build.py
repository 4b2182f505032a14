"""A release folder made of a dataset: database, tables, rules, pages, notes, sums, and its source files.

The same dataset, built by the same versions of the program and of DuckDB, gives the same bytes: no
dates, no paths, no order that is left to chance.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING

from compat.dataset.find import NAME
from compat.dataset.read import PARTS, Dataset, load_dataset
from compat.model.faults import BadInput, Fault
from compat.model.values import Origin
from compat.release.database import write_database, write_parquet
from compat.release.entries import equipment_tables
from compat.release.notes import notes_text
from compat.release.package import DATABASE, PACKAGE, RULES, package_text
from compat.release.page_formats import markdown_files, pages_html
from compat.release.pages import check_documentation, pages_of
from compat.release.rule_tables import reference_tables, rule_tables, rules_text
from compat.release.table import Table, csv_text
from compat.release.verdict_tables import MACRO, MACRO_MEANING, macro_sql, verdict_tables
from compat.rulebook.rules import ParsedRule, read_rules

if TYPE_CHECKING:
    from compat.model.changes import Changes

# Of the source tree only what decides verdicts and how it is checked; the demo is invented.
SUFFIXES = (".toml", ".csv", ".json")
LEFT_OUT = ("datasets/demo/",)
SUMS = "SHA256SUMS"
LICENCE = "LICENSE-DATA"
PROJECT = "lighting-control-compat"


def release_tables(dataset: Dataset, rules: list[ParsedRule]) -> list[Table]:
    """Every table of a release, in its order. Raises BadInput."""
    return [
        *equipment_tables(dataset),
        *rule_tables(dataset, rules),
        *verdict_tables(dataset, rules),
        *reference_tables(dataset),
    ]


def build_release(root: Path, place: Path, changes: Changes | None = None, overwrite: bool = False) -> Path:
    """Build the release of the dataset in ``root`` as a folder in ``place`` and return it.

    It is built beside its place and put there whole. Raises BadInput when a rule is not fully
    documented, when the dataset cannot be read, or when the folder is there; ``overwrite`` replaces
    it, provided that it is an earlier release.
    """
    dataset = load_dataset(root)
    rules = read_rules(dataset.rules_folder, dataset.vocabulary, withdrawn=True)
    check_documentation(dataset, rules)
    target = place / f"{NAME}-{dataset.version}"
    _refuse_taken(target, overwrite)
    try:
        place.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{NAME}-", dir=place) as temporary:
            made = Path(temporary) / "release"
            made.mkdir()
            _fill(made, dataset, rules, changes)
            if target.exists():
                target.rename(Path(temporary) / "replaced")
            made.rename(target)
    except OSError as error:
        what = f"the release cannot be written: {error.strerror or error}"
        raise BadInput([Fault(what, Origin(str(place)), do="Choose another place or free it")]) from error
    return target


def _refuse_taken(target: Path, overwrite: bool) -> None:
    if not os.path.lexists(target):
        return
    where = Origin(target.name)
    if not overwrite:
        raise BadInput([Fault("this release is already there", where, do="Use --output or --overwrite")])
    if target.is_symlink() or not (target / SUMS).is_file() or not (target / PACKAGE).is_file():
        what = "what is there is no release, so it is not replaced"
        raise BadInput([Fault(what, where, do="Move it away, or choose another --output")])


def _fill(folder: Path, dataset: Dataset, rules: list[ParsedRule], changes: Changes | None) -> None:
    """Write every file. The description comes after what it describes, the sums come last."""
    for part in PARTS:
        _copy(dataset.root, part, folder)
    tables = release_tables(dataset, rules)
    stamp = f"Dataset {dataset.version} (rule/1), SHA-256 {dataset.sha256}"
    pages = pages_of(dataset, rules)
    texts = {RULES: rules_text(dataset, rules), "pages/index.html": pages_html(pages, stamp)}
    texts |= {f"pages/{name}": text for name, text in markdown_files(pages, stamp).items()}
    texts |= {f"csv/{table.name}.csv": csv_text(table) for table in tables}
    texts[LICENCE] = licence_text()
    texts["RELEASE-NOTES.md"] = notes_text(dataset, tables, changes)
    for name, text in texts.items():
        _write(folder / name, text)
    (folder / "parquet").mkdir()
    write_parquet(folder / "parquet", tables)
    write_database(folder / DATABASE, tables, dataset.sha256, {MACRO: (macro_sql(), MACRO_MEANING)})
    _write(folder / PACKAGE, package_text(folder, tables, dataset))
    _write(folder / SUMS, sums_text(folder))


def _copy(root: Path, part: str, folder: Path) -> None:
    for path in sorted((root / part).rglob("*")):
        name = path.relative_to(root).as_posix()
        if path.is_symlink():
            what = "this is a link, and a release holds its files itself"
            raise BadInput([Fault(what, Origin(name), do="Put the file in its place")])
        if path.is_file() and path.suffix in SUFFIXES and not name.startswith(LEFT_OUT):
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, folder / name)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode())


def sums_text(folder: Path) -> str:
    """The sums of the files below a folder, by name, as ``sha256sum --check`` reads them."""
    files = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    files.pop(SUMS, None)
    return "".join(
        f"{hashlib.sha256(files[name].read_bytes()).hexdigest()}  {name}\n" for name in sorted(files)
    )


def licence_text() -> str:
    """The text of CC0-1.0: of the checkout, else of the installed program. Raises BadInput."""
    beside = Path(__file__).resolve().parents[2] / LICENCE
    if beside.is_file():
        return beside.read_text(encoding="utf-8")
    try:
        files = metadata.files(PROJECT) or []
    except metadata.PackageNotFoundError:
        files = []
    for file in files:
        if file.name == LICENCE:
            return file.read_text(encoding="utf-8")
    what = "the licence of the data did not come with the program"
    raise BadInput([Fault(what, Origin(LICENCE), do="Install compat anew")])
