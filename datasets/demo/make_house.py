"""Write the demo schedule: ``house.xlsx`` and ``house.csv``, the same bytes on every run.

Larch Hollow is invented: no such house, no such schedule. Run from the checkout with
``python -m datasets.demo.make_house``, or give the folder to write to.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Final, NamedTuple

import xlsxwriter

from compat.model.vocabulary import Vocabulary, read_vocabulary

HERE: Final = Path(__file__).resolve().parent
TITLE: Final = "Larch Hollow: lighting circuits"
INVENTED: Final = "Invented example. There is no such house."
# A fixed date, so that the workbook has the same bytes on every run.
CREATED: Final = datetime(2026, 11, 25)
HEADER_ROW: Final = 2
MAIN_HEADINGS: Final = (
    "Circuit",
    "Room",
    "Luminaire type",
    "Quantity",
    "Driver",
    "Output",
    "Line",
    "Control wanted",
    "Dim floor wanted (%)",
    "Colour control wanted",
    "Neutral at control",
)
MAIN_WIDTHS: Final = (9, 18, 26, 9, 8, 8, 8, 15, 20, 21, 18)
# Traits of a driver that some rows state themselves, in the order of their columns.
TRAITS: Final = (
    "load_type",
    "input_character",
    "methods",
    "input_power_w",
    "input_current_a",
    "power_factor",
    "input_voltage_min_v",
    "input_voltage_max_v",
    "input_frequency_min_hz",
    "input_frequency_max_hz",
    "inrush_peak_a",
    "inrush_width_us",
    "dim_floor_percent",
    "control_current_ma",
    "dali_device_type",
    "dali_addresses",
    "dali_current_ma",
    "colour",
    "dimming_forbidden",
)
Cell = str | int | float
Traits = Mapping[str, Cell]
NO_TRAITS: Final[Traits] = {}


class Row(NamedTuple):
    """One line of the schedule; a further row of a circuit leaves the circuit's columns empty."""

    circuit: str
    room: str
    luminaire: str
    quantity: int
    driver: str = ""
    control: str = ""
    floor: Cell = ""
    output: str = ""
    colour: str = ""
    neutral: str = ""
    traits: Traits = NO_TRAITS


DIM: Final = "dimmed"
SWITCH: Final = "switched"
EUROPE: Final[Traits] = {
    "input_voltage_min_v": 198,
    "input_voltage_max_v": 264,
    "input_frequency_min_hz": 47,
    "input_frequency_max_hz": 63,
}
DESK_LIGHT: Final[Traits] = {
    **EUROPE,
    "load_type": "integral LED lamp",
    "input_character": "capacitive",
    "methods": "switched",
    "input_power_w": "7 to 8",
    "input_current_a": "0.04 to 0.06",
    "power_factor": "0.6 to 0.8",
    "inrush_peak_a": "5 to 12",
    "inrush_width_us": "20 to 60",
    "colour": "no colour",
    "dimming_forbidden": "yes",
}
SHELF_LIGHT: Final[Traits] = {
    "load_type": "constant-voltage LED driver",
    "methods": "reverse phase; switched",
    "input_power_w": 18,
    "power_factor": 0.9,
    "dimming_forbidden": "no",
}
STORE_LIGHT: Final[Traits] = {
    **EUROPE,
    "load_type": "constant-current LED driver",
    "input_character": "capacitive",
    "methods": "DALI; switched",
    "input_power_w": "24 to 27.5",
    "input_current_a": "0.11 to 0.13",
    "power_factor": "0.93 to 0.97",
    "inrush_peak_a": "20 to 35",
    "inrush_width_us": "80 to 150",
    "dim_floor_percent": 1,
    "dali_device_type": "DALI type 6",
    "dali_addresses": 1,
    "dali_current_ma": 2,
    "colour": "no colour",
    "dimming_forbidden": "no",
}
MEASURED_BATTEN: Final[Traits] = {"input_power_w": 18.4, "inrush_peak_a": "18 to 26"}
MEASURED_PENDANT: Final[Traits] = {"control_current_ma": "0.6 to 0.8"}

