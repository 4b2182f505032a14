"""What the screens answer, apart from any browser."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest

from compat.model.faults import BadInput
from compat.page import persistent
from compat.page.build import build_page, page_files
from compat.page.parts import fetched, pinned
from compat.page.screens import Screens

SCHEDULE = "Circuit,Luminaire type,Quantity,Dimming,Watts,Breaker\nC1,Spot,4,trailing edge,12,B10\n"


@pytest.fixture
def screens(tmp_path: Path) -> Screens:
    return Screens(tmp_path)


def test_what_is_to_hand_is_told_first(screens: Screens) -> None:
    asked = {"stated": {"--watts": "12", "--method": "trailing edge", "--inrush": " "}, "to_hand": "O0006"}
    found = screens.answer("lookup", asked)
    assert found["to_hand"]["takes"].startswith("expected to work with ")
    assert "by its label" in found["name"]
    assert "command line" not in found["html"]


def test_a_fault_of_a_label_names_its_field(screens: Screens) -> None:
    (told,) = screens.answer("lookup", {"stated": {"--watts": "plenty"}})["faults"]
    assert told.startswith("Input power, W: ")


def test_a_schedule_is_read_mended_judged_and_answered(screens: Screens) -> None:
    path = screens.put("schedule", "../s.csv", SCHEDULE.replace("Watts", "Wxtt drawn").encode())
    assert path == "schedule/_s.csv"
    reading = screens.answer("reading", {"file": path})
    headings = {one["heading"]: one["column"] for one in reading["headings"]}
    assert headings["Wxtt drawn"] == ""
    asked = {"file": path, "map": headings | {"Wxtt drawn": "input_power_w"}}
    first = screens.answer("check", asked)
    told = [one["told"] for group in first["questions"] for one in group["asked"]]
    assert not [one for one in told if one["Value"] == "driver.input_power_w"]
    answers = [one | {"Answer": "264"} for one in told if one["Value"] == "driver.input_voltage_max_v"]
    assert answers
    after = screens.answer("check", asked | {"answers": answers})
    left = [one["told"]["Value"] for group in after["questions"] for one in group["asked"]]
    assert "driver.input_voltage_max_v" not in left
    earlier = screens.put("earlier", "s.csv", SCHEDULE.replace(",12,", ",60,").encode())
    assert screens.answer("since", asked | {"earlier": earlier})["text"].startswith("Since s.csv: ")


@pytest.mark.parametrize("name", ["../../etc/passwd", "/etc/passwd", "schedule/gone.csv"])
def test_nothing_outside_the_folder_is_read(screens: Screens, name: str) -> None:
    (told,) = screens.answer("check", {"file": name})["faults"]
    assert "no longer here" in told


def test_parts_that_cannot_be_fetched_are_told_by_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(BadInput, match="npm could not fetch") as told:
        fetched(tmp_path)
    assert all(f"{part.package} {part.version}" in str(told.value) for part in pinned().wheels)


def test_a_folder_that_holds_something_is_not_written_into(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(BadInput, match="not empty"):
        build_page(tmp_path, tmp_path)


def test_no_file_of_the_page_names_an_address() -> None:
    own = {name: data.decode() for name, data in page_files("worker").items()}
    own["parts.toml"] = (files("compat.page") / "parts.toml").read_text(encoding="utf-8")
    own["icon.svg"] = own["icon.svg"].replace("http://www.w3.org/2000/svg", "")
    assert [name for name, text in own.items() if re.search(r"https?://|//[a-z0-9-]+\.[a-z]", text)] == []


def test_plain_maps_sets_and_lists_do_as_the_compiled_ones() -> None:
    import rpds

    for kind in (rpds, persistent):
        table = kind.HashTrieMap({"a": 1}).insert("b", 2).remove("a").update({"c": 3})
        assert (dict(table), "a" in table, table.get("b")) == ({"b": 2, "c": 3}, False, 2)
        assert kind.HashTrieMap.convert(table) is table
        assert set(kind.HashTrieSet().insert(1).insert(2).remove(1).update([3])) == {2, 3}
        with pytest.raises(KeyError):
            kind.HashTrieMap().remove("a")
        some = kind.List([1, 2]).push_front(0)
        assert (list(some), some.first, list(some.rest), list(some.drop_first())) == (
            [0, 1, 2],
            0,
            [1, 2],
            [1, 2],
        )
        assert list(kind.List([])) == []
