"""Broken JSON files, and the sentence the user must see for each."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.intake.files import sentences, write_csv

JSON: dict[str, tuple[str, list[str]]] = {
    "not JSON": (
        '[{"circuit":\n "C1" 6}]',
        ["h.json, line 2: the file is not JSON: Expecting ',' delimiter at column 7. Mend it there."],
    ),
    "not a list": (
        '"C1"',
        ["h.json: the file is not a list of rows. A list of rows, each an object with the headings as keys, "
         "or an object with the key rows."],
    ),
    "no rows": (
        "[]",
        ["h.json: the file has no rows. A list of rows, each an object with the headings as keys, or an "
         "object with the key rows."],
    ),
    "unknown key beside rows": (
        '{"row": []}',
        ["h.json: the key 'row' is not known. A list of rows, each an object with the headings as keys, "
         "or an object with the key rows. Nearest: rows."],
    ),
    "a row that is a list": (
        '[{"circuit": "C1", "quantity": 1}, ["C2", 1]]',
        ["h.json, rows[1]: the row is not an object. A list of rows, each an object with the headings as "
         "keys, or an object with the key rows."],
    ),
    "unknown heading": (
        '[{"circuit": "C1", "quantity": 1, "fabric": 2}]',
        ["h.json, key fabric: the heading 'fabric' is not known. Put # before the heading to leave the "
         "column out."],
    ),
    "key twice": (
        '[{"circuit": "C1", "circuit": "C2", "quantity": 1}]',
        ["h.json: the key 'circuit' stands twice in one object. Keep one of them."],
    ),
    "negative": (
        '[{"circuit": "C1", "quantity": 1, "input_power_w": -5}]',
        ["h.json, rows[0].input_power_w: '-5' is below zero. The input power in W is 0 or more."],
    ),
    "NaN": (
        '[{"circuit": "C1", "quantity": 1, "input_power_w": NaN}]',
        ["h.json, rows[0].input_power_w: the value is not a finite number. Write a number, or leave the cell "
         "empty when it is not known."],
    ),
    "a nested value": (
        '[{"circuit": "C1", "quantity": 1, "input_power_w": {"low": 5}}]',
        ["h.json, rows[0].input_power_w: the value is nested and cannot be read. Give a number, a text, a "
         "list of words, or a list of the lower and the upper number."],
    ),
    "an escape sequence": (
        '[{"circuit": "C\\u001b[31m", "quantity": 1}]',
        ["h.json, rows[0].circuit: 'C?[31m' holds control characters. Type it again."],
    ),
    "nested too deeply": (
        "[" * 100_000,
        ["h.json: the file is nested too deeply. A list of rows, each an object with the headings as "
         "keys, or an object with the key rows."],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), JSON.values(), ids=JSON.keys())
def test_json(tmp_path: Path, text: str, expected: list[str]) -> None:
    assert sentences(write_csv(tmp_path / "h.json", text)) == expected
