"""Where keys and list entries of TOML and JSON texts stand, held against the parsers."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
import tomli
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.dataset.positions import KeyPlace, Positions

TEXT = """\
schema = "drivers/1"
note = "[[driver]] is no heading # and this no comment"  # id = "X"
story = '''
[driver]
id = "B"
'''
[[driver]]
id = "A"
[driver.traits]
"quoted.key" = 1
power = 5

[[driver]]
id = "B"
traits.power = 6
  [[driver.sources]]
  source = "S0001"
  at = 2026-11-25 10:00:00

[offer]
outputs = [
    "O0001",  # ]
    "O0002", { a.b = 1, "c" = [1] },
]
"""


@pytest.mark.parametrize(
    ("steps", "line"),
    [
        (("schema",), 1),
        (("note",), 2),
        (("driver",), 7),
        (("driver", 0), 7),
        (("driver", 0, "id"), 8),
        (("driver", 0, "traits"), 9),
        (("driver", 0, "traits", "quoted.key"), 10),
        (("driver", 0, "traits", "power"), 11),
        (("driver", 1), 13),
        (("driver", 1, "traits", "power"), 15),
        (("driver", 1, "sources", 0, "source"), 17),
        (("driver", 1, "missing"), 13),
        (("driver", 0, "not there", "id"), 8),
        (("driver", 7), 7),
        (("offer",), 20),
        (("offer", "outputs", 0), 22),
        (("offer", "outputs", 1), 23),
        (("offer", "outputs", 2, "a", "b"), 23),
        (("offer", "outputs", 2, "c", 0), 23),
        (("none",), None),
        ((), None),
    ],
)
def test_lines_of_toml(steps: tuple[str | int, ...], line: int | None) -> None:
    assert Positions(TEXT, False).line(*steps) == line


def test_lines_of_json() -> None:
    text = json.dumps({"schema": "drivers/1", "driver": [{"id": "A", "traits": {"power": 5}}]}, indent=1)
    positions = Positions(text, True)
    assert positions.line("driver", 0, "traits", "power") == 7
    assert positions.line("driver", 0) == 4
    assert positions.doubled == []


def test_a_line_break_is_only_what_the_formats_call_one() -> None:
    """Other marks that Python takes for the end of a line may stand inside a text."""
    assert Positions('a = "x\u2028y\x85z"\nb = 1\n', False).line("b") == 2


def test_keys_given_twice_in_json_are_found_with_their_lines() -> None:
    text = '{\n"a": 1,\n"b": {"a": 1, "c": 2,\n"\\u0061": 3},\n"a": 2,\n"a": 3}'
    assert Positions(text, True).doubled == [("a", 4), ("a", 5), ("a", 6)]


def test_depth_needs_no_stack() -> None:
    assert len(Positions("[" * 100_000 + "]" * 100_000, True).root.below) == 1


KEYS = st.text(st.characters(exclude_categories=["Cs"]), max_size=5) | st.sampled_from(
    ["a", "b", "a.b", "0", "="]
)
SCALARS = (
    st.booleans()
    | st.integers(-(10**9), 10**9)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
    | st.sampled_from(["]", "[[a]]", "# no comment", "a = 1", '"""', "'''", "\\", '"', ",}", "x\ny = 1\n"])
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=20,
)


def places_of(value: Any) -> dict[str | int, Any]:
    """The steps in a parsed value, as a tree."""
    if isinstance(value, dict):
        return {key: places_of(below) for key, below in value.items()}
    return {n: places_of(below) for n, below in enumerate(value)} if isinstance(value, list) else {}


def tree(place: KeyPlace) -> dict[str | int, Any]:
    return {step: tree(below) for step, below in place.below.items()}


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(KEYS, VALUES, max_size=5), st.sampled_from([None, 0, 2]), st.booleans())
def test_every_step_of_json_is_found_where_it_is_written(
    data: dict[str, Any], indent: int | None, ascii_only: bool
) -> None:
    text = json.dumps(data, indent=indent, ensure_ascii=ascii_only)
    positions = Positions(text, True)
    assert tree(positions.root) == places_of(json.loads(text))
    assert positions.doubled == []
    decoder = json.JSONDecoder()

    def follow(place: KeyPlace, value: Any) -> None:
        for step, below in place.below.items():
            found, _ = decoder.raw_decode(text, below.offset)
            assert found == (step if isinstance(step, str) else value[step])
            follow(below, value[step])

    follow(positions.root, data)


def basic(text: str) -> str:
    """A text as a basic string of TOML, which JSON's is but for one character."""
    return json.dumps(text).replace("\x7f", "\\u007F")


