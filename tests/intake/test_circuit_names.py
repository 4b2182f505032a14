"""Several circuits in one cell, and names that only look so."""

from __future__ import annotations

import pytest

from compat.intake.circuit_names import several

ALONE = ("A1", "A2", "A3")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("L1-L4", ["L1", "L2", "L3", "L4"]),
        ("L1 - L3", ["L1", "L2", "L3"]),
        ("L1–L2", ["L1", "L2"]),
        ("L1 to L3", ["L1", "L2", "L3"]),
        ("L1 bis L3", ["L1", "L2", "L3"]),
        ("L01-L03", ["L01", "L02", "L03"]),
        ("L5, L6", ["L5", "L6"]),
        ("L5 & 6", ["L5", "L6"]),
        ("L5 L6 L9", ["L5", "L6", "L9"]),
        ("L5 and L6", ["L5", "L6"]),
        ("L5 et L6", ["L5", "L6"]),
        ("L1/L2", ["L1", "L2"]),
        ("1,3,5", ["1", "3", "5"]),
        ("1/2/3", ["1", "2", "3"]),
        ("L1-L3, L7", ["L1", "L2", "L3", "L7"]),
        ("DB1-L1 - DB1-L3", ["DB1-L1", "DB1-L2", "DB1-L3"]),
        ("1-4", ["1", "2", "3", "4"]),
    ],
)
def test_several(text: str, expected: list[str]) -> None:
    assert several(text, {text, *ALONE}) == expected


@pytest.mark.parametrize(
    ("text", "others"),
    [
        ("L1", ALONE),
        ("Kitchen", ALONE),
        ("Circuit 1", ALONE),
        ("DB1 L3", ALONE),
        ("DB1/L3", ALONE),
        ("4-1", ALONE),
        ("1-2", ("1-1", "1-2", "1-3", "2-1")),
        ("1/2", ("1/1", "1/2", "2/1")),
        ("1-4", ("1-4", "2", "5")),
        ("L1-4", ("L1-1", "L1-2", "L1-4")),
        ("1.2", ALONE),
        ("UV1-F1", ALONE),
        ("L1-L2000", ALONE),
    ],
)
def test_one_name(text: str, others: tuple[str, ...]) -> None:
    assert several(text, {text, *others}) == [text]
