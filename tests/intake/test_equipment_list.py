"""Lists of drivers and outputs as practices keep them, in spreadsheets."""

from __future__ import annotations

import zipfile
from pathlib import Path
from xml.sax.saxutils import escape

import openpyxl  # type: ignore[import-untyped]
import pytest

from compat.dataset.read import load_dataset
from compat.intake.equipment_list import EquipmentList, read_equipment_list
from compat.intake.headings import Headings
from compat.intake.own_equipment import with_own
from compat.intake.template_lists import USUAL, write_list_template
from compat.model.equipment import SUBJECT_OF
from compat.model.faults import BadInput
from compat.model.values import Content, Interval, Origin, TokenSet
from tests.intake.files import vocabulary, write_csv, write_xlsx

DRIVERS = [
    ["Luminaire schedule, invented", "", "", "", "", "", ""],
    ["Type code", "Description", "Watts", "Dimming", "Inrush (A)", "PF", "Supplier"],
    ["DL1", "Downlight 9W 350mA IP65", 9.5, "DALI-2 DT6", "20 A/200 us", 0.95, "any"],
    ["DL 2", "GU10 7W LED dimmable 2700K", "", "trailing edge", "", "", ""],
    ["ST/1", "LED strip 24V 14.4W/m 5m", "", "dimmable", "TBC", "", ""],
    ["", "no code", 5, "", "", "", ""],
]


def listed(path: Path, table: str = "drivers") -> EquipmentList:
    return read_equipment_list(path, table, vocabulary())


def contents(found: EquipmentList, entry: str) -> dict[str, Content]:
    return {name: trait.content for name, trait in found.entries[entry].traits.items()}


def test_a_list_of_drivers_in_a_workbook(tmp_path: Path) -> None:
    found = listed(write_xlsx(tmp_path / "types.xlsx", {"Types": DRIVERS}))
    assert list(found.entries) == ["DL1", "DL 2", "ST/1"]
    assert contents(found, "DL1") == {
        "input_power_w": Interval(9.5, 9.5),
        "methods": TokenSet.exactly("dali", "switched"),
        "dali_device_type": "type_6",
        "inrush_peak_a": Interval(20, 20),
        "inrush_width_us": Interval(200, 200),
        "power_factor": Interval(0.95, 0.95),
        "load_type": "constant_current_driver",
    }
    assert contents(found, "DL 2") == {
        "methods": TokenSet.exactly("reverse_phase", "switched"),
        "load_type": "integral_lamp",
        "input_power_w": Interval(7, 7),
    }
    assert contents(found, "ST/1") == {
        "load_type": "constant_voltage_driver",
        "led_strip_w_per_m": Interval(14.4, 14.4), "led_strip_length_m": Interval(5, 5),
    }  # fmt: skip


def test_every_value_keeps_its_cell_and_is_declared(tmp_path: Path) -> None:
    found = listed(write_xlsx(tmp_path / "types.xlsx", {"Types": DRIVERS}))
    entry = found.entries["DL1"]
    assert entry.name == "Downlight 9W 350mA IP65"
    assert entry.traits["input_power_w"].origin == Origin("types.xlsx", "Types", "C3")
    assert entry.traits["load_type"].origin == Origin("types.xlsx", "Types", "B3")
    assert {trait.basis for trait in entry.traits.values()} == {"declared"}


def test_what_is_left_out_is_told_once(tmp_path: Path) -> None:
    found = listed(write_xlsx(tmp_path / "types.xlsx", {"Types": DRIVERS}))
    assert "Left out: Supplier." in found.notes
    assert any("'dimmable' does not say by which method" in note for note in found.notes)
    assert any("1 row has no type code" in note for note in found.notes)
    assert len(found.notes) == 3


@pytest.mark.parametrize("separator", [";", "\t"])
def test_decimal_commas_of_a_text_file(tmp_path: Path, separator: str) -> None:
    rows = [
        "Kürzel;Leistung (W);Ansteuerung;Einschaltstrom (A)",
        "A1;1.250;DALI;28,5",
        "A2;7,5;nicht dimmbar;",
    ]
    path = write_csv(tmp_path / "Treiber.csv", "\n".join(rows).replace(";", separator))
    found = listed(path)
    assert contents(found, "A1")["input_power_w"] == Interval(1250, 1250)
    assert contents(found, "A2") == {
        "input_power_w": Interval(7.5, 7.5), "methods": TokenSet.exactly("switched"),
    }  # fmt: skip


def test_thousands_that_nothing_settles_are_not_known(tmp_path: Path) -> None:
    found = listed(write_csv(tmp_path / "d.csv", "Code,Watts,Dimming\nA,1.250,DALI\nB,,DALI\n"))
    assert "input_power_w" not in contents(found, "A")
    assert any("may mean 1.250 or 1250" in note for note in found.notes)


