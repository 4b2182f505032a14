"""Every way in which a rule changes, told in its word and with the step it takes by section 8."""

from __future__ import annotations

from pathlib import Path

import pytest

from compat.model.changes import Step
from tests.checks.parts import MINIMUM, MINIMUM_CASES, MOTOR, NEUTRAL
from tests.release.diff.editions import Edit, Editions, append, drop_line, field, only, swap, told

PREVIEW = 'status = "preview"'
STABLE = 'status = "stable"'
LIMIT = 'at_least = "output.min_load_w"'
APPLIES = 'applies = "output.needs_neutral"'


def withdrawn(by: str = "") -> str:
    follower = f'\nsuperseded_by = ["{by}"]' if by else ""
    return f'status = "withdrawn"\nwithdrawn_because = "Made for this test."{follower}'


def added(status: str) -> Edit:
    """A new rule: the one on the neutral once more, under another id."""

    def edit(root: Path) -> None:
        text = (root / NEUTRAL).read_text(encoding="utf-8")
        text = text.replace("R0033", "R0900").replace("neutral-missing", "neutral-missing-too")
        path = (root / NEUTRAL).with_name("neutral-missing-too.toml")
        path.write_text(text.replace(STABLE, status), encoding="utf-8")

    return edit


def removed(root: Path) -> None:
    (root / MINIMUM).unlink()
    (root / MINIMUM_CASES).unlink()


def renamed(root: Path) -> None:
    path = root / NEUTRAL
    text = path.read_text(encoding="utf-8").replace('slug = "neutral-missing"', 'slug = "no-neutral"')
    path.unlink()
    path.with_name("no-neutral.toml").write_text(text, encoding="utf-8")
    cases = path.with_name("neutral-missing.cases.toml")
    cases.rename(cases.with_name("no-neutral.cases.toml"))


def moved_to_another_family(root: Path) -> None:
    for name in ("load-below-minimum.toml", "load-below-minimum.cases.toml"):
        (root / "rules" / "load" / name).rename(root / "rules" / "switching" / name)


