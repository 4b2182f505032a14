"""Every way in which the vocabulary and the published schemas change, with the step it takes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from compat.model.changes import Step
from compat.release.schema_changes import fields_of
from tests.release.diff.editions import Edit, Editions, append, drop_line, swap, told

TRAITS, UNITS, CHOICES = (f"datasets/vocabulary/{name}.csv" for name in ("traits", "units", "choices"))
Told = tuple[str, str, str]
VOCABULARY: dict[str, tuple[Edit, Told, Step]] = {
    "trait added": (
        append(TRAITS, "cable,made_w,quantity,w,,,,made,made for this test,nowhere,\n"),
        ("trait", "cable.made_w", "added"),
        "patch",
    ),
    "trait gone": (
        drop_line(TRAITS, "output,off_state_current_ma,"),
        ("trait", "output.off_state_current_ma", "removed"),
        "major",
    ),
    "unit of a trait": (
        swap(
            TRAITS,
            "driver,light_modulation_percent,quantity,percent",
            "driver,light_modulation_percent,quantity,ratio",
        ),
        ("trait", "driver.light_modulation_percent", "changed"),
        "major",
    ),
    "label of a trait, by which headings are read": (
        swap(TRAITS, ",minimum load,", ",least load,"),
        ("trait", "output.min_load_w", "changed"),
        "minor",
    ),
    "meaning of a trait": (
        swap(TRAITS, "least load with which the output works", "the least load with which it works"),
        ("trait", "output.min_load_w", "reworded"),
        "patch",
    ),
    "unit added": (
        append(UNITS, "mw,mW,power,0.001,active power\n"),
        ("unit", "mw", "added"),
        "patch",
    ),
    "factor of a unit": (
        swap(UNITS, "mohm,mΩ,resistance,0.001", "mohm,mΩ,resistance,0.01"),
        ("unit", "mohm", "changed"),
        "major",
    ),
    "symbol of a unit": (swap(UNITS, "w,W,power", "w,watt,power"), ("unit", "w", "changed"), "minor"),
    "unit gone": (drop_line(UNITS, "nf,"), ("unit", "nf", "removed"), "major"),
    "meaning of a unit": (
        swap(UNITS, "active power", "the active power"),
        ("unit", "w", "reworded"),
        "patch",
    ),
    "word added to a list": (
        append(CHOICES, "conductor_material,aluminium,aluminium,made for this test\n"),
        ("choice", "conductor_material.aluminium", "added"),
        "minor",
    ),
    "list added": (
        append(CHOICES, "made_list,one,one,made for this test\n"),
        ("choice", "made_list.one", "added"),
        "patch",
    ),
    "word gone": (
        drop_line(CHOICES, "breaker_curve,d,"),
        ("choice", "breaker_curve.d", "removed"),
        "major",
    ),
    "how a word is written in schedules": (
        swap(CHOICES, "method,forward_phase,forward phase,", "method,forward_phase,leading edge,"),
        ("choice", "method.forward_phase", "changed"),
        "minor",
    ),
    "meaning of a word": (
        swap(CHOICES, "phase cut at the leading edge", "phase cut at its leading edge"),
        ("choice", "method.forward_phase", "reworded"),
        "patch",
    ),
}


@pytest.mark.parametrize("name", VOCABULARY)
def test_a_change_of_the_vocabulary_has_its_step(name: str, editions: Editions) -> None:
    edit, expected, step = VOCABULARY[name]
    if name == "word gone":
        for root in (editions.old, editions.new):
            (root / "datasets" / "breakers" / "iec-60898-1.toml").write_text(
                'schema = "breakers/1"\n[[breaker]]\nid = "B0001"\nname = "Made"\n'
            )
    changes = editions.after(edit)
    assert told(changes) == [(*expected, step)]
    assert changes.version_step.needed == step


def edited(change: Any, name: str = "rule") -> Edit:
    """An edit of a published schema by a function on its content."""

    def edit(root: Path) -> None:
        path = root / "schemas" / f"{name}.schema.json"
        content = json.loads(path.read_text(encoding="utf-8"))
        change(content)
        path.write_text(json.dumps(content), encoding="utf-8")

    return edit


def citation(schema: Any) -> Any:
    return schema["$defs"]["Citation"]


SCHEMAS: dict[str, tuple[Edit, Told, Step]] = {
    "field added": (
        edited(lambda s: s["properties"].update(made={"type": "string"})),
        ("schema", "rule.made", "added"),
        "patch",
    ),
    "field added that must be there": (
        edited(lambda s: (s["properties"].update(made={"type": "string"}), s["required"].append("made"))),
        ("schema", "rule.made", "added"),
        "major",
    ),
    "field of an answer added that is always there": (
        edited(
            lambda s: (s["properties"].update(made={"type": "string"}), s["required"].append("made")),
            "report",
        ),
        ("schema", "report.made", "added"),
        "patch",
    ),
    "field gone": (
        edited(lambda s: s["properties"].pop("note")),
        ("schema", "rule.note", "removed"),
        "major",
    ),
    "field of a part gone": (
        edited(lambda s: citation(s)["properties"].pop("edition")),
        ("schema", "rule.sources.edition", "removed"),
        "major",
    ),
    "field of a part of a part gone": (
        edited(lambda s: s["$defs"]["Place"]["properties"].pop("cell"), "report"),
        ("schema", "report.circuits.luminaires.place.cell", "removed"),
        "major",
    ),
    "field must be there now": (
        edited(lambda s: citation(s)["required"].append("locator")),
        ("schema", "rule.sources.locator", "changed"),
        "major",
    ),
    "field may be left out now": (
        edited(lambda s: citation(s)["required"].remove("basis")),
        ("schema", "rule.sources.basis", "changed"),
        "minor",
    ),
    "one word more": (
        edited(lambda s: citation(s)["properties"]["basis"]["enum"].append("made")),
        ("schema", "rule.sources.basis", "changed"),
        "minor",
    ),
    "one word less": (
        edited(lambda s: citation(s)["properties"]["basis"]["enum"].remove("measured")),
        ("schema", "rule.sources.basis", "changed"),
        "major",
    ),
    "other type": (
        edited(lambda s: s["properties"]["precedence"].update(type="number")),
        ("schema", "rule.precedence", "changed"),
        "major",
    ),
    "schema gone": (
        lambda root: (root / "schemas" / "lookup.schema.json").unlink(),
        ("schema", "lookup", "removed"),
        "major",
    ),
}


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_change_of_a_schema_has_its_step(name: str, editions: Editions) -> None:
    edit, expected, step = SCHEMAS[name]
    changes = editions.after(edit)
    assert (*expected, step) in told(changes)
    assert {part for part, *_ in told(changes)} == {"schema"}
    assert changes.version_step.needed == step


def test_a_schema_written_in_other_parts_is_the_same(editions: Editions) -> None:
    """Parts are an affair of the writer: a part under another name changes no field."""

    def rename(schema: Any) -> None:
        schema["$defs"]["Reference"] = schema["$defs"].pop("Citation")
        schema["properties"]["sources"]["items"]["$ref"] = "#/$defs/Reference"

    changes = editions.after(edited(rename))
    assert told(changes) == [("file", "schemas/rule.schema.json", "changed", "patch")]


def test_a_part_that_holds_itself_is_told_once() -> None:
    part = {"type": "object", "properties": {"below": {"$ref": "#/$defs/Part"}, "name": {"type": "string"}}}
    found = fields_of({"$defs": {"Part": part}, "properties": {"top": {"$ref": "#/$defs/Part"}}}, "made")
    assert sorted(found) == ["top", "top.below", "top.name"]
