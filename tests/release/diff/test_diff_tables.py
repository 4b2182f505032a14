"""Every way in which tables, references, defaults and files change, with the step it takes."""

from __future__ import annotations

import pytest

from compat.model.changes import Step
from tests.release.diff.editions import Edit, Editions, append, drop_entry, drop_line, field, only, swap, told

DRIVERS = "datasets/drivers/dmx-drivers.toml"
OUTPUTS = "datasets/outputs/dmx.toml"
CABLES = "datasets/cables/awg-copper.toml"
SOURCES = "datasets/sources/rules.toml"
DEFAULTS = "datasets/defaults.toml"
DRIVER = '\n[[driver]]\nid = "D0900"\nname = "Made"\n[driver.traits]\ninput_power_w = 20\n'
OUTPUT = '\n[[output]]\nid = "O0900"\nname = "Made"\n[output.traits]\nmethod = "switched"\n'
SOURCE = '\n[[source]]\nid = "S0900"\nshort = "M"\ntitle = "Made"\nkind = "article"\nread_as = "read"\n'
Told = tuple[str, str, str]

EXAMPLES: dict[str, tuple[list[Edit], Told, Step]] = {
    "driver added": ([append(DRIVERS, DRIVER)], ("driver", "D0900", "added"), "patch"),
    "output added, which may be proposed": (
        [append(OUTPUTS, OUTPUT)],
        ("output", "O0900", "added"),
        "minor",
    ),
    "driver gone": (
        [drop_entry(DRIVERS, "driver", "D0055")],
        ("driver", "D0055", "removed"),
        "major",
    ),
    "id given anew": ([swap(CABLES, '"C0010"', '"C0910"')], ("cable", "C0010", "removed"), "major"),
    "value changed": (
        [swap(DRIVERS, "input_power_w = [19, 22.5]", "input_power_w = [19, 23]")],
        ("driver", "D0054", "changed"),
        "minor",
    ),
    "value gone": (
        [swap(DRIVERS, "input_power_w = [19, 22.5]\n", "")],
        ("driver", "D0054", "changed"),
        "minor",
    ),
    "value from memory now, so not known": (
        [
            swap(
                CABLES,
                'value = 33.31, basis = "derived", source = "S0117"',
                'value = 33.31, basis = "memory", source = "S0002"',
            )
        ],
        ("cable", "C0009", "changed"),
        "minor",
    ),
    "value from elsewhere": (
        [swap(CABLES, '33.31, basis = "derived"', '33.31, basis = "measured"')],
        ("cable", "C0009", "re_sourced"),
        "patch",
    ),
    "another clause": (
        [swap(OUTPUTS, "slots 1 to 512 carry data", "512 slots")],
        ("output", "O0047", "re_sourced"),
        "patch",
    ),
    "new slug": (
        [swap(CABLES, '"copper-awg-20"', '"solid-copper-awg-20"')],
        ("cable", "C0009", "renamed"),
        "patch",
    ),
    "new name": ([swap(CABLES, "Copper, 20 AWG", "Copper, AWG 20")], ("cable", "C0009", "reworded"), "patch"),
    "checked again": (
        [swap(OUTPUTS, 'checked_on = "2026-11-25"', 'checked_on = "2026-12-01"')],
        ("output", "O0047", "reworded"),
        "patch",
    ),
    "reference added": ([append(SOURCES, SOURCE)], ("source", "S0900", "added"), "patch"),
    "reference gone": ([swap(SOURCES, '"S0002"', '"S0902"')], ("source", "S0002", "removed"), "major"),
    "reference reworded": (
        [swap(SOURCES, 'short = "From memory"', 'short = "Remembered"')],
        ("source", "S0002", "changed"),
        "patch",
    ),
    "default changed": (
        [swap(DEFAULTS, "cable_length_m = [5, 40]", "cable_length_m = [5, 50]")],
        ("default", "circuit_defaults.cable_length_m", "changed"),
        "minor",
    ),
    "default gone": (
        [drop_line(DEFAULTS, "hot_restart_wanted")],
        ("default", "circuit_defaults.hot_restart_wanted", "removed"),
        "minor",
    ),
    "comment only": ([append(CABLES, "# Made.\n")], ("file", CABLES, "changed"), "patch"),
    "licence of the package": (
        [swap("datasets/datapackage.json", '"CC0 1.0 Universal"', '"CC0 1.0"')],
        ("file", "datasets/datapackage.json", "changed"),
        "patch",
    ),
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_change_of_a_table_has_its_word_and_its_step(name: str, editions: Editions) -> None:
    edits, expected, step = EXAMPLES[name]
    changes = editions.after(*edits)
    assert (*expected, step) in told(changes)
    assert changes.version_step.needed == step
    assert changes.version_step.because[0].startswith(f"{expected[0]} {expected[1]} ")


def test_an_id_given_anew_is_one_gone_and_one_added(editions: Editions) -> None:
    changes = editions.after(swap(CABLES, '"C0010"', '"C0910"'))
    assert told(changes) == [("cable", "C0010", "removed", "major"), ("cable", "C0910", "added", "patch")]
    assert changes.counts == {"removed": 1, "added": 1}
    assert changes.version_step.needed == "major"


def test_values_are_told_with_their_unit_before_and_after(editions: Editions) -> None:
    change = only(editions.after(swap(DRIVERS, "input_power_w = [19, 22.5]\n", "")))
    power = field(change, "input_power_w")
    assert (power.old, power.new) == ("19 to 22.5 W", "not known")
    assert change.step == "minor"


def test_a_figure_from_memory_moves_nothing(editions: Editions) -> None:
    memory = 'value = 33.31, basis = "memory", source = "S0002"'
    swap(CABLES, 'value = 33.31, basis = "derived", source = "S0117"', memory)(editions.old)
    changes = editions.after(
        swap(
            CABLES,
            'value = 33.31, basis = "derived", source = "S0117"',
            memory.replace("33.31", "34"),
        )
    )
    assert told(changes) == [("cable", "C0009", "changed", "patch")]
    assert field(only(changes), "resistance_ohm_per_km").new == "34 Ω/km, from memory"
    assert changes.version_step.needed == "patch"


def test_a_number_written_otherwise_is_no_change_of_its_value(editions: Editions) -> None:
    changes = editions.after(swap(CABLES, "value = 33.31,", "low = 33.31, high = 33.310,"))
    assert told(changes) == [("file", CABLES, "changed", "patch")]


def test_the_same_dataset_takes_no_step(editions: Editions) -> None:
    changes = editions.changes()
    assert changes.entries == []
    assert changes.counts == {}
    assert changes.version_step.needed == "none"
    assert changes.version_step.suffices
