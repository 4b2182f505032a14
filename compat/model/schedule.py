"""A circuit schedule as read: its rows, each value with the cell it came from."""

from __future__ import annotations

from dataclasses import dataclass, field

from compat.model.reading import Reading
from compat.model.values import Origin, Trait

MAINS_DIMMING = frozenset(("forward_phase", "reverse_phase"))


@dataclass(frozen=True, slots=True, order=True)
class PlannedLoad:
    """The load window in W that a schedule gives for the planned control, and whether it is one of LED."""

    least_w: float
    most_w: float
    of_led: bool


@dataclass(frozen=True, slots=True)
class ScheduleRow:
    """One line of the schedule: a luminaire type with its quantity on a circuit.

    ``breaker`` is the label of the protective device; circuits with one label share it.
    ``rcd`` is that of the residual-current device, shared in the same way.
    ``line`` is the label of the control line, shared in the same way.
    ``panel`` is the distribution board, ``rcd`` the label of the residual-current device.
    ``planned`` are the methods of the control that is planned, None where the schedule plans none:
    a column such as "Control" says how the circuit is to be controlled, whatever its driver accepts.
    ``planned_load`` is what that control takes, where it is written beside the method.
    ``driver_traits`` and ``circuit_traits`` hold names without their subject; only what the row
    states is in them. ``origins`` gives the cell of each heading that the row fills.
    """

    number: int
    circuit: str
    quantity: int
    room: str = ""
    luminaire_type: str = ""
    driver_id: str | None = None
    output_id: str | None = None
    breaker: str | None = None
    rcd: str | None = None
    line: str | None = None
    panel: str | None = None
    planned: frozenset[str] | None = None
    planned_load: PlannedLoad | None = None
    driver_traits: dict[str, Trait] = field(default_factory=dict)
    circuit_traits: dict[str, Trait] = field(default_factory=dict)
    origins: dict[str, Origin] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ProjectAnswer:
    """One line of the sheet Project: what it is about, the text beside it, and its cell."""

    what: str
    text: str
    origin: Origin


@dataclass(frozen=True, slots=True)
class Schedule:
    """All rows in file order. ``notes`` tell what was read in a way worth knowing; ``reading`` holds
    what each heading was understood as and what was left out.
    """

    file: str
    sha256: str
    rows: tuple[ScheduleRow, ...]
    notes: tuple[str, ...] = ()
    reading: Reading = field(default_factory=Reading)
    project: tuple[ProjectAnswer, ...] = ()