GROUND: Final = (
    Row("G01", "Porch", "Ceiling light", 1, "D0009", SWITCH),
    Row("G02", "Hall", "Downlight", 8, "D0014", DIM, 5),
    Row("G03", "Hall", "Wall light", 4, "D0008", DIM, 10),
    Row("G04", "Hall", "Chandelier", 12, "D0010", DIM, 10),
    Row("G05", "Cloakroom", "Downlight", 2, "D0013", DIM, 5),
    Row("G06", "Living room", "Downlight", 10, "D0033", DIM, 1),
    Row("G06", "Living room", "Adjustable downlight", 4, "D0034"),
    Row("G07", "Living room", "Cove strip", 3, "D0040", DIM, 1, colour="yes"),
    Row("G08", "Living room", "Picture light", 3, "D0027", DIM, 10),
    Row("G09", "Living room", "Wall bracket", 4, "D0059", DIM, 5),
    Row("G10", "Living room", "Ceiling fan", 1, "D0065", DIM, 20, "O0010"),
    Row("G11", "Library", "Reading light", 4, "D0001", DIM, 10),
    Row("G11", "Library", "Table light", 2, "D0003"),
    Row("G12", "Library", "Shelf strip", 2, "D0022", DIM, 5),
    Row("G13", "Kitchen", "Downlight", 12, "D0034", DIM, 1),
    Row("G14", "Kitchen", "Island pendant", 3, "D0007", DIM, 10),
    Row("G15", "Kitchen", "Under-cabinet strip", 2, "D0023", DIM, 5),
    Row("G16", "Kitchen", "Plinth strip", 1, "D0041", DIM, 1, colour="yes"),
    Row("G17", "Kitchen", "Linear pendant", 4, "D0045", DIM, 10),
    Row("G17", "Kitchen", "Long linear pendant", 2, "D0052"),
    Row("G18", "Utility room", "Batten", 2, "D0063", DIM, 10),
    Row("G19", "Dining room", "Chandelier", 6, "D0060", DIM, 5),
    Row("G20", "Dining room", "Wall washer", 2, "D0055", DIM, 1, colour="yes"),
    Row("G21", "Dining room", "Cornice light", 3, "D0047", DIM, 10, "O0033"),
    Row("G22", "Study", "Ring pendant", 6, "D0048", DIM, 10, traits=MEASURED_PENDANT),
    Row("G23", "Study", "Desk light", 2, "", SWITCH, traits=DESK_LIGHT),
    Row("G24", "Boot room", "Ceiling light", 4, "D0005", SWITCH),
    Row("G25", "Corridor", "Downlight", 6, "D0035", DIM, 5, "O0039"),
    Row("G26", "Back stairs", "Step light", 14, "D0004", DIM, 20),
)
FIRST: Final = (
    Row("F01", "Landing", "Night light", 2, "D0006", DIM, 5),
    Row("F02", "Main bedroom", "Downlight", 8, "D0039", DIM, 0.1, colour="yes"),
    Row("F03", "Main bedroom", "Bedside light", 2, "D0001", DIM, 10, "O0006", neutral="no"),
    Row("F04", "Main bedroom", "Headboard strip", 1, "D0038", DIM, 1, colour="yes"),
    Row("F05", "Dressing room", "Low-voltage spotlight", 3, "D0030", DIM, 10, "O0007"),
    Row("F06", "Dressing room", "Wardrobe strip", 4, "D0015", DIM, 5),
    Row("F07", "Main bathroom", "Downlight", 6, "D0034", DIM, 1),
    Row("F08", "Main bathroom", "Mirror light", 2, "D0018", SWITCH, "", "O0020"),
    Row("F09", "Main bathroom", "Niche light", 2, "D0054", DIM, 1),
    Row("F10", "Bedroom 2", "Ceiling spotlight", 6, "D0002", DIM, 10, "O0002"),
    Row("F11", "Bedroom 2", "Wall light", 2, "D0061", DIM, 5),
    Row("F12", "Bedroom 3", "Pendant", 4, "D0003", DIM, 10, neutral="no"),
    Row("F13", "Bedroom 3", "Star ceiling", 2, "D0049", DIM, 1),
    Row("F14", "Guest bedroom", "Downlight", 5, "D0045", DIM, 5, "O0035"),
    Row("F15", "Guest bathroom", "Downlight", 3, "D0019", SWITCH),
    Row("F16", "Family bathroom", "Downlight", 6, "D0051", DIM, 10),
    Row("F17", "Family bathroom", "Mirror light", 1, "D0064", SWITCH),
    Row("F18", "Attic stairs", "Wall light", 3, "D0016", DIM, 10),
    Row("F19", "Sewing room", "Linear luminaire", 2, "D0044", DIM, 5),
    Row("F20", "Playroom", "Downlight", 16, "D0033", DIM, 1, "O0040"),
    Row("F21", "Playroom", "Mood strip", 1, "D0056", DIM, 1, colour="yes"),
    Row("F22", "Nursery", "Low-voltage track", 2, "D0031", DIM, 10, "O0005"),
    Row("F23", "Linen room", "Shelf light", 3, "", DIM, 10, traits=SHELF_LIGHT),
    Row("F24", "Gallery", "Marker light", 66, "D0033", DIM, 1, "O0044"),
    Row("F25", "Gallery", "Cabinet light", 40, "D0033", DIM, 1, "O0039"),
)
OUTSIDE: Final = (
    Row("X01", "Drive", "Bollard", 8, "D0013", SWITCH, "", "O0018"),
    Row("X02", "Front wall", "Facade strip", 4, "D0026", SWITCH),
    Row("X03", "Terrace", "Canopy light", 6, "D0046", DIM, 10),
    Row("X04", "Terrace", "Wall light", 4, "D0052", DIM, 10, "O0037"),
    Row("X05", "Garden", "Tree spotlight", 5, "D0028", DIM, 10, "O0008"),
    Row("X06", "Garden", "Path light", 3, "D0032", DIM, 10),
    Row("X07", "Pool", "Pool edge strip", 2, "D0057", DIM, 1, colour="yes"),
    Row("X08", "Gate", "Pillar lantern", 2, "D0062", SWITCH),
    Row("X09", "Lawn", "Floodlight", 2, "D0025", SWITCH),
    Row("X10", "Orchard", "Tree strip", 36, "D0055", DIM, 1, "O0047", colour="yes"),
    Row("X11", "Greenhouse", "Batten", 3, "D0020", SWITCH),
)
GARAGE: Final = (
    Row("W01", "Garage", "Batten", 4, "D0063", SWITCH),
    Row("W02", "Garage", "Stair spotlight", 2, "D0029", DIM, 10),
    Row("W03", "Workshop", "Bench light", 2, "D0036", DIM, 1),
    Row("W04", "Workshop", "Extractor fan", 1, "D0065", SWITCH),
    Row("W05", "Workshop", "Batten", 4, "D0018", SWITCH, traits=MEASURED_BATTEN),
    Row("W06", "Bicycle store", "Ceiling light", 3, "", DIM, 5, traits=STORE_LIGHT),
    Row("W07", "Loft", "Bare lamp", 12, "D0001", DIM, 10, "O0009"),
    Row("W08", "Drying room", "Ceiling strip", 10, "D0024", SWITCH, "", "O0019"),
)
ROWS: Final = (*GROUND, *FIRST, *OUTSIDE, *GARAGE)
# The control lines that the schedule names: three DALI, two DMX, two analogue pairs.
LINES: Final[Mapping[str, str]] = {
    **dict.fromkeys(("G06", "G07", "G13", "G16"), "D1"),
    **dict.fromkeys(("F04", "F07", "F19", "F20", "F25"), "D2"),
    "F02": "D3",
    **dict.fromkeys(("G20", "F09", "F21"), "X1"),
    "X07": "X2",
    "X03": "P1",
    "G17": "P2",
}
# Two circuits a breaker, in their order, within each part of the house; each has residual-current protection
# of its own.
PARTS: Final = (GROUND, FIRST, OUTSIDE, GARAGE)
CIRCUITS_A_BREAKER: Final = 2