def test_a_list_of_outputs(tmp_path: Path) -> None:
    rows = [
        [
            "Dimmer type",
            "Description",
            "Method",
            "Max load (W)",
            "Min load (W)",
            "Load types",
            "Neutral",
            "Price",
        ],
        ["DIM-1", "Wall dimmer", "trailing edge", 300, "10", "integral LED lamp; incandescent", "yes", 99],
        ["REL-1", "Relay channel", "on/off", "2 kW", "", "", "no", 10],
    ]
    found = listed(write_xlsx(tmp_path / "outputs.xlsx", {"Dimmers": rows}), "outputs")
    assert contents(found, "DIM-1") == {
        "method": "reverse_phase",
        "max_load_w": Interval(300, 300),
        "min_load_w": Interval(10, 10),
        "listed_load_types": TokenSet.exactly("integral_lamp", "incandescent"),
        "needs_neutral": True,
    }
    assert contents(found, "REL-1")["max_load_w"] == Interval(2000, 2000)
    assert contents(found, "REL-1")["method"] == "switched"


def open_document(path: Path, rows: list[list[object]]) -> Path:
    """The rows as a spreadsheet of the open document format (ISO/IEC 26300), in its least form."""
    space = "urn:oasis:names:tc:opendocument:xmlns"

    def cell(value: object) -> str:
        if isinstance(value, int | float):
            return f'<table:table-cell office:value-type="float" office:value="{value}"/>'
        text = f"<text:p>{escape(str(value))}</text:p>"
        return f'<table:table-cell office:value-type="string">{text}</table:table-cell>'

    lines = "".join(f"<table:table-row>{''.join(map(cell, row))}</table:table-row>" for row in rows)
    content = (
        f'<office:document-content xmlns:office="{space}:office:1.0" xmlns:table="{space}:table:1.0" '
        f'xmlns:text="{space}:text:1.0" office:version="1.2"><office:body><office:spreadsheet>'
        f'<table:table table:name="Types">{lines}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        f'<manifest:manifest xmlns:manifest="{space}:manifest:1.0">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
        "</manifest:manifest>"
    )
    with zipfile.ZipFile(path, "w") as book:
        book.writestr("mimetype", kind)
        book.writestr("META-INF/manifest.xml", manifest)
        book.writestr("content.xml", content)
    return path


def test_an_open_document_list(tmp_path: Path) -> None:
    found = listed(open_document(tmp_path / "types.ods", DRIVERS))
    assert list(found.entries) == ["DL1", "DL 2", "ST/1"]
    assert found.entries["DL1"].traits["input_power_w"].content == Interval(9.5, 9.5)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("Code,Watts\nA,5\nA,6\n", "the code 'A' stands twice, first in d.csv, line 2, column Code"),
        ("Room,Notes\nA,5\n", "no list of drivers was found"),
        ("Code,Watts\n", "there are headings but no rows below them"),
        (f"Code,Watts\n{'x' * 65},5\n", "is no type code. A code has at most 64 characters"),
        ("", "the file is empty"),
    ],
)
def test_lists_that_are_refused(tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        listed(write_csv(tmp_path / "d.csv", text))
    assert any(sentence in fault.sentence() for fault in caught.value.faults), str(caught.value)


def test_own_equipment_by_suffix(tmp_path: Path) -> None:
    dataset = load_dataset()
    laid = with_own(dataset, "drivers", write_xlsx(tmp_path / "types.xlsx", {"Types": DRIVERS}))
    assert list(laid.ids or ()) == ["DL1", "DL 2", "ST/1"]
    assert list(laid.dataset.tables["drivers"]) == [*dataset.tables["drivers"], "DL1", "DL 2", "ST/1"]
    toml = tmp_path / "own.toml"
    toml.write_text('schema = "drivers/1"\n[[driver]]\nid = "x"\nname = "y"\n', encoding="utf-8")
    assert with_own(dataset, "drivers", toml).ids == ["x"]
    assert with_own(dataset, "drivers", None).ids is None


@pytest.mark.parametrize("table", ["drivers", "outputs"])
@pytest.mark.parametrize("kind", ["xlsx", "csv"])
def test_the_empty_list_reads_back_without_a_note(tmp_path: Path, table: str, kind: str) -> None:
    path = tmp_path / f"{table}.{kind}"
    write_list_template(path, kind, table, vocabulary())
    found = listed(path, table)
    (entry,) = found.entries.values()
    assert found.notes == ("Left out: Notes.",)
    stated = [name for name, example in USUAL[table].items() if example][2:]
    assert {name for name in stated if name != "input_voltage"} <= set(entry.traits)
    assert {"input_voltage_min_v", "input_voltage_max_v"} <= set(entry.traits)


@pytest.mark.parametrize("table", ["drivers", "outputs"])
def test_the_empty_list_explains_every_trait(tmp_path: Path, table: str) -> None:
    path = tmp_path / "list.xlsx"
    write_list_template(path, "xlsx", table, vocabulary())
    explained = [row[0].value for row in openpyxl.load_workbook(path)["Columns"].iter_rows(min_row=2)]
    headings = Headings(vocabulary(), SUBJECT_OF[table])
    named = {headings.bind(0, heading).column.name for heading in explained}
    assert {trait.name for trait in vocabulary().of_subject(SUBJECT_OF[table])} <= named
