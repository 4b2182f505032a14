"""Entries and references were looked at in the three years before the date of the dataset."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from compat.checks.material import Material, in_entry
from compat.dataset.toml_files import line_of, read_text, read_toml
from compat.model.faults import Fault
from compat.model.values import Origin

NAME = "review-dates"
SCOPE = "table"
SENTENCE = "every entry and reference was checked in the three years before the date of the dataset"
YEARS = 3
PACKAGE = "datapackage.json"


def check(material: Material) -> Iterator[Fault]:
    """Faults for dates that are missing, unreadable, later than the dataset's or too old.

    The measure is the date of the dataset, never the clock, so that equal files give equal answers.
    """
    today = material.dated()
    if today is None:
        what = "the date of the dataset is missing"
        yield Fault(what, Origin(PACKAGE), 'Wanted: "created", such as "2026-11-25T00:00:00Z"', "Add it")
        return
    for entry in material.entries:
        checked = entry.raw.get("checked_on")
        if checked is None and material.overlay:
            continue
        for what, do in _wrong(checked, today):
            yield Fault(f"{entry.id}: {what}", in_entry(entry, "checked_on" if checked else "id"), do=do)
    if material.overlay:
        return
    for path in sorted((material.dataset.root / "datasets" / "sources").glob("*.toml")):
        for place, raw in enumerate(read_toml(path)["source"]):
            for what, do in _wrong(raw.get("checked_on"), today):
                line = line_of(
                    read_text(path), "source", place, "checked_on" if "checked_on" in raw else "id"
                )
                yield Fault(f"{raw['id']}: {what}", Origin(path.name, line=line), do=do)


def _wrong(checked: object, today: date) -> Iterator[tuple[str, str]]:
    if checked is None:
        yield "checked_on is missing", "Add the day on which it was last checked"
        return
    try:
        day = date.fromisoformat(str(checked))
    except ValueError:
        yield f"checked_on is '{str(checked)[:40]}', which is no day", "Write it as 2026-11-25"
        return
    if day > today:
        what = f"checked on {day}, after the date of the dataset, {today}"
        yield what, f"Correct it, or the date in {PACKAGE}"
    elif (day.year + YEARS, day.month, day.day) < (today.year, today.month, today.day):
        yield (
            f"last checked on {day}, more than {YEARS} years before the date of the dataset, {today}",
            "Check it again and write the day",
        )