def strings(text: str, style: int) -> str:
    """A text in one of the ways of TOML, a basic string where that way cannot write it."""
    printable = all(c.isprintable() for c in text)
    if style == 1 and printable and "'" not in text:
        return f"'{text}'"
    if style == 2 and printable and "'''" not in text and not text.endswith("'"):
        return f"'''\n{text}'''"
    if style == 3 and printable and "\\" not in text and '"""' not in text:
        return f'"""{text}"""' if not text.startswith('"""') else basic(text)
    return basic(text).encode("utf-16", "surrogatepass").decode("utf-16") if text.isascii() else quoted(text)


def quoted(text: str) -> str:
    return '"' + "".join(c if c.isalnum() else f"\\U{ord(c):08x}" for c in text) + '"'


def inline(value: Any, draw: st.DrawFn) -> str:
    """A value as TOML writes it in one place, with blanks and comments where they may stand."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return strings(value, draw(st.integers(0, 3)))
    if isinstance(value, list):
        gap = draw(st.sampled_from(["", " ", "\n  ", " # [ comment\n "]))
        comma = draw(st.sampled_from(["", ","])) if value else ""
        return "[" + gap + f",{gap}".join(inline(part, draw) for part in value) + gap + comma + gap + "]"
    if isinstance(value, dict):
        return (
            "{ "
            + ", ".join(f"{key(name, draw)} = {inline(part, draw)}" for name, part in value.items())
            + " }"
        )
    return repr(value)


def key(name: str, draw: st.DrawFn) -> str:
    bare = bool(name) and all(c.isascii() and (c.isalnum() or c in "-_") for c in name)
    return name if bare and draw(st.booleans()) else quoted(name)


def written(data: dict[str, Any], lead: str, draw: st.DrawFn) -> Iterator[str]:
    """The lines of a table: values, dotted keys, then tables and lists of tables under headings."""
    later: list[tuple[str, Any]] = []
    for name, value in data.items():
        many = isinstance(value, list) and bool(value) and all(isinstance(part, dict) for part in value)
        if (isinstance(value, dict) or many) and draw(st.booleans()):
            later.append((name, value))
        elif isinstance(value, dict) and value and draw(st.booleans()):
            yield from (f"{key(name, draw)} . {key(k, draw)} = {inline(v, draw)}" for k, v in value.items())
        else:
            yield f"{key(name, draw)} = {inline(value, draw)}{draw(st.sampled_from(['', '  # = [x]']))}"
    for name, value in later:
        full = f"{lead}{' . ' if lead else ''}{key(name, draw)}"
        if isinstance(value, dict):
            yield f"[ {full} ]"
            yield from written(value, full, draw)
        else:
            for part in value:
                yield f"[[{full}]]  # an entry"
                yield from written(part, full, draw)


@st.composite
def documents(draw: st.DrawFn) -> str:
    data = draw(st.dictionaries(KEYS, VALUES, max_size=5))
    return "\n".join(written(data, "", draw)) + draw(st.sampled_from(["", "\n"]))


@settings(max_examples=300, deadline=None)
@given(documents())
def test_every_step_of_toml_is_found_where_it_is_written(text: str) -> None:
    data = tomli.loads(text)
    positions = Positions(text, False)
    assert tree(positions.root) == places_of(data)

    def follow(place: KeyPlace, value: Any) -> None:
        for step, below in place.below.items():
            here = text[below.offset :]
            if here.startswith("[") and isinstance(value[step], dict | list) and not isinstance(step, int):
                assert here.startswith("[")
            elif isinstance(step, str):
                named = tomli.loads(f"x = {{ {until_value(here)} = 0 }}")["x"]
                assert list(named) == [step]
            elif not here.startswith("["):
                assert value[step] == first_value(here, value[step])
            follow(below, value[step])

    follow(positions.root, data)


def until_value(text: str) -> str:
    """The one key at the head of a text: the shortest start that the parser takes for a key."""
    for end in range(1, len(text) + 1):
        try:
            tomli.loads(f"{text[:end]} = 0")
        except tomli.TOMLDecodeError:
            continue
        if end == len(text) or text[end] in " =.]" or text[0] in "\"'":
            return text[:end]
    return text


def first_value(text: str, expected: Any) -> Any:
    """The value at the head of a text, tried as the parser takes it, from short to long."""
    for end in range(1, len(text) + 1):
        try:
            found = tomli.loads(f"x = {text[:end]}")["x"]
        except tomli.TOMLDecodeError:
            continue
        if found == expected:
            return found
    return None
