"""Faults name the line on which the value stands, and finding the lines takes time in line with the file."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import pytest

from compat.dataset import positions
from compat.dataset.overlay import read_setting, with_own_equipment
from compat.dataset.read import Dataset, read_table
from compat.dataset.vocabulary import lines_of
from compat.intake.keyed import _DoubledKey, _object
from compat.model.faults import BadInput
from tests.dataset.parts import faults_of

# A search of the text would take these words in a note, a list and a comment for entries and keys.
MISLEADING = """\
schema = "drivers/1"
# [[driver]]
[[driver]]
id = "A"
name = "Lamp"
note = '''
[[driver]]
id = "B"
input_power_w = -1
'''
traits = { input_power_w = 5 } # input_power_w = -1

[[driver]]
id = "B"
name = "input_power_w = 1"
[driver.traits]
methods = [
  "reverse_phase", # input_power_w
  "switched",
]
input_power_w = -1
"""


def test_a_fault_is_not_led_astray_by_words_in_texts_and_comments(tmp_path: Path, dataset: Dataset) -> None:
    path = tmp_path / "own.toml"
    path.write_text(MISLEADING, encoding="utf-8")
    [sentence] = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert sentence.startswith("own.toml, line 21: B input_power_w: -1 is outside 0 to")


def test_json_is_told_by_the_line_of_the_entry_that_is_wrong(tmp_path: Path, dataset: Dataset) -> None:
    path = tmp_path / "own.json"
    entry = '{"id": "%s", "name": "x",\n "traits": {"input_power_w": %s}}'
    text = '{"schema": "drivers/1", "driver": [\n' + ",\n".join(
        entry % pair for pair in (("A", 5), ("B", -1), ("C", 5))
    )
    path.write_text(text + "]}", encoding="utf-8")
    [sentence] = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert sentence.startswith("own.json, line 5: B input_power_w: -1")


def test_a_key_given_twice_in_json_is_refused(tmp_path: Path, dataset: Dataset) -> None:
    """Taken as other readers do, the 5 W below would stand for the 50 W above."""
    path = tmp_path / "own.json"
    path.write_text(
        '{"schema": "drivers/1",\n"driver": [{"id": "A", "name": "x", "traits": {\n'
        '"input_power_w": 50,\n"input_power_w": 5}}]}',
        encoding="utf-8",
    )
    assert faults_of(lambda: with_own_equipment(dataset, "drivers", path)) == [
        "own.json, line 4: the key 'input_power_w' is given twice. Keep one of them."
    ]


def test_the_vocabulary_is_told_by_the_first_line_of_a_row(tmp_path: Path) -> None:
    for name, text in {
        "units.csv": "unit,symbol\n\nw,W\n",
        "choices.csv": 'list,value,symbol,meaning\na,b,"two\nlines",x\na,c,d,e\n',
        "traits.csv": "subject,name\ndriver,power_w\n",
    }.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    lines = lines_of(tmp_path)
    assert lines["units.csv"] == {"w": [3]}
    assert lines["choices.csv"] == {"a.b": [2], "a.c": [4]}


def faulty_drivers(count: int) -> tuple[str, str]:
    entry = '[[driver]]\nid = "D-{0}"\nname = "x"\n[driver.traits]\ninput_power_w = -1\n'
    return "own.toml", 'schema = "drivers/1"\n' + "".join(entry.format(number) for number in range(count))


def doubled_keys(count: int) -> tuple[str, str]:
    pairs = ", ".join(f'"k{number}": 1, "k{number}": 2' for number in range(count))
    return "own.json", f'{{"schema": "drivers/1", "driver": [{{{pairs}}}]}}'


def project_lines(count: int) -> tuple[str, str]:
    table = '[lines."L {0}"]\nkind = "dali_line"\nclosed_ring = false\n'
    return "house.toml", 'schema = "project/1"\n' + "".join(table.format(number) for number in range(count))


def opened(path: Path, dataset: Dataset) -> None:
    if path.name == "house.toml":
        read_setting(dataset, path, None)
    else:
        with_own_equipment(dataset, "drivers", path)


def work_of(call: Callable[[], None]) -> int:
    """How many calls of functions, ours and Python's, something takes."""
    count = 0

    def counted(_frame: FrameType, event: str, _argument: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    sys.setprofile(counted)
    try:
        call()
    except BadInput:
        pass
    finally:
        sys.setprofile(None)
    return count


@pytest.mark.parametrize("made", [faulty_drivers, doubled_keys, project_lines])
def test_work_grows_with_the_file_and_not_faster(
    made: Callable[[int], tuple[str, str]], tmp_path: Path, dataset: Dataset, monkeypatch: pytest.MonkeyPatch
) -> None:
    scans: list[int] = []
    first = positions.Positions.__init__

    def counted(self: positions.Positions, text: str, is_json: bool) -> None:
        scans.append(len(text))
        first(self, text, is_json)

    monkeypatch.setattr(positions.Positions, "__init__", counted)
    work: list[int] = []
    for count in (2, 50, 100, 200):  # the first loads what is loaded once
        name, text = made(count)
        (tmp_path / name).write_text(text, encoding="utf-8")
        scans.clear()
        work.append(work_of(lambda name=name: opened(tmp_path / name, dataset)))  # type: ignore[misc]
        # The dataset's own defaults, which a project file goes before, are scanned as well.
        assert scans == [len(text)] if name != "house.toml" else scans[1:] == [len(text)]
    assert work[3] - work[2] < 2.2 * (work[2] - work[1])


class Counted(str):
    """A key that counts how often it is compared."""

    compared = 0

    def __eq__(self, other: object) -> bool:
        Counted.compared += 1
        return str.__eq__(self, other)

    __hash__ = str.__hash__


def test_a_doubled_key_of_a_schedule_is_found_without_comparing_all_with_all() -> None:
    keys = [Counted(f"k{number}") for number in range(1000)]
    with pytest.raises(_DoubledKey, match="k999"):
        _object([(key, 1) for key in (*keys, Counted("k999"))])
    assert Counted.compared < 20 * len(keys)
