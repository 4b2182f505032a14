"""Equipment tables, of the dataset or the user's own: every fault with its line and what is allowed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from compat.dataset.read import Dataset, read_table
from compat.model.values import Interval, TokenSet
from tests.dataset.parts import faults_of

HEAD = 'schema = "drivers/1"\n[[driver]]\nid = "A"\nname = "Lamp"\n[driver.traits]\n'
TRAIT_FAULTS = {
    "unknown trait": ("input_power = 5", "A: 'input_power' is no trait of a driver. Nearest: input_power_w"),
    "trait of another subject": ("max_load_w = 5", "A: 'max_load_w' is no trait of a driver"),
    "low above high": ("input_power_w = [6, 5]", "A input_power_w: the low end 6 is above the high end 5"),
    "table low above high": (
        "input_power_w = { low = 6, high = 5 }",
        "the low end 6 is above the high end 5",
    ),
    "negative": ("input_power_w = -1", "A input_power_w: -1 is outside 0 to 1e+09"),
    "negative low end": ("input_power_w = [-1, 5]", "A input_power_w: [-1, 5] is outside 0 to 1e+09"),
    "too large": ("input_power_w = 1e10", "10000000000.0 is outside 0 to 1e+09"),
    "not a number": ("input_power_w = nan", "A input_power_w: nan is not a finite number"),
    "infinite": ("input_power_w = inf", "A input_power_w: inf is not a finite number"),
    "infinite high end": ("input_power_w = [1, inf]", "A input_power_w: [1, inf] is not a finite number"),
    "text for a number": (
        'input_power_w = "5 W"',
        "A input_power_w: '5 W' is not allowed; allowed: a number of 0 or more",
    ),
    "true for a number": ("input_power_w = true", "True is not allowed; allowed: a number"),
    "three numbers": (
        "input_power_w = [1, 2, 3]",
        "[1, 2, 3] is not allowed; allowed: a number of 0 or more, or two such",
    ),
    "no number": ("input_power_w = []", "[] is not allowed; allowed: a number"),
    "one end only": (
        "input_power_w = { low = 1 }",
        "is not allowed; allowed: a number of 0 or more, or two such numbers",
    ),
    "date": ("input_power_w = 2026-11-25", "is not allowed; allowed: a number"),
    "wrong word": (
        'load_type = "lamp"',
        "A load_type: 'lamp' is not a word of the list 'load_type'; allowed: integral_lamp,",
    ),
    "word in capitals": ('load_type = "MOTOR"', "'MOTOR' is not a word of the list 'load_type'"),
    "words for a word": ('load_type = ["motor"]', "['motor'] is not allowed; allowed: one word of the list"),
    "wrong word in a set": (
        'methods = ["dali", "smoke"]',
        "'smoke' is not a word of the list 'method'; allowed: forward_phase,",
    ),
    "number in a set": ("methods = [1]", "1 is not a word of the list 'method'"),
    "sure but not possible": (
        'methods = { sure = ["dali"], possible = ["dmx"] }',
        "what is sure must be possible too",
    ),
    "sure without possible": (
        'methods = { sure = ["dali"] }',
        "is not allowed; allowed: words of the list, or a table with sure",
    ),
    "text for yes or no": (
        'dimming_forbidden = "no"',
        "A dimming_forbidden: 'no' is not allowed; allowed: true or false",
    ),
    "number for yes or no": ("dimming_forbidden = 0", "0 is not allowed; allowed: true or false"),
    "unknown basis": (
        'input_power_w = { value = 5, basis = "guess" }',
        "basis 'guess' is not allowed; allowed: standard, published,",
    ),
    "unknown field of a value": (
        "input_power_w = { value = 5, unit = 1 }",
        "is not allowed; allowed: a number",
    ),
}


def table(folder: Path, text: str, name: str = "own.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(("line", "sentence"), TRAIT_FAULTS.values(), ids=TRAIT_FAULTS)
def test_a_value_that_does_not_fit(line: str, sentence: str, tmp_path: Path, dataset: Dataset) -> None:
    path = table(tmp_path, HEAD + line + "\n")
    (found,) = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert found.startswith("own.toml, line 6: A")
    assert sentence in found


SHAPES = {
    "no schema": (
        HEAD.replace('schema = "drivers/1"\n', ""),
        'own.toml: schema is None. Allowed: schema = "drivers/1".',
    ),
    "schema of outputs": (
        HEAD.replace("drivers/1", "outputs/1"),
        "line 1: schema is 'outputs/1'. Allowed: schema = \"drivers/1\"",
    ),
    "later schema": (HEAD.replace("drivers/1", "drivers/2"), "schema is 'drivers/2'"),
    "heading of outputs": (
        HEAD.replace("driver]", "output]").replace("driver.t", "output.t"),
        "line 2: 'output' is no part of a drivers file. Allowed: [[driver]]",
    ),
    "no entries": ('schema = "drivers/1"\n', "the file has no entries. Allowed: one or more [[driver]]"),
    "one entry in single brackets": (HEAD.replace("[[driver]]", "[driver]"), "the file has no entries"),
    "entries that are none": ('schema = "drivers/1"\ndriver = [1]\n', "the file has no entries"),
    "empty file": ("", "schema is None"),
    "unknown field": (
        HEAD.replace("name =", "naem =") + "",
        "line 4, driver.0.naem: 'naem' is no field of this file. Nearest: name",
    ),
    "missing name": (HEAD.replace('name = "Lamp"\n', ""), "line 2, driver.0.name: 'name' is missing. Add it"),
    "bad id": (
        HEAD.replace('"A"', '"A B"'),
        "line 3, driver.0.id: 'A B' is not allowed. String should match pattern",
    ),
    "empty id": (HEAD.replace('"A"', '""'), "line 3, driver.0.id: '' is not allowed"),
    "id that is a path": (HEAD.replace('"A"', '"../A"'), "'../A' is not allowed"),
    "number as id": (
        HEAD.replace('"A"', "7"),
        "line 3, driver.0.id: 7 is not allowed. Input should be a valid string",
    ),
    "long name": (HEAD.replace("Lamp", "L" * 121), "String should have at most 120 characters"),
    "name with an escape code": (
        HEAD.replace("Lamp", "\\u001b[31mLamp"),
        "line 4: A: the name holds a character that cannot be shown",
    ),
    "name of two lines": (HEAD.replace("Lamp", "La\\nmp"), "the name holds a character that cannot be shown"),
    "wrong basis of the entry": (
        HEAD.replace("name =", 'basis = "x"\nname ='),
        "line 4, driver.0.basis: 'x' is not allowed. Input should be 'standard', 'published'",
    ),
    "bad slug": (
        HEAD.replace("name =", 'slug = "A_b"\nname ='),
        "line 4, driver.0.slug: 'A_b' is not allowed",
    ),
    "traits that are no table": (
        HEAD.replace("[driver.traits]\n", "traits = 1\n"),
        "line 5, driver.0.traits: 1 is not allowed",
    ),
    "id given twice": (HEAD + HEAD.split("\n", 1)[1], "own.toml, line 7: the id A is given twice."),
}


@pytest.mark.parametrize(("text", "sentence"), SHAPES.values(), ids=SHAPES)
def test_a_file_of_the_wrong_shape(text: str, sentence: str, tmp_path: Path, dataset: Dataset) -> None:
    path = table(tmp_path, text)
    found = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert any(sentence in line for line in found), found


def test_the_line_of_a_fault_is_that_of_its_own_entry(tmp_path: Path, dataset: Dataset) -> None:
    """Entries have the same keys, so a key alone does not say where."""
    entries = HEAD + 'colour = "none"\ninput_power_w = 5\n'
    second = entries.split("\n", 1)[1].replace('"A"', '"B"')
    text = (
        entries + second.replace("= 5", "= -5").replace('"none"', '"grey"') + second.replace('"B"', '"C C"')
    )
    path = table(tmp_path, text)
    found = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert [line.split(":")[0] for line in found] == [
        "own.toml, line 12",
        "own.toml, line 13",
        "own.toml, line 15, driver.2.id",
    ]


def test_all_faults_of_a_file_are_told_at_once(tmp_path: Path, dataset: Dataset) -> None:
    text = HEAD + "input_power_w = -1\npower_factor = nan\nweight = 1\n"
    path = table(tmp_path, text)
    assert len(faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))) == 3


BROKEN_TOML = {
    "no quotes": (
        "schema = drivers/1\n",
        "own.toml, line 1: this is not TOML: Invalid value. Mend the line.",
    ),
    "open bracket": (HEAD + "input_power_w = [1, 2\n", "this is not TOML: Unclosed array"),
    "key twice": (
        HEAD + "colour = 1\ncolour = 2\n",
        "own.toml, line 7: this is not TOML: Cannot overwrite a value",
    ),
    "decimal comma": (HEAD + "input_power_w = 5,5\n", "own.toml, line 6: this is not TOML: Expected newline"),
    "binary": ("\x00\x01", "line 1: this is not TOML"),
    "unit behind the figure": (HEAD + "input_power_w = 5 W\n", "own.toml, line 6: this is not TOML"),
    "deeply nested": ("a = " + "[" * 3000 + "]" * 3000, "own.toml"),
}


@pytest.mark.parametrize(("text", "sentence"), BROKEN_TOML.values(), ids=BROKEN_TOML)
def test_broken_toml_names_the_line(text: str, sentence: str, tmp_path: Path, dataset: Dataset) -> None:
    path = table(tmp_path, text)
    (found,) = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert sentence in found


def test_files_that_cannot_be_read(tmp_path: Path, dataset: Dataset) -> None:
    missing = tmp_path / "missing.toml"
    (found,) = faults_of(lambda: read_table(missing, "drivers", dataset.vocabulary))
    assert found == f"{missing}: there is no such file. Check the path."
    (found,) = faults_of(lambda: read_table(tmp_path, "drivers", dataset.vocabulary))
    assert found == f"{tmp_path}: this is a folder. Name a file."
    latin = tmp_path / "latin.toml"
    latin.write_bytes(HEAD.replace("Lamp", "L\xe4mp").encode("latin-1"))
    (found,) = faults_of(lambda: read_table(latin, "drivers", dataset.vocabulary))
    assert "UTF-8 text is expected" in found
    large = tmp_path / "large.toml"
    with large.open("wb") as file:
        file.truncate(20_000_001)
    (found,) = faults_of(lambda: read_table(large, "drivers", dataset.vocabulary))
    assert found == "large.toml: the file is larger than 20 MB. Split it."


OWN_JSON = {
    "schema": "drivers/1",
    "driver": [
        {
            "id": "A",
            "name": "Lamp",
            "traits": {
                "input_power_w": [5, 6],
                "methods": {"sure": ["switched"], "possible": ["switched", "dali"]},
                "load_type": "integral_lamp",
                "dimming_forbidden": True,
                "power_factor": "unknown",
            },
        }
    ],
}


def test_a_table_may_be_json(tmp_path: Path, dataset: Dataset) -> None:
    path = table(tmp_path, json.dumps(OWN_JSON), "own.json")
    found = read_table(path, "drivers", dataset.vocabulary)["A"]
    assert {name: trait.content for name, trait in found.traits.items()} == {
        "input_power_w": Interval(5.0, 6.0),
        "methods": TokenSet(frozenset({"switched"}), frozenset({"switched", "dali"})),
        "load_type": "integral_lamp",
        "dimming_forbidden": True,
        "power_factor": None,
    }


BROKEN_JSON = {
    "comma at the end": ('{"schema": "drivers/1",}', "own.json, line 1: this is not JSON: "),
    "open brace": ('{\n"schema": "drivers/1"\n', "own.json, line 3: this is not JSON: "),
    "list": ("[]", "own.json: the file holds no object. Allowed: an object with 'schema'."),
    "number": ("1", "the file holds no object"),
    "nested": ("[" * 100000 + "]" * 100000, "the file is nested too deeply"),
    "not a number": (
        json.dumps(OWN_JSON).replace("[5, 6]", "NaN"),
        "A input_power_w: nan is not a finite number",
    ),
    "infinite": (
        json.dumps(OWN_JSON).replace("[5, 6]", "1e999"),
        "A input_power_w: inf is not a finite number",
    ),
    "low above high": (
        json.dumps(OWN_JSON, indent=1).replace("5,", "7,"),
        "the low end 7 is above the high end 6",
    ),
    "null": (
        json.dumps(OWN_JSON).replace("[5, 6]", "null"),
        "A input_power_w: None is not allowed; allowed: a number",
    ),
    "word": (
        json.dumps(OWN_JSON).replace("integral_lamp", "lamp"),
        "'lamp' is not a word of the list 'load_type'",
    ),
    "trait": (json.dumps(OWN_JSON).replace("power_factor", "powerfactor"), "Nearest: power_factor"),
    "id": (json.dumps(OWN_JSON).replace('"A"', '"\\u001b"'), "driver.0.id: '\\x1b' is not allowed"),
    "half a character": (json.dumps(OWN_JSON).replace("Lamp", "\\ud800"), "driver.0.name"),
}


@pytest.mark.parametrize(("text", "sentence"), BROKEN_JSON.values(), ids=BROKEN_JSON)
def test_faults_of_json(text: str, sentence: str, tmp_path: Path, dataset: Dataset) -> None:
    path = table(tmp_path, text, "own.json")
    found = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert any(sentence in line for line in found), found


def test_a_fault_in_json_has_its_line_when_it_stands_on_its_own(tmp_path: Path, dataset: Dataset) -> None:
    path = table(tmp_path, json.dumps(OWN_JSON, indent=1).replace("integral_lamp", "lamp"), "own.json")
    (found,) = faults_of(lambda: read_table(path, "drivers", dataset.vocabulary))
    assert found.startswith("own.json, line 21: A load_type")


def test_values_carry_basis_source_and_place(tmp_path: Path, dataset: Dataset) -> None:
    text = HEAD.replace("name =", 'basis = "common_practice"\nsource = "S0001"\nname =')
    text += "input_power_w = 5\n"
    text += 'inrush_peak_a = { low = 8, high = 9, basis = "measured", source = "S0003", locator = "x" }\n'
    traits = read_table(table(tmp_path, text), "drivers", dataset.vocabulary)["A"].traits
    power, peak = traits["input_power_w"], traits["inrush_peak_a"]
    assert (power.content, power.basis, power.source) == (Interval(5.0, 5.0), "common_practice", "S0001")
    assert (peak.content, peak.basis, peak.source) == (Interval(8.0, 9.0), "measured", "S0003")
    assert power.origin is not None
    assert power.origin.text() == "own.toml, A input_power_w"


def test_a_value_from_memory_is_kept_and_not_known(tmp_path: Path, dataset: Dataset) -> None:
    """It is shown, but never decides."""
    text = (
        HEAD
        + 'input_power_w = { value = 5, basis = "memory" }\ncolour = { value = "none", basis = "memory" }\n'
    )
    traits = read_table(table(tmp_path, text), "drivers", dataset.vocabulary)["A"].traits
    assert (traits["input_power_w"].content, traits["input_power_w"].recalled) == (None, Interval(5.0, 5.0))
    assert (traits["colour"].content, traits["colour"].recalled) == (None, "none")
    whole = table(tmp_path, HEAD.replace("name =", 'basis = "memory"\nname =') + "power_factor = 0.9\n")
    entry = read_table(whole, "drivers", dataset.vocabulary)["A"]
    assert (entry.traits["power_factor"].content, entry.traits["power_factor"].basis) == (None, "memory")


def test_an_entry_without_traits_knows_nothing(tmp_path: Path, dataset: Dataset) -> None:
    entry = read_table(table(tmp_path, HEAD), "drivers", dataset.vocabulary)["A"]
    assert (entry.name, entry.traits, entry.invented) == ("Lamp", {}, False)
