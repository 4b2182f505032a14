"""``compat dataset diff``: exit codes, formats, and what the user reads."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from compat.model.changes import Changes
from compat.report.changes_json import render_changes_json
from compat.report.changes_markdown import plain, render_changes_markdown
from compat.report.changes_text import render_changes_text
from tests.checks.parts import MINIMUM, NEUTRAL
from tests.cli.parts import CIRCUITS, HEAD, OUTPUTS, called, rules_of_three
from tests.conftest import ROOT
from tests.release.diff.editions import Editions, append, copied, drop_entry, swap, version

HIGHER = swap(MINIMUM, 'at_least = "output.min_load_w"', 'at_least = "output.min_load_w * 2"')
REWORDED = swap(NEUTRAL, "Is there a neutral in the box", "Does a neutral lie in the box")


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return rules_of_three(tmp_path_factory.mktemp("house"))


@pytest.fixture
def pair(house: Path, tmp_path: Path) -> Editions:
    return copied(house, tmp_path)


def schedule_options(folder: Path) -> list[str]:
    schedule, outputs = folder / "made.csv", folder / "outputs.toml"
    schedule.write_text(HEAD + "".join(CIRCUITS.values()), encoding="utf-8")
    outputs.write_text(OUTPUTS, encoding="utf-8")
    return ["--schedule", str(schedule), "--outputs", str(outputs)]


def diff(pair: Editions, *options: str) -> tuple[int, str, str]:
    ended = called("dataset", "diff", pair.old, pair.new, *options)
    return ended.code, ended.out, ended.err


def test_a_step_that_is_too_small_ends_with_1_and_says_so(pair: Editions, tmp_path: Path) -> None:
    HIGHER(pair.new)
    version("1.4.3")(pair.new)
    code, out, _ = diff(pair, *schedule_options(tmp_path))
    assert code == 1
    text = " ".join(out.split())
    assert "Dataset 1.4.2 -> 1.4.3: 1 change" in text
    assert "FAULT: The changes take a MINOR step; from 1.4.2 to 1.4.3 is a PATCH step." in text
    assert "Too small: the new version must be 1.5.0 or higher." in text
    assert "tightened - R0007 load-below-minimum (MINOR): worse on" in text
    assert "at_least: output.min_load_w -> output.min_load_w * 2" in text
    assert "Verdicts that moved on made.csv (5 circuits, 0 lines)" in text
    assert "R0007 load-below-minimum - marginal -> fails: 1 circuit: M1" in text


def test_a_step_that_suffices_ends_with_0(pair: Editions, tmp_path: Path) -> None:
    HIGHER(pair.new)
    version("1.5.0")(pair.new)
    code, out, _ = diff(pair, *schedule_options(tmp_path))
    assert code == 0
    assert "That is enough." in " ".join(out.split())
    assert "FAULT" not in out


def test_a_patch_is_enough_for_words(pair: Editions, tmp_path: Path) -> None:
    REWORDED(pair.new)
    version("1.4.3")(pair.new)
    code, out, _ = diff(pair, *schedule_options(tmp_path))
    assert code == 0
    assert "The changes take a PATCH step" in out
    assert out.rstrip().endswith("none")


def test_the_versions_in_the_wrong_order_are_a_fault(pair: Editions, tmp_path: Path) -> None:
    version("1.4.1")(pair.new)
    code, out, _ = diff(pair, *schedule_options(tmp_path))
    assert code == 1
    assert "1.4.1 is lower than 1.4.2; the later edition is named second" in " ".join(out.split())


@pytest.mark.parametrize("format", ["text", "markdown", "json"])
def test_two_runs_give_the_same_bytes(format: str, pair: Editions, tmp_path: Path) -> None:
    HIGHER(pair.new)
    options = [*schedule_options(tmp_path), "--format", format]
    first, second = diff(pair, *options), diff(pair, *options)
    assert first == second
    assert first[0] == 1
    output = tmp_path / "answer"
    code, out, err = diff(pair, *options, "--output", str(output))
    assert (code, out, err) == (1, "", f"written: {output}\n")
    assert output.read_text(encoding="utf-8").endswith("\n")


def test_json_is_by_the_published_schema(pair: Editions, tmp_path: Path) -> None:
    HIGHER(pair.new)
    REWORDED(pair.new)
    code, out, _ = diff(pair, *schedule_options(tmp_path), "--format", "json")
    data = json.loads(out)
    schema = json.loads((ROOT / "schemas" / "changes.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)
    assert code == 1
    assert data["changes"] == "changes/1"
    assert data["version_step"]["needed"] == "minor"
    assert data["counts"] == {"tightened": 1, "reworded": 1}
    assert data["schedules"][0]["moves"][0] == {
        "level": "circuit",
        "rule": "R0007",
        "slug": "load-below-minimum",
        "old": "marginal",
        "new": "fails",
        "stable": True,
        "count": 1,
        "where": ["M1"],
    }


def test_bad_input_is_a_sentence_and_ends_with_2(pair: Editions, tmp_path: Path) -> None:
    ended = called("dataset", "diff", "no-such-revision", pair.new, "--checkout", tmp_path)
    assert (ended.code, ended.out) == (2, "")
    assert ended.err.startswith("no-such-revision: there is ")
    ended = called("dataset", "diff", pair.old, pair.new, "--sheet", "Circuits")
    assert (ended.code, ended.out) == (2, "")
    assert "--sheet: this is about a schedule" in ended.err
    ended = called("dataset", "diff", pair.old, pair.new, "--schedule", tmp_path / "missing.csv")
    assert (ended.code, ended.out) == (2, "")
    assert "missing.csv: there is no such file" in ended.err


def test_an_answer_never_replaces_the_schedule(pair: Editions, tmp_path: Path) -> None:
    options = schedule_options(tmp_path)
    code, out, err = diff(pair, *options, "--output", options[1])
    assert (code, out) == (2, "")
    assert "would replace this file" in err
    assert Path(options[1]).read_text(encoding="utf-8").startswith("Circuit,")


def test_the_help_says_the_steps_and_the_exit_code() -> None:
    ended = called("dataset", "diff", "--help")
    text = " ".join(ended.out.split())
    for words in ("MAJOR:", "MINOR:", "PATCH:", "exit code is 1", "--schedule", "--checkout"):
        assert words in text
    assert ended.code == 0


def test_every_kind_stands_in_text_and_markdown(editions: Editions) -> None:
    changes = editions.after(
        HIGHER,
        REWORDED,
        swap(MINIMUM, '"S0045"', '"S0046"'),
        drop_entry("datasets/drivers/dmx-drivers.toml", "driver", "D0055"),
        append(
            "datasets/vocabulary/traits.csv", "cable,made_w,quantity,w,,,,made,made for this test,nowhere,\n"
        ),
    )
    text, markdown = render_changes_text(changes, 100, False), render_changes_markdown(changes)
    for entry in changes.entries:
        assert entry.id in text
        assert plain(entry.id) in markdown
    assert changes.version_step.needed == "major"
    for heading in ("## Rules", "### Rules: tightened", "### Rules: re-sourced", "## Drivers"):
        assert f"\n{heading}\n" in markdown
    assert "\x1b" not in text
    assert "\x1b" in render_changes_text(changes, 100, True)
    assert Changes.model_validate_json(render_changes_json(changes)) == changes


def test_names_cannot_be_markup() -> None:
    assert plain("<b>*x*</b> [a](b) `c` | d\nnext") == (r"\<b>\*x\*\</b> \[a\](b) \`c\` \| d next")
