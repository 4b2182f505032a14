"""The sheets of a schedule's workbook that say what the house needs beside its circuits.

A sheet is one of these by its name and its first headings. One that is left empty says nothing; ``none`` in
its first cell says that there is none of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from compat.intake.cells import Grid
from compat.model.faults import BadInput, Fault, did_you_mean, shown
from compat.model.needs import (
    Button,
    Clock,
    Needs,
    PanelPlace,
    Scene,
    Sensor,
    Shade,
    WallControl,
)
from compat.model.schedule import ProjectAnswer
from compat.model.vocabulary import Vocabulary

NONE = "none"
YES_NO = {"yes": True, "no": False}
INSTALLATION = {"new build": "new_build", "rewire": "rewire", "finished": "finished"}
WEIGHT = {"low": "low", "middle": "middle", "high": "high"}
BY = {"time": "time", "sun": "sun"}


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, the field it fills, what may be written in it, and what it means.

    ``words`` are the words allowed, ``most`` the largest number; a column with neither holds a text.
    """

    heading: str
    field: str
    meaning: str
    words: Mapping[str, Any] | None = None
    most: float | None = None
    whole: bool = False
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class NeedsSheet:
    """A sheet by its name with its columns."""

    name: str
    columns: tuple[Column, ...]


QUESTIONS = (
    Column(
        "Installation", "installation", "New build, rewire, or finished where circuits stay", INSTALLATION
    ),
    Column("Phases", "phases", "Phases of the supply: 1, 2 (split) or 3", {"1": 1, "2": 2, "3": 3}),
    Column("Neutral at the switches", "neutral_at_switches", "Whether switch boxes have a neutral", YES_NO),
    Column(
        "Farthest room (m)", "farthest_room_m", "From where a hub would stand to the farthest room", most=1e4
    ),
    Column(
        "Number of wall controls", "wall_control_count", "Where they are not listed", most=1e5, whole=True
    ),
    Column("Number of scenes", "scene_count", "Where they are not listed", most=1e5, whole=True),
    Column("Conditions", "conditions", "What events depend on, parted by ; or none"),
    Column("Occupancy simulation", "occupancy_simulation", "Whether it is to look lived in", YES_NO),
    Column("Circuits added later", "added_circuits", "How many may be added", most=1e5, whole=True),
    Column("Wall controls added later", "added_controls", "How many may be added", most=1e5, whole=True),
    Column("Spare outputs (%)", "spare_share", "Share of outputs to be left free", most=99, scale=0.01),
    Column("Owner changes things", "owner_changes", "Whether the owner changes scenes and times", YES_NO),
    Column("Weight of cost", "cost_weight", "Low, middle or high", WEIGHT),
)
# What the installation is, for every command; the engine says what may be written.
INSTALLED = (
    Column("Country", "country", "Code of ISO 3166-1, such as gb, de or us: the usual supply of the country"),
    Column("Supply", "supply", "Its id or name on the sheet Lists of supplies; goes before the country"),
    Column("Breaker", "breaker", "Its id or name: curve and rated current of the lighting circuits"),
    Column("Residual-current device (mA)", "rcd", "Its rated residual current, such as 30"),
    Column(
        "Usual installation", "usual", "Whether what is usual of an installation may be taken as so", YES_NO
    ),
)
WHAT, VALUE = Column("What", "what", ""), Column("Value", "value", "")
MEANING = Column("What it means", "meaning", "")
PROJECT = NeedsSheet("Project", (WHAT, VALUE, MEANING))
SHEETS = (
    NeedsSheet("Needs", (WHAT, VALUE, MEANING)),
    NeedsSheet(
        "Panel places",
        (
            Column("Place", "name", "Where modules can stand"),
            Column("Rail units", "rail_units", "Free units of 18 mm", most=1e4),
            Column("Heat carried off (W)", "heat_most_w", "What the place carries off", most=1e5),
            Column("Rooms", "rooms", "The rooms it serves, parted by ;"),
        ),
    ),
    NeedsSheet(
        "Wall controls",
        (
            Column("Wall control", "name", "A row for each button"),
            Column("Room", "room", ""),
            Column("Position", "position", ""),
            Column("Neutral", "neutral", "Whether its box has one", YES_NO),
            Column("Engraving", "engraving", "What is written on the button"),
            Column("Press", "press", "What a press does"),
            Column("Double press", "double", "What a double press does"),
            Column("Hold", "hold", "What holding it down does"),
        ),
    ),
    NeedsSheet(
        "Scenes",
        (
            Column("Scene", "name", "A row for each circuit in it"),
            Column("Circuit", "circuit", ""),
            Column("Level (%)", "level", "", most=100),
            Column("Fade (s)", "fade_s", "Time to reach it", most=86_400),
        ),
    ),
    NeedsSheet(
        "Clock events",
        (
            Column("Event", "name", ""),
            Column("By", "by", "Time or sun", BY),
            Column("When", "when", "Such as 07:30, or sunset"),
            Column("Does", "does", ""),
        ),
    ),
    NeedsSheet(
        "Sensors",
        (Column("Room", "room", ""), Column("Kind", "kind", "Such as presence"), Column("Does", "does", "")),
    ),
    NeedsSheet(
        "Shades",
        (
            Column("Room", "room", ""),
            Column("Kind", "kind", "Shade, blind, gate ..."),
            Column("Number", "count", "", most=1e5, whole=True),
        ),
    ),
)
Row = dict[str, Any]