def devices() -> dict[str, tuple[str, str]]:
    """The breaker and the residual-current device of each circuit."""
    found: dict[str, tuple[str, str]] = {}
    breaker = 0
    for rows in PARTS:
        names = list(dict.fromkeys(row.circuit for row in rows))
        for place, name in enumerate(names):
            breaker += place % CIRCUITS_A_BREAKER == 0
            found[name] = (f"B{breaker}", f"R{breaker}")
    return found


DEVICES: Final[Mapping[str, tuple[str, str]]] = devices()


def headings(vocabulary: Vocabulary) -> list[str]:
    """The header row: the main columns, then a label with its unit for each trait."""
    made = list(MAIN_HEADINGS)
    for name in TRAITS:
        trait = vocabulary.traits[f"driver.{name}"]
        symbol = vocabulary.unit_symbol(trait.unit)
        label = trait.label[:1].upper() + trait.label[1:]
        made.append(f"{label} ({symbol})" if symbol else label)
    return [*made, "Breaker", "RCD"]


def cells(row: Row) -> list[Cell]:
    """A row in the order of the columns; an empty text leaves its cell empty."""
    main: list[Cell] = [row.circuit, row.room, row.luminaire, row.quantity, row.driver, row.output]
    # A further row of a circuit leaves the columns of the circuit empty, and has no control.
    main += [LINES.get(row.circuit, "") if row.control else ""]
    main += [row.control, row.floor, row.colour, row.neutral]
    behind = DEVICES[row.circuit] if row.control else ("", "")
    return [*main, *(row.traits.get(name, "") for name in TRAITS), *behind]


def write_csv(path: Path, header: Sequence[str]) -> None:
    """The table alone, header first."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(cells(row) for row in ROWS)


def write_xlsx(path: Path, header: Sequence[str]) -> None:
    """The sheet ``Circuits``: a title, the mark that it is invented, then the table."""
    options = {"strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(path, options) as book:
        book.set_properties({"title": TITLE, "comments": INVENTED, "created": CREATED})
        bold = book.add_format({"bold": True})
        wrapped = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        sheet = book.add_worksheet("Circuits")
        sheet.write_string(0, 0, TITLE, bold)
        sheet.write_string(1, 0, INVENTED)
        for column, heading in enumerate(header):
            width = MAIN_WIDTHS[column] if column < len(MAIN_WIDTHS) else 16
            sheet.set_column(column, column, width)
            sheet.write_string(HEADER_ROW, column, heading, wrapped)
        sheet.freeze_panes(HEADER_ROW + 1, 1)
        for line, row in enumerate(ROWS, start=HEADER_ROW + 1):
            for column, cell in enumerate(cells(row)):
                if isinstance(cell, str):
                    if cell:
                        sheet.write_string(line, column, cell)
                else:
                    sheet.write_number(line, column, cell)


def main(folder: Path) -> None:
    """Write both files into a folder."""
    header = headings(read_vocabulary(HERE.parent / "vocabulary"))
    write_csv(folder / "house.csv", header)
    write_xlsx(folder / "house.xlsx", header)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
