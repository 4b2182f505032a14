"""The driver that a word on the command line means: by id, slug, or part of a name."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from compat.dataset.read import Dataset, Equipment
    from compat.model.faults import BadInput

SHOWN_MOST = 12
NEAREST_MOST = 5


def choose_driver(wanted: str, dataset: Dataset, own_file: Path | None) -> Equipment:
    """The one driver with this id or slug, or with this in its name or slug, compared without case.

    Whole words come first, so that ``6 W`` is not found in 96 W; then any part; then each of the
    words somewhere in the name. Raises BadInput with the drivers that fit when there are several,
    else with the nearest.
    """
    drivers = dataset.tables["drivers"]
    text = " ".join(wanted.split()).casefold()
    if not text:
        raise _unclear("no driver is named", "Give an id or a part of a name", [], dataset)
    by_id = [driver for driver in drivers.values() if driver.id.casefold() == text]
    if by_id:
        return by_id[0]
    spelled = _spellings(dataset, own_file)
    whole_words = re.compile(rf"(?<!\w){re.escape(text)}(?!\w)")
    for fits in (
        [key for key, spellings in spelled.items() if text in spellings],
        [key for key, spellings in spelled.items() if any(map(whole_words.search, spellings))],
        [key for key, spellings in spelled.items() if any(text in spelling for spelling in spellings)],
        [key for key, spellings in spelled.items() if all(word in spellings[0] for word in text.split())],
    ):
        if len(fits) == 1:
            return drivers[fits[0]]
        if fits:
            raise _unclear(f"{_shown(wanted)} fits {len(fits)} drivers", "Name one by its id", fits, dataset)
    near = _nearest(text, spelled)
    do = "The nearest are named below" if near else "Give its values instead, such as --watts and --method"
    raise _unclear(f"there is no driver {_shown(wanted)}", do, near, dataset)


def _spellings(dataset: Dataset, own_file: Path | None) -> dict[str, tuple[str, ...]]:
    """Id -> name and slug, without case."""
    from compat.dataset.toml_files import read_toml

    # A spreadsheet of drivers has no slugs.
    own = [own_file] if own_file is not None and own_file.suffix.lower() in (".toml", ".json") else []
    files = [*sorted((dataset.root / "datasets" / "drivers").glob("*.toml")), *own]
    slugs = {entry["id"]: entry.get("slug", "") for path in files for entry in read_toml(path)["driver"]}
    return {
        driver.id: (driver.name.casefold(), *filter(None, [slugs.get(driver.id, "").casefold()]))
        for driver in dataset.tables["drivers"].values()
    }


def _nearest(text: str, spelled: dict[str, tuple[str, ...]]) -> list[str]:
    """The ids of the drivers most like a text: by id, slug or name, else by a word of the name."""
    from compat.model.faults import nearest

    whole = {spelling: key for key, spellings in spelled.items() for spelling in (key, *spellings)}
    found = [whole[near] for near in nearest(text, whole, NEAREST_MOST)]
    words = {word.strip(",") for spellings in spelled.values() for word in spellings[0].split()}
    for word in text.split():
        alike = nearest(word, words, 1)
        found += [key for key, spellings in spelled.items() if alike and alike[0] in spellings[0].split()]
    return list(dict.fromkeys(found))[:NEAREST_MOST]


def _unclear(what: str, do: str, ids: list[str], dataset: Dataset) -> BadInput:
    from compat.model.faults import BadInput, Fault
    from compat.model.values import Origin

    shown = ids[:SHOWN_MOST]
    more = f"; the first {SHOWN_MOST} are named below" if len(ids) > len(shown) else ""
    drivers = dataset.tables["drivers"]
    named = [Fault(drivers[key].name, Origin("drivers", key=key)) for key in shown]
    return BadInput([Fault(f"{what}{more}", Origin("drivers"), do=do), *named])


def _shown(text: str) -> str:
    from compat.intake.cells import shown

    return shown(text)