def sheet_of(grid: Grid) -> NeedsSheet | None:
    """Which of the sheets a grid is; None for any other."""
    name = (grid.sheet or "").casefold()
    sheet = next((sheet for sheet in (*SHEETS, PROJECT) if sheet.name.casefold() == name), None)
    if sheet is None or not grid.rows:
        return None
    first = [text.strip().casefold() for text in grid.rows[0]]
    return sheet if first[:2] == [column.heading.casefold() for column in sheet.columns[:2]] else None


def read_needs(path: Path, vocabulary: Vocabulary) -> Needs:
    """What the sheets of a workbook say; nothing for a file of another kind. Raises BadInput."""
    from compat.intake.headings import Headings
    from compat.intake.known_headings import KnownHeadings
    from compat.intake.source import read_source

    if path.suffix.lower() not in (".xlsx", ".xlsm", ".ods"):
        return Needs()
    grids = {
        sheet.name: (sheet, grid)
        for grid in read_source(path, KnownHeadings(Headings(vocabulary))).grids
        if (sheet := sheet_of(grid)) and sheet is not PROJECT
    }
    faults: list[Fault] = []
    found: Row = {}
    for name, (sheet, grid) in grids.items():
        if name == SHEETS[0].name:
            found |= _questions(grid, faults)
        else:
            rows = _rows(sheet, grid, faults)
            if rows is not None:
                field, made = LISTS[name]
                found[field] = made(rows)
    if faults:
        raise BadInput(faults)
    return Needs(**found)


def project_answers(grids: Iterable[Grid]) -> tuple[ProjectAnswer, ...]:
    """What the sheet Project says, an answer for each line that has one. Raises BadInput."""
    known = {column.heading.casefold(): column.field for column in INSTALLED}
    found: list[ProjectAnswer] = []
    for grid in grids:
        for number, row in enumerate(grid.rows[1:], 1):
            what, text = (row[place].strip() if place < len(row) else "" for place in (0, 1))
            if not what or not text:
                continue
            if what.casefold() not in known:
                do = did_you_mean(what, [column.heading for column in INSTALLED])
                where = grid.place(number, 0, "What")
                raise BadInput([Fault(f"{shown(what)} is nothing that this sheet asks", where, do=do)])
            where = grid.place(number, 1, "Value")
            found.append(ProjectAnswer(known[what.casefold()], text, where))
    order = [column.field for column in INSTALLED]
    return tuple(sorted(found, key=lambda answer: order.index(answer.what)))


def joined(own: Needs | None, sheets: Needs) -> Needs:
    """The needs of a project file with what the sheets say in place of it, where they say something."""
    if own is None:
        return sheets
    said = {name: getattr(sheets, name) for name in Needs.names() if getattr(sheets, name) not in (None, {})}
    return own.model_copy(said)


def _questions(grid: Grid, faults: list[Fault]) -> Row:
    known = {column.heading.casefold(): column for column in QUESTIONS}
    found: Row = {}
    for number, row in enumerate(grid.rows[1:], 1):
        what, text = (row[place].strip() if place < len(row) else "" for place in (0, 1))
        if not what or not text:
            continue
        column = known.get(what.casefold())
        if column is None:
            do = did_you_mean(what, [column.heading for column in QUESTIONS])
            faults.append(Fault(f"{shown(what)} is none of the needs", grid.place(number, 0, "What"), do=do))
            continue
        value = _value(column, text, grid, number, 1, faults)
        found[column.field] = _parts(value) if column.field == "conditions" else value
    return found


def _rows(sheet: NeedsSheet, grid: Grid, faults: list[Fault]) -> list[Row] | None:
    """The filled rows of a sheet; none where it says so, and None where it says nothing."""
    at = {text.strip().casefold(): place for place, text in enumerate(grid.rows[0]) if text.strip()}
    known = [
        (column, at[column.heading.casefold()]) for column in sheet.columns if column.heading.casefold() in at
    ]
    for heading in at.keys() - {column.heading.casefold() for column in sheet.columns}:
        do = did_you_mean(heading, [column.heading for column in sheet.columns])
        faults.append(
            Fault(f"{shown(heading)} is no heading here", grid.place(0, at[heading], heading), do=do)
        )
    filled = [(n, row) for n, row in enumerate(grid.rows[1:], 1) if any(text.strip() for text in row)]
    if not filled:
        return None
    if filled[0][1][0].strip().casefold() == NONE and len(filled) == 1:
        return []
    found = []
    for number, row in filled:
        texts = [(column, place, row[place].strip() if place < len(row) else "") for column, place in known]
        found.append(
            {c.field: _value(c, text, grid, number, place, faults) for c, place, text in texts if text}
        )
        if sheet.columns[0].field not in found[-1]:
            what = f"the {sheet.columns[0].heading.lower()} is missing"
            faults.append(Fault(what, grid.place(number, 0, sheet.columns[0].heading), do="Write it"))
    return found


