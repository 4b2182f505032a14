"""Finding the line of a key in a TOML or JSON text, for the faults that name it."""

from __future__ import annotations

import json

import pytest

from compat.dataset.toml_files import line_of

TEXT = """\
schema = "drivers/1"

[[driver]]
id = "A"
[driver.traits]
"quoted.key" = 1
power = 5

[[driver]]
id = "B"
[driver.traits]
power = 6

  [[driver.sources]]
  source = "S0001"

[offer]
outputs = [
    "O0001",
    "O0002", "O0003",
]
"""


@pytest.mark.parametrize(
    ("keys", "line"),
    [
        (("schema",), 1),
        (("driver",), 3),
        (("id",), 4),
        (("A",), 4),
        (("B",), 10),
        (("power",), 7),
        (("B", "power"), 12),
        (("driver", 0, "power"), 7),
        (("driver", 1), 9),
        (("driver", 1, "id"), 10),
        (("driver", 1, "traits", "power"), 12),
        (("driver", 1, "sources", 0, "source"), 15),
        (("driver", 0, "source"), 3),
        (("driver", 7, "id"), 4),
        (("quoted.key",), 6),
        (("traits",), 5),
        (("offer", "outputs"), 18),
        (("O0001",), 19),
        (("O0002",), 20),
        (("none",), None),
        ((), None),
        (("offer", "none"), 17),
    ],
)
def test_line_of_keys(keys: tuple[str | int, ...], line: int | None) -> None:
    assert line_of(TEXT, *keys) == line


def test_line_of_a_key_in_json() -> None:
    text = json.dumps({"schema": "drivers/1", "driver": [{"id": "A", "traits": {"power": 5}}]}, indent=1)
    assert line_of(text, "driver", 0, "traits", "power") == 7


def test_a_key_is_no_pattern() -> None:
    assert line_of("a.b = 1\naxb = 2\n", "axb") == 2
    assert line_of("a = 1\n", ".") is None
