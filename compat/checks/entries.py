"""Checks of table entries: a least value is not above its greatest, and all were reviewed in time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from compat.checks.context import CheckContext, check
from compat.dataset.read import table_files
from compat.dataset.toml_files import read_document
from compat.model.faults import Fault
from compat.model.figures import number_text
from compat.model.values import Interval, Origin

# Words in a pair of names that say which of the two is the lesser.
ENDS = (("min", "max"), ("lowest", "highest"), ("shortest", "longest"), ("hold", "trip"))
YEARS = 3
PACKAGE = "datapackage.json"


@check("intervals", "table", "a least value is not above the greatest value of the same thing")
def intervals(context: CheckContext) -> Iterator[Fault]:
    """Faults for entries whose least is surely above their greatest."""
    for entry in context.entries:
        for name, trait in entry.traits.items():
            for least, greatest in ENDS:
                words = name.split("_")
                if least not in words:
                    continue
                other_name = "_".join(greatest if word == least else word for word in words)
                other = entry.traits.get(other_name)
                low, high = trait.content, other.content if other else None
                if isinstance(low, Interval) and isinstance(high, Interval) and low.low > high.high:
                    what = (
                        f"{entry.id}: {name} is {number_text(low.low)} or more, above {other_name}, "
                        f"which is {number_text(high.high)} or less"
                    )
                    yield Fault(what, entry.where("traits", name), do="Correct one of the two")


@check(
    "review-dates",
    "table",
    "every entry and reference was checked in the three years before the date of the dataset",
)
def review_dates(context: CheckContext) -> Iterator[Fault]:
    """Faults for dates that are missing, unreadable, later than the dataset's or too old.

    The measure is the date of the dataset, never the clock, so that equal files give equal answers.
    """
    today = context.dated()
    if today is None:
        what = "the date of the dataset is missing"
        yield Fault(what, Origin(PACKAGE), 'Wanted: "created", such as "2026-11-25T00:00:00Z"', "Add it")
        return
    for entry in context.entries:
        checked = entry.raw.get("checked_on")
        if checked is None and context.overlay:
            continue
        for what, do in _wrong(checked, today):
            yield Fault(f"{entry.id}: {what}", entry.where("checked_on" if checked else "id"), do=do)
    if context.overlay:
        return
    for path in table_files(context.dataset.root, "sources"):
        document = read_document(path)
        for place, raw in enumerate(document.data["source"]):
            for what, do in _wrong(raw.get("checked_on"), today):
                where = document.where("source", place, "checked_on" if "checked_on" in raw else "id")
                yield Fault(f"{raw['id']}: {what}", where, do=do)


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
        what = f"last checked on {day}, more than {YEARS} years before the date of the dataset, {today}"
        yield what, "Check it again and write the day"
