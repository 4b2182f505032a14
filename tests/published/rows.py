"""Published values written as rows: a TOML file for each source in the folder ``values``.

``source``, ``locator`` and ``confidence`` of a file hold for its values where they state none. A value
has ``rows``, a line for each trial: a table of its fields, or a list. The first cell of a list names a
form ``[form.NAME]`` of the file, the others fill its ``columns``; what all trials of the form share stands
in the form. A trial too long for a line stands under ``[[value.trial]]``. The fields are those of
``Trial``, ``RuleTrial`` (``given``), ``LineTrial`` (``line``) and ``SentenceTrial`` (``says``).

Figures are texts: ``150 w``, ``10 to 20 w``, ``? ma`` (not known), ``~67.9 a`` (about, by 1e-6),
``~67.9+-0.05 a``, ``~67.9+-1% a``, ``[1.3, 1.35] to 5 a`` (an end anywhere within). An empty cell is not
looked at. ``does_not_apply`` is a verdict too. A cell ``{ formula = NAME, of = [...] }`` has what the
function of that name in ``formulas`` gives.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from tests.published import formulas
from tests.published.published import (
    AnyTrial,
    Drivers,
    Figure,
    LineTrial,
    PublishedValue,
    RuleTrial,
    SentenceTrial,
    Surroundings,
    Trial,
    Within,
    drivers,
)

FOLDER = Path(__file__).parent / "values"
END = re.compile(r"(?P<about>~)?(?P<number>[^~\[\]+% ]+?)(\+-(?P<spread>[^%]+)(?P<percent>%)?)?")
FIGURES = ("demand", "limit", "margin_percent")


def values_of(path: Path) -> tuple[PublishedValue, ...]:
    """The published values of one file."""
    file = tomllib.loads(path.read_text(encoding="utf-8"))
    shared = {key: file[key] for key in ("source", "locator", "confidence") if key in file}
    found = []
    for value in file["value"]:
        rows = [_filled(row, file.get("form", {})) for row in value.pop("rows", [])]
        trials = tuple(_trial(given) for given in [*rows, *value.pop("trial", [])])
        found.append(PublishedValue(**{**shared, **value}, trials=trials))
    return tuple(found)


def _filled(row: Sequence[Any] | dict[str, Any], forms: Mapping[str, Any]) -> dict[str, Any]:
    """What a form shares, with the cells of a row put at the places that its columns name."""
    if isinstance(row, dict):
        return row
    form, cells = forms[row[0]], row[1:]
    given = deepcopy({key: value for key, value in form.items() if key != "columns"})
    for column, cell in zip(form["columns"], cells, strict=True):
        first, *steps = [column] if "." not in column else column.split(".", 1)
        places = [first, *(steps if first == "given" else steps[0].split(".") if steps else [])]
        inner: Any = given
        for place in places[:-1]:
            inner = inner[int(place)] if isinstance(inner, list) else inner.setdefault(place, {})
        inner[places[-1]] = cell
    return given


def _trial(given: dict[str, Any]) -> AnyTrial:
    kinds = {"given": RuleTrial, "line": LineTrial, "says": SentenceTrial}
    kind: type[Any] = next((of for field, of in kinds.items() if field in given), Trial)
    made = {key: _computed(value) for key, value in given.items() if key not in FIGURES}
    if made.get("verdict") == "does_not_apply":
        made["verdict"] = None
    if kind in (Trial, SentenceTrial) or "drivers" in made:
        rows = made.get("drivers", {})
        made["drivers"] = tuple(_drivers(dict(row)) for row in (rows if isinstance(rows, list) else [rows]))
    if "around" in made:
        made["around"] = Surroundings(**made["around"])
    for field in FIGURES:
        if given.get(field):
            made[field] = _end(given[field]) if field == "margin_percent" else figure_of(given[field])
    return kind(**made)  # type: ignore[no-any-return]


def _computed(cell: Any) -> Any:
    """A cell with the figures of the formulas that it names."""
    if isinstance(cell, list):
        return [_computed(one) for one in cell]
    if not isinstance(cell, dict):
        return cell
    if "formula" in cell:
        return getattr(formulas, cell["formula"])(*cell["of"])
    return {key: _computed(value) for key, value in cell.items()}


def _drivers(row: dict[str, Any]) -> Drivers:
    return drivers(row.pop("quantity", 1), row.pop("luminaire_type", "L1"), **row)


def figure_of(text: str) -> Figure:
    """A figure as a row writes it."""
    amount, unit = text.rsplit(" ", 1)
    low, _, high = amount.partition(" to ")
    return Figure(_end(low), _end(high or low), unit)


def _end(text: str) -> Any:
    if text == "?":
        return None
    if text.startswith("["):
        return Within(*(float(part) for part in text.strip("[]").split(", ")))
    parts = END.fullmatch(text)
    assert parts, f"no figure: {text!r}"
    number = float(parts["number"])
    if not parts["about"]:
        return number
    if parts["spread"] is None:
        return pytest.approx(number)
    spread = float(parts["spread"])
    return (
        pytest.approx(number, rel=spread / 100.0) if parts["percent"] else pytest.approx(number, abs=spread)
    )
