"""Reading a circuit schedule from a file, whatever its format and however its tables lie."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from compat.intake import limits
from compat.intake.cell_values import CellReader
from compat.intake.cells import FaultList, Grid, Unreadable, printable, shown
from compat.intake.circuit_names import repeats, split_circuits, with_boards, with_sheets
from compat.intake.description import describer
from compat.intake.entries import Entry
from compat.intake.equipment_ids import Ids
from compat.intake.figure_grammar import decimal_mark
from compat.intake.finish import circuits_alike, schedule_rows
from compat.intake.headings import Headings
from compat.intake.known_headings import KnownHeadings, read_map
from compat.intake.likeness import circuit_like, is_list_of_types, quantity_like
from compat.intake.loads import POWER, Loads, settle_loads, settle_types
from compat.intake.needs_sheets import PROJECT, project_answers, sheet_of
from compat.intake.numbers import quantity
from compat.intake.row_choice import RowChoice, merged_rows
from compat.intake.rows import RowReader
from compat.intake.source import Source, read_source
from compat.intake.sums import POWERS, Sum, Sums, TotalRow
from compat.intake.tables import CODE_COLUMNS, Kind, Table, find_tables, tell_columns
from compat.intake.told import Told, listed, spot
from compat.intake.type_join import TypeJoin, join_register
from compat.model.faults import BadInput, Fault
from compat.model.schedule import Schedule
from compat.model.values import Interval, Origin
from compat.model.vocabulary import Vocabulary

SCHEDULE_SHEET = "circuits"
# What 'compat template' puts beside the circuits.
TEMPLATE_SHEETS = ("columns", "lists")


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """``sheet`` names the sheet of the circuits; ``types`` a sheet, or a file, of luminaire types;
    ``map`` a file that says which column each heading names.
    """

    sheet: str | None = None
    types: str | None = None
    map: Path | None = None


def read_schedule(
    path: Path,
    vocabulary: Vocabulary,
    driver_ids: Collection[str],
    output_ids: Collection[str],
    sheet: str | None = None,
    options: ReadOptions | None = None,
) -> Schedule:
    """Read a schedule; every value carries the cell, line or key it was written in.

    Columns that are not known are left out, cells that cannot be read are not known, and both are
    told in the notes. Figures are in the unit of the heading, or of the trait when the heading has
    none. A list of dimming methods always includes ``switched``.

    Raises BadInput with all faults of the file where going on would mislead: no table of circuits,
    a quantity that cannot be read, rows of a circuit that clash.
    """
    options = options or ReadOptions(sheet=sheet)
    headings = KnownHeadings(Headings(vocabulary))
    if options.map is not None:
        headings = KnownHeadings(headings.headings, read_map(options.map, list(headings.columns)))
    source = read_source(path, headings, options.sheet)
    # What the house needs beside its circuits is read by itself.
    own = {id(grid): sheet_of(grid) for grid in source.grids}
    answers = project_answers(grid for grid in source.grids if own[id(grid)] is PROJECT)
    source = replace(source, grids=tuple(grid for grid in source.grids if own[id(grid)] is None))
    ids = {"driver": Ids("driver", driver_ids), "output": Ids("output", output_ids)}
    reader = _Reader(source, headings, ids, Told(FaultList(source.file)))
    return replace(reader.schedule(options, path), project=answers)


@dataclass(slots=True)
class _Reader:
    """One reading of one file."""

    source: Source
    headings: KnownHeadings
    ids: Mapping[str, Ids]
    told: Told
    formulas: list[Origin] = field(default_factory=list)
    fractions: list[Origin] = field(default_factory=list)
    cells: CellReader | None = None
    grand: Sum = field(default_factory=Sum)

    def schedule(self, options: ReadOptions, path: Path) -> Schedule:
        """The schedule of the file."""
        told = self.told
        told.notes += self.source.notes
        tables = self._tables(self.source.grids)
        main, types, register = self._chosen(tables, options, path)
        self.cells = _cell_reader([*main, *types, *register], self.headings)
        entries, totals = self._entries(main)
        if not entries:
            told.faults.raise_if_any()
            do = "Write one row for each luminaire type on a circuit"
            where = Origin(self.source.file, main[0].grid.sheet)
            what = "there are headings but no rows with luminaires below them"
            why = listed((f"{spot(row.place)} {row.why}" for row in told.rows_left_out), 3)
            raise BadInput([Fault(what, where, f"Rows left out: {why}" if why else "", do)])
        self._check_revisions(main, entries)
        self._join(entries, types, register)
        of_table: dict[int, list[Entry]] = {id(table): [] for table in main}
        for entry in entries:
            of_table[id(entry.table)].append(entry)
        settle_loads([Loads(t, of_table[id(t)], totals.get(id(t), ())) for t in main], told)
        if main[0].kind is Kind.luminaires:
            self._by_type(entries)
        else:
            entries = [part for table in main for part in split_circuits(of_table[id(table)], told)]
            with_boards(entries, told)
            with_sheets(entries, told)
        rows = schedule_rows(entries, self.headings.columns, told)
        told.faults.raise_if_any()
        told.notes += circuits_alike(row.circuit for row in rows)
        told.notes += self._remarks()
        lacking = {
            name: sum(name not in row.driver_traits and not row.driver_id for row in rows)
            for name in (POWER, "methods")
        }
        return Schedule(
            self.source.file,
            self.source.sha256,
            tuple(rows),
            tuple(told.all_notes(len(rows), lacking)),
            told.reading(),
        )

    def _tables(self, grids: Sequence[Grid]) -> list[Table]:
        """Every table of the file. Raises BadInput when there is nothing in it or no heading."""
        file = self.source.file
        if not any(grid.rows for grid in grids):
            do = "'compat template' writes a schedule to fill in"
            raise BadInput([Fault("there is no sheet with anything in it", Origin(file), do=do)])
        tables = [table for grid in grids for table in find_tables(grid, self.headings)]
        if not tables:
            sheet = grids[0].sheet if len(grids) == 1 else None
            allowed = f"One of the first {limits.HEADER_SEARCH_ROWS} rows holds the headings"
            do = "Name at least Circuit and Quantity; 'compat template' writes a schedule to fill in"
            raise BadInput([Fault("no heading row was found", Origin(file, sheet), allowed, do)])
        return tables

    def _chosen(
        self, tables: list[Table], options: ReadOptions, path: Path
    ) -> tuple[list[Table], list[Table], list[Table]]:
        """The tables of circuits, of types and of circuits alone. Raises BadInput without the first."""
        types = self._named_types(tables, options, path)
        rest = [table for table in tables if table not in types]
        if options.sheet is not None:
            named = [t for t in rest if t.sheet.casefold() == options.sheet.casefold()]
            others = [t for t in rest if t not in named and t.kind in (Kind.types, Kind.luminaires)]
            rest = named + others
        else:
            named = rest
        circuits = [table for table in named if table.kind is Kind.circuits]
        if any(table.counts for table in circuits):
            # A summary or a list of scenes beside the schedule names circuits and counts nothing.
            for table in circuits:
                if not table.counts:
                    table.kind = Kind.register
            circuits = [table for table in circuits if table.kind is Kind.circuits]
        titled = [table for table in circuits if table.sheet.casefold() == SCHEDULE_SHEET]
        if titled and options.sheet is None and len(titled) < len(circuits):
            others_of = listed(dict.fromkeys(t.sheet for t in circuits if t not in titled))
            self.told.notes.append(f"The sheet {titled[0].sheet} is read; not read are: {others_of}.")
            circuits = titled
        if not circuits:
            self._refuse_doubt(named)
            circuits = [table for table in named if table.kind is Kind.luminaires]
            circuits = circuits or [
                t for t in named if t.kind is Kind.types and not t.names.isdisjoint(CODE_COLUMNS)
            ]
            for table in circuits:
                table.kind = Kind.luminaires
        if not circuits:
            raise BadInput([self._missing(named or tables)])
        for table in circuits:
            self._check_quantity(table)
        types += [t for t in rest if t not in circuits and t.kind in (Kind.types, Kind.luminaires)]
        register = [t for t in rest if t.kind is Kind.register]
        used = [*circuits, *types, *register]
        for table in used:
            tell_columns(table, self.told)
        self._tell_unused(tables, used)
        return circuits, types, register

    def _refuse_doubt(self, tables: Sequence[Table]) -> None:
        """Luminaires are judged by type only where no column may name circuits. Raises BadInput."""
        register = [table for table in tables if table.kind is Kind.register]
        if register:
            raise BadInput([self._missing(register)])
        for table in tables:
            if table.kind not in (Kind.luminaires, Kind.types):
                continue
            counted = table.counts
            found = circuit_like(table) or (None if counted else quantity_like(table))
            if found:
                heading, where, name = shown(found.heading), found.place, found.name
                do = f"Call the column {name.capitalize()}, or say with --map which column it is"
                what = f"no column is known to give the {name}; the column {heading} looks as if it did"
                raise BadInput([Fault(what, where, do=do)])
            if not counted and (table.column("room") or not is_list_of_types(table)):
                raise BadInput([self._missing([table])])

    def _named_types(self, tables: list[Table], options: ReadOptions, path: Path) -> list[Table]:
        """The tables of ``--types``: of a sheet of this file, or of another file. Raises BadInput."""
        if options.types is None:
            return []
        found = [table for table in tables if table.sheet.casefold() == options.types.casefold()]
        if not found:
            other = Path(options.types)
            if not other.exists() and not other.suffix:
                sheets = ", ".join(dict.fromkeys(table.sheet for table in tables))
                what = f"there is no sheet and no file '{printable(options.types)}'"
                raise BadInput([Fault(what, Origin(self.source.file), f"Sheets: {sheets}")])
            source = read_source(other, self.headings)
            self.told.notes += source.notes
            found = [t for grid in source.grids for t in find_tables(grid, self.headings)]
        found = [table for table in found if not table.names.isdisjoint((*CODE_COLUMNS, "description"))]
        if not found:
            do = "Name a list with a column for the luminaire type and one for what it takes"
            raise BadInput([Fault("no list of luminaire types was found", Origin(options.types), do=do)])
        for table in found:
            table.kind = Kind.types
        return found

    def _missing(self, tables: Sequence[Table]) -> Fault:
        """What a file lacks whose tables hold no circuits."""
        table = max(tables, key=lambda found: len(found.bound))
        name = "quantity" if "circuit" in table.names else "circuit"
        found = ", ".join(printable(text) for text in table.header.texts if text)
        return Fault(
            f"the column {name.capitalize()} is missing",
            Origin(self.source.file, table.grid.sheet),
            f"Headings found: {found}",
            f"Add a column with the heading {name.capitalize()}, or name it so with --map",
        )

    def _check_quantity(self, table: Table) -> None:
        """A table of circuits says how many; a list of types by itself stands for one of each."""
        if table.counts:
            return
        if table.kind is Kind.luminaires:
            self.told.notes.append(
                f"{table.place().text()}: no column gives a quantity; one luminaire of each type is judged."
            )
        else:
            raise BadInput([self._missing([table])])

    def _tell_unused(self, tables: Sequence[Table], used: Sequence[Table]) -> None:
        sheets = {table.sheet for table in used}
        names = [grid.sheet for grid in self.source.grids if grid.sheet and grid.sheet not in sheets]
        filled = {grid.sheet for grid in self.source.grids if grid.rows}
        left = [name for name in names if name in filled and name.casefold() not in TEMPLATE_SHEETS]
        if left:
            self.told.notes.append(
                f"Sheets not read, since no circuits or luminaires stand there: {listed(left)}."
            )
        for table in tables:
            if table not in used and table.sheet in sheets:
                self.told.notes.append(
                    f"{table.place().text()}: the table is no list of circuits and is not read."
                )

    def _entries(self, tables: Sequence[Table]) -> tuple[list[Entry], dict[int, list[TotalRow]]]:
        entries: list[Entry] = []
        totals: dict[int, list[TotalRow]] = {}
        for table in tables:
            found, totals[id(table)] = self._of_table(table)
            entries += found
            if len(entries) > limits.ROWS:
                what = f"the schedule has more than {limits.ROWS} rows"
                where = Origin(self.source.file, table.grid.sheet)
                raise BadInput([Fault(what, where, do="Split it into several files")])
        return entries, totals

    def _of_table(self, table: Table) -> tuple[list[Entry], list[TotalRow]]:
        """The entries of a table in their order, and its rows that add up others."""
        cells = self.cells
        assert cells is not None
        columns = {bound.column.name: bound for bound in table.bound}

        def figure(index: int, name: str) -> Interval | None:
            text = table.grid.text(index, columns[name].index)
            if not text:
                return None
            try:
                if name == "quantity":
                    return Interval(count := float(quantity(text)), count)
                contents = cells.contents(text, columns[name])
            except Unreadable:
                return None
            return next((c for c in contents.values() if isinstance(c, Interval)), None)

        names = tuple(name for name in ("quantity", *POWERS) if name in columns)
        grand = self.grand if table.kind is Kind.circuits else Sum()
        choice = RowChoice(table, Sums(figure, names, grand=grand), self.told)
        chosen = choice.rows()
        merged = merged_rows(table, chosen, self.told)
        traits = frozenset(trait.name for trait in self.headings.vocabulary.of_subject("driver"))
        describe = describer(self.headings.vocabulary)
        reader = RowReader(table, cells, self.ids, merged, self.told, describe, traits)
        entries = [entry for entry in map(reader.read, chosen) if entry is not None]
        self.formulas += reader.formulas
        self.fractions += reader.fractions
        return entries, choice.totals

    def _check_revisions(self, tables: Sequence[Table], entries: Sequence[Entry]) -> None:
        """Two sheets that say the same are two states of one schedule. Raises BadInput."""
        of_sheet: dict[str, list[Entry]] = {}
        for entry in entries:
            of_sheet.setdefault(entry.table.sheet, []).append(entry)
        names = list(of_sheet)
        for place, first in enumerate(names):
            for second in names[place + 1 :]:
                if repeats(of_sheet[first], of_sheet[second]):
                    do = "Name the one to read with --sheet, or call it Circuits"
                    what = "more than one sheet is a schedule of the same circuits"
                    where = Origin(self.source.file)
                    raise BadInput([Fault(what, where, f"Sheets: {first}, {second}", do)])

    def _join(self, entries: list[Entry], types: Sequence[Table], register: Sequence[Table]) -> None:
        counted = any(table.kind is Kind.luminaires for table in types)
        listed_types: list[Entry] = []
        for table in types:
            found, totals = self._of_table(table)
            if table.kind is Kind.luminaires:
                settle_types(Loads(table, found, totals), self.told)
            listed_types += found
        if listed_types:
            join = TypeJoin(listed_types, self.told)
            join.prepare(entries)
            for entry in entries:
                join.join(entry)
            join.tell(counted)
        of_register = [entry for table in register for entry in self._of_table(table)[0]]
        if of_register:
            join_register(entries, of_register, self.told)

    def _by_type(self, entries: Sequence[Entry]) -> None:
        """Without circuits each luminaire type is judged as a circuit of its quantity."""
        for number, entry in enumerate(entries, start=1):
            entry.circuit = entry.code or entry.words.get("description", "")[:40] or f"row {number}"
        self.told.notes.insert(
            0,
            "The file has no circuits: each luminaire type is judged as one circuit of its quantity.",
        )

    def _remarks(self) -> list[str]:
        notes = []
        if self.formulas:
            first, count = self.formulas[0].text(), len(self.formulas)
            notes.append(
                f"{first}: formulas are read by their stored results ({count} in all); recalculate and "
                "save the workbook if they are not up to date."
            )
        if self.fractions:
            notes.append(
                f"{self.fractions[0].text()}: circuits are written as numbers with decimals, so 1.1 "
                "and 1.10 are the same; format the cells as text if they are not."
            )
        return notes


def _cell_reader(tables: Sequence[Table], headings: KnownHeadings) -> CellReader:
    """A reader for the cells of a file; '1.250' is read by the mark that its other figures show."""
    mark = decimal_mark(
        table.grid.text(row, bound.index)
        for table in tables
        for bound in table.bound
        if bound.column.unit
        for row in range(table.header.last_row + 1, table.end)
    )
    return CellReader(headings.vocabulary, headings.units, mark)
