"""Traits of a driver stated on the command line, read as the cells of a schedule are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from compat.dataset.read import Equipment
    from compat.intake.headings import Bound, Headings
    from compat.model.faults import Fault
    from compat.model.values import Content, Trait
    from compat.model.vocabulary import Vocabulary

# Option -> column of a schedule.
OPTIONS: dict[str, str] = {
    "--method": "methods",
    "--load-type": "load_type",
    "--input-character": "input_character",
    "--watts": "input_power_w",
    "--current": "input_current_a",
    "--power-factor": "power_factor",
    "--voltage": "input_voltage",
    "--frequency": "input_frequency",
    "--inrush": "inrush_peak_a",
    "--dim-floor": "dim_floor_percent",
    "--control-current": "control_current_ma",
    "--control-direction": "control_current_direction",
    "--dali-type": "dali_device_type",
    "--dali-current": "dali_current_ma",
    "--dmx-slots": "dmx_slots",
}
TRAIT_OPTION = "--trait"
PLACE = "command line"
UNNAMED = "driver as stated on the command line"


@dataclass(slots=True)
class Statements:
    """Reads one option after the other; every fault gathers in ``faults``."""

    vocabulary: Vocabulary
    traits: dict[str, Trait] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def read(self, options: Mapping[str, str | None], others: Sequence[str]) -> dict[str, Trait]:
        """The traits of all options given; ``others`` hold NAME=VALUE. Raises BadInput with all faults."""
        given = {option: text for option, text in options.items() if text is not None}
        if not given and not others:
            return {}
        from compat.intake.headings import Headings
        from compat.model.faults import BadInput

        headings = Headings(self.vocabulary)
        for option, text in given.items():
            self._state(option, headings.bind(0, OPTIONS[option]), text, headings)
        for statement in others:
            self._other(statement, headings)
        if self.faults:
            raise BadInput(self.faults)
        return self.traits

    def _other(self, statement: str, headings: Headings) -> None:
        from compat.intake.cells import Unreadable, shown
        from compat.model.faults import did_you_mean

        name, sign, value = statement.partition("=")
        column = headings.recognised(name)
        if not sign:
            allowed = "A name and a value, such as power_factor=0.9"
            self._refuse(TRAIT_OPTION, f"{shown(statement)} has no sign of equality", allowed)
        elif column is None or column.target not in ("driver", "span"):
            known = [trait.name for trait in self.vocabulary.of_subject("driver")]
            labels = [trait.label for trait in self.vocabulary.of_subject("driver")]
            what = f"a driver has no trait {shown(name)}"
            self._refuse(
                TRAIT_OPTION, what, "A trait such as power_factor", did_you_mean(name, [*known, *labels])
            )
        else:
            try:
                bound = headings.bind(0, name)
            except Unreadable as error:
                self._refuse(TRAIT_OPTION, error.what, error.allowed, error.do)
            else:
                self._state(f"{TRAIT_OPTION} {column.name}", bound, value, headings)

    def _state(self, option: str, bound: Bound, text: str, headings: Headings) -> None:
        """Keep what an option states; one that says 'not known' takes away what the dataset knows."""
        from compat.intake.cell_values import CellReader
        from compat.intake.cells import Unreadable, clean
        from compat.model.values import Origin, Trait

        try:
            contents = CellReader(self.vocabulary, headings.units).contents(clean(text), bound)
        except Unreadable as error:
            self._refuse(option, error.what, error.allowed, error.do)
            return
        unknown: dict[str, Content] = {trait.name: None for trait in bound.column.traits}
        for name, content in (unknown | contents).items():
            if name in self.traits:
                label = self.vocabulary.traits[f"driver.{name}"].label
                self._refuse(option, f"the {label} is stated twice", do="State it once")
            self.traits[name] = Trait(content, origin=Origin(PLACE, key=option))

    def _refuse(self, option: str, what: str, allowed: str = "", do: str = "") -> None:
        from compat.model.faults import Fault
        from compat.model.values import Origin

        self.faults.append(Fault(what, Origin(PLACE, key=option), allowed, do))


def with_stated(
    driver: Equipment | None, stated: Mapping[str, Trait], vocabulary: Vocabulary
) -> tuple[Equipment, list[str]]:
    """The driver with the stated traits in place of its own, and notes on what is left out with them.

    Without a driver one that has nothing but the stated traits.
    """
    from compat.dataset.read import Equipment
    from compat.engine.overrides import overridden
    from compat.model.values import UNKNOWN

    if driver is None:
        return Equipment("", UNNAMED, dict(stated)), []
    if not stated:
        return driver, []
    known = {name: trait for name, trait in driver.traits.items() if trait != UNKNOWN}
    left_out = overridden(known, stated, vocabulary)
    labels = {trait.name: trait.label for trait in vocabulary.of_subject("driver")}
    notes = [
        f"the {labels[other]} of {driver.id} is left out, since the {labels[name]} is stated anew"
        for other, name in left_out.items()
    ]
    traits = {**driver.traits, **dict.fromkeys(left_out, UNKNOWN), **stated}
    return replace(driver, name=f"{driver.name}; values stated on the command line", traits=traits), notes