EXAMPLES: dict[str, tuple[list[Edit], list[tuple[str, str]], Step]] = {
    "added and stable": ([added(STABLE)], [("R0900", "added")], "minor"),
    "added as a preview": ([added(PREVIEW)], [("R0900", "added")], "patch"),
    "deleted": ([removed], [("R0007", "removed")], "major"),
    "withdrawn": ([swap(MINIMUM, STABLE, withdrawn())], [("R0007", "withdrawn")], "major"),
    "withdrawn with a successor": (
        [swap(MINIMUM, STABLE, withdrawn("R0033"))],
        [("R0007", "withdrawn")],
        "minor",
    ),
    "withdrawn with a successor that is not there": (
        [swap(MINIMUM, STABLE, withdrawn("R0999"))],
        [("R0007", "withdrawn")],
        "major",
    ),
    "preview again": ([swap(MINIMUM, STABLE, PREVIEW)], [("R0007", "demoted")], "minor"),
    "retiring": ([swap(MINIMUM, STABLE, 'status = "retiring"')], [("R0007", "retiring")], "patch"),
    "renamed": ([renamed], [("R0033", "renamed")], "patch"),
    "in another family": ([moved_to_another_family], [("R0007", "renamed")], "patch"),
    "limit raised": (
        [swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w * 1.1"')],
        [("R0007", "tightened")],
        "minor",
    ),
    "limit lowered": (
        [swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w * 0.99"')],
        [("R0007", "loosened")],
        "minor",
    ),
    "limit moved by a constant": (
        [swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w - w(0.5)"')],
        [("R0007", "loosened")],
        "minor",
    ),
    "breach graver": ([swap(NEUTRAL, '"fails"', '"hazard"')], [("R0033", "tightened")], "minor"),
    "breach lighter": ([swap(NEUTRAL, '"fails"', '"marginal"')], [("R0033", "loosened")], "minor"),
    "applies to more": (
        [swap(NEUTRAL, APPLIES, 'applies = "always"')],
        [("R0033", "tightened")],
        "minor",
    ),
    "applies to fewer": (
        [swap(NEUTRAL, APPLIES, 'applies = "output.needs_neutral and output.method == switched"')],
        [("R0033", "loosened")],
        "minor",
    ),
    "applies to others": (
        [swap(NEUTRAL, APPLIES, 'applies = "not output.needs_neutral"')],
        [("R0033", "changed")],
        "minor",
    ),
    "judges another kind of subject": (
        [
            swap(MOTOR, '"pairing"', '"luminaire"'),
            swap(MOTOR, "motor in output.listed_load_types", "false"),
            swap(MOTOR, "output.method in (forward_phase, reverse_phase) and ", ""),
        ],
        [("R0003", "changed")],
        "major",
    ),
    "limit from the other side": (
        [swap(MINIMUM, "at_least =", "at_most =")],
        [("R0007", "changed")],
        "major",
    ),
    "demand of another dimension": (
        [
            swap(MINIMUM, 'demand = "circuit.input_power_w"', 'demand = "circuit.apparent_power_va"'),
            swap(MINIMUM, LIMIT, 'at_least = "va(20)"'),
        ],
        [("R0007", "changed")],
        "major",
    ),
    "formula written otherwise": (
        [swap(MINIMUM, LIMIT, 'at_least = "(output.min_load_w)"')],
        [("R0007", "reworded")],
        "patch",
    ),
    "another source": ([swap(MINIMUM, '"S0045"', '"S0046"')], [("R0007", "re_sourced")], "patch"),
    "another clause": (
        [swap(MINIMUM, "3.12 marking", "3.13 marking")],
        [("R0007", "re_sourced")],
        "patch",
    ),
    "told earlier": ([swap(MINIMUM, "= 400", "= 390")], [("R0007", "reordered")], "patch"),
    "other words": (
        [swap(MINIMUM, "Is there enough load", "Is the load large enough")],
        [("R0007", "reworded")],
        "patch",
    ),
    "a case more": (
        [
            append(
                MINIMUM_CASES,
                '\n[[case]]\nname = "Made"\nkind = "holds"\nexpect = "works"\n[case.given]\n'
                '"output.method" = "forward_phase"\n"output.switching_element" = "triac"\n'
                '"circuit.input_power_w" = 90\n"output.min_load_w" = 40\n',
            )
        ],
        [("R0007", "cases_changed")],
        "patch",
    ),
    "a case under another name": (
        [swap(MINIMUM_CASES, 'name = "A DMX output"', 'name = "A DMX output, once more"')],
        [("R0007", "cases_changed")],
        "patch",
    ),
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_change_of_a_rule_has_its_word_and_its_step(name: str, editions: Editions) -> None:
    edits, expected, step = EXAMPLES[name]
    changes = editions.after(*edits)
    assert told(changes) == [("rule", identity, kind, step) for identity, kind in expected]
    assert changes.version_step.needed == step
    assert not changes.version_step.suffices


def test_a_preview_that_becomes_stable_is_promoted(editions: Editions) -> None:
    swap(NEUTRAL, STABLE, PREVIEW)(editions.old)
    changes = editions.changes()
    assert told(changes) == [("rule", "R0033", "promoted", "minor")]
    assert changes.version_step.needed == "minor"
    assert (only(changes).fields[0].old, only(changes).fields[0].new) == ("preview", "stable")


def test_a_withdrawn_rule_that_judges_again_is_in_force_again(editions: Editions) -> None:
    swap(NEUTRAL, STABLE, withdrawn())(editions.old)
    assert told(editions.changes()) == [("rule", "R0033", "reinstated", "minor")]


def test_a_tighter_preview_moves_no_stable_verdict(editions: Editions) -> None:
    for root in (editions.old, editions.new):
        swap(MINIMUM, STABLE, PREVIEW)(root)
    changes = editions.after(swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w * 2"'))
    assert told(changes) == [("rule", "R0007", "tightened", "patch")]
    assert changes.version_step.needed == "patch"


def test_a_withdrawn_rule_may_change_without_a_verdict_moving(editions: Editions) -> None:
    for root in (editions.old, editions.new):
        swap(MINIMUM, STABLE, withdrawn("R0033"))(root)
    changes = editions.after(swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w * 2"'))
    assert told(changes) == [("rule", "R0007", "tightened", "patch")]
    assert changes.version_step.needed == "patch"


def test_one_rule_changes_in_several_ways_and_the_greatest_step_counts(editions: Editions) -> None:
    changes = editions.after(
        swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w * 1.2"'),
        swap(MINIMUM, '"S0045"', '"S0046"'),
        drop_line(MINIMUM, "note ="),
    )
    assert [(kind, step) for _, _, kind, step in told(changes)] == [
        ("tightened", "minor"),
        ("re_sourced", "patch"),
        ("reworded", "patch"),
    ]
    assert changes.version_step.needed == "minor"
    assert changes.version_step.because == ["rule R0007 tightened"]


def test_what_changed_is_told_before_and_after(editions: Editions) -> None:
    tightened = only(editions.after(swap(MINIMUM, LIMIT, 'at_least = "output.min_load_w * 1.1"')))
    limit = field(tightened, "at_least")
    assert (limit.old, limit.new) == ("output.min_load_w", "output.min_load_w * 1.1")
    assert tightened.name == "load-below-minimum"
    assert tightened.points is not None
    assert tightened.points.worse > 0
    assert tightened.points.better == 0
    assert tightened.points.example.endswith("works -> fails")


def test_a_citation_is_told_by_its_source(editions: Editions) -> None:
    changed = only(editions.after(swap(MINIMUM, '"S0045"', '"S0046"')))
    gone, new = field(changed, "source S0045"), field(changed, "source S0046")
    assert gone.new == ""
    assert new.old == ""
    assert gone.old == new.new
    assert gone.old.endswith("for at_least, derived")