def _value(column: Column, text: str, grid: Grid, row: int, place: int, faults: list[Fault]) -> Any:
    where = grid.place(row, place, column.heading)
    if column.words is not None:
        word = text.casefold().removesuffix(".0")
        if word not in column.words:
            faults.append(
                Fault(f"{shown(text)} is not allowed", where, f"Allowed: {', '.join(column.words)}")
            )
        return column.words.get(word)
    if column.most is None:
        return text
    try:
        number = float(text.replace(",", ".").removesuffix("%"))
    except ValueError:
        number = -1.0
    if not 0 <= number <= column.most or (column.whole and number != int(number)):
        sort = "a whole number" if column.whole else "a number"
        faults.append(
            Fault(f"{shown(text)} is not allowed", where, f"Allowed: {sort} from 0 to {column.most:g}")
        )
        return None
    return int(number) if column.whole else number * column.scale


def _parts(text: Any) -> list[str]:
    parts = [part.strip() for part in str(text).split(";") if part.strip()]
    return [] if [part.casefold() for part in parts] == [NONE] else parts


def _panels(rows: Iterable[Row]) -> list[PanelPlace]:
    return [PanelPlace(**{**row, "rooms": _parts(row.get("rooms", ""))}) for row in rows if "name" in row]


def _controls(rows: Iterable[Row]) -> list[WallControl]:
    """A row for each button; a control that names none keeps them open."""
    controls: dict[str, WallControl] = {}
    for row in (row for row in rows if "name" in row):
        button = {key: row[key] for key in ("engraving", "press", "double", "hold") if key in row}
        known = controls.get(row["name"]) or WallControl(name=row["name"])
        rest: Row = {key: row[key] for key in ("room", "position", "neutral") if key in row}
        buttons = [*known.buttons, Button(**button)] if button else known.buttons
        controls[row["name"]] = known.model_copy({**rest, "buttons": buttons})
    return list(controls.values())


def _scenes(rows: Iterable[Row]) -> list[Scene]:
    scenes: dict[str, Scene] = {}
    for row in (row for row in rows if "name" in row):
        known = scenes.get(row["name"]) or Scene(name=row["name"])
        levels = {row["circuit"]: row["level"]} if {"circuit", "level"} <= row.keys() else {}
        fade = row.get("fade_s", known.fade_s)
        scenes[row["name"]] = known.model_copy({"levels": {**known.levels, **levels}, "fade_s": fade})
    return list(scenes.values())


LISTS: dict[str, tuple[str, Callable[[Sequence[Row]], list[Any]]]] = {
    "Panel places": ("panels", _panels),
    "Wall controls": ("wall_controls", _controls),
    "Scenes": ("scenes", _scenes),
    "Clock events": ("clocks", lambda rows: [Clock(**row) for row in rows if "name" in row]),
    "Sensors": ("sensors", lambda rows: [Sensor(**row) for row in rows if "room" in row]),
    "Shades": ("shades", lambda rows: [Shade(**row) for row in rows if "room" in row]),
}


def write_needs_sheets(book: Any, bold: Any, wrapped: Any, lists: Mapping[str, Sequence[str]]) -> None:
    """Add the sheets, empty, to a workbook that is being written; a comment says what a heading means.

    ``lists`` gives the words to choose from by the field of the sheet Project.
    """
    for sheet in (PROJECT, *SHEETS):
        added = book.add_worksheet(sheet.name)
        asked = {PROJECT.name: INSTALLED, SHEETS[0].name: QUESTIONS}.get(sheet.name, ())
        for place, column in enumerate(sheet.columns):
            added.write_string(0, place, column.heading, bold)
            added.set_column(place, place, 60 if column is MEANING else 30)
            if column.meaning:
                added.write_comment(0, place, column.meaning)
            if column.words and not asked:
                _offer(added, 1, 1000, place, list(column.words))
        added.freeze_panes(1, 1)
        for number, column in enumerate(asked, 1):
            added.write_string(number, 0, column.heading)
            added.write_string(number, 2, column.meaning, wrapped)
            words = list(column.words or lists.get(column.field, ()))
            if words:
                _offer(added, number, number, 1, words)


# A list written into the rule of a cell may have so many characters.
LONGEST_RULE = 255


def _offer(sheet: Any, first: int, last: int, column: int, words: Sequence[str]) -> None:
    """Offer words to choose from; others may be written, and the reader says what is allowed."""
    kept: list[str] = []
    for word in words:
        if len(",".join([*kept, word])) <= LONGEST_RULE:
            kept.append(word)
    rule = {"validate": "list", "source": kept, "show_error": False, "ignore_blank": True}
    sheet.data_validation(first, column, last, column, rule)
