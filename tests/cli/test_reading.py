"""How a schedule is read, shown and kept: --show-reading, --save-map, --map and --types."""

from __future__ import annotations

from pathlib import Path

from tests.cli.parts import House, called

FORM = (
    "House at the mill;;;;;\n"
    "Strang;Room;Fitting;Stueckzahl;W each;Rev\n"
    "L1;Kitchen;Downlight;6;7;A\n"
    "L2;Hall;Downlight;4;6 lamps;A\n"
    "Total;;;10;;\n"
)
MAP = 'schema = "reading/1"\n\n[columns]\n"Strang" = "circuit"\n"Stueckzahl" = "quantity"\n"Rev" = ""\n'


def written(house: House, name: str, text: str) -> Path:
    path = house.folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_the_reading_is_shown_and_nothing_is_judged(house: House) -> None:
    path = written(house, "form.csv", FORM.replace("Strang", "Circuit").replace("Stueckzahl", "Qty"))
    found = called("check", path, "--show-reading", *house.options())
    assert (found.code, found.err) == (0, "")
    lines = [" ".join(line.split()) for line in found.out.splitlines()]
    assert lines[0] == "form.csv: 2 rows read, 2 circuits"
    assert "line 2 W each input power W" in lines
    assert "line 2 Rev not known, or of no use here" in lines
    assert "line 5 Total the row is a total of the rows above it" in lines
    assert any(line.startswith("line 4 6 lamps W each 1 ") for line in lines)
    assert "line 3 L1 input power 7 W" in lines
    assert "unproven" not in found.out


def test_a_practice_keeps_its_own_reading(house: House) -> None:
    path, kept = written(house, "form.csv", FORM), written(house, "practice.toml", MAP)
    refused = called("check", path, *house.options())
    assert (refused.code, refused.out) == (2, "")
    assert "the column 'Strang' looks as if it did. Call the column Circuit" in refused.err
    found = called("check", path, "--map", kept, "--show-reading", *house.options())
    assert found.code == 0
    assert "Columns left out:" not in found.out
    assert " L1       quantity" in found.out
    saved = house.folder / "saved.toml"
    first = called("check", path, "--map", kept, "--save-map", saved, "--show-reading", *house.options())
    assert first.code == 0
    assert '"Strang" = "circuit"' in saved.read_text()
    again = called("check", path, "--map", saved, "--show-reading", *house.options())
    assert again.out == found.out


def test_a_map_with_a_slip(house: House) -> None:
    path = written(house, "form.csv", FORM)
    kept = written(house, "practice.toml", MAP.replace('"circuit"', '"circiut"'))
    found = called("check", path, "--map", kept, *house.options())
    assert (found.code, found.out) == (2, "")
    assert found.err == "practice.toml, Strang: there is no column 'circiut'. Nearest: circuit.\n"
    kept = written(house, "practice.toml", 'schema = "reading/9"\n')
    assert called("check", path, "--map", kept, *house.options()).err.startswith("practice.toml: schema is ")


def test_types_of_another_file(house: House) -> None:
    path = written(house, "c.csv", "Circuit,Luminaire ref,Qty\nL1,A,6\nL2,B,4\n")
    types = written(house, "types.csv", "Luminaire ref,Watts,Dimming\nA,7,trailing edge\nB,9,DALI\n")
    found = called("check", path, "--types", types, "--show-reading", *house.options())
    assert found.code == 0
    lines = [" ".join(line.split()) for line in found.out.splitlines()]
    assert "line 2 L1 input power 7 W" in lines
    assert "line 3 L2 methods it accepts DALI, switched" in lines
    missing = called("check", path, "--types", "Fittings", *house.options())
    assert (missing.code, missing.out) == (2, "")
    assert missing.err.startswith("c.csv: there is no sheet and no file 'Fittings'.")


def test_a_map_or_a_list_of_types_is_not_written_over(house: House) -> None:
    path, kept = written(house, "form.csv", FORM), written(house, "practice.toml", MAP)
    found = called("check", path, "--map", kept, "--output", kept, *house.options())
    assert found.code == 2
    assert kept.read_text() == MAP
