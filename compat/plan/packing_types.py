"""What goes into the packing of circuits on lines and what comes out; no type of the engine."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

# Lines that carry one circuit only: an analogue pair has one control, so whatever hangs on it is
# one control group. Two circuits on one pair would be one circuit.
SINGLE_CIRCUIT_KINDS = frozenset({"analog_pair"})


@dataclass(frozen=True, slots=True)
class PackItem:
    """One circuit to be placed whole. Names are unique; ``room`` and ``floor`` may be empty.

    ``demands`` holds the upper ends of its intervals, keyed and measured as the limits of its kind
    of line. A demand that is left out, or is not a finite number, is not known: such a circuit is
    not placed.
    """

    name: str
    room: str
    floor: str
    kind: str
    demands: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LineCapacity:
    """What one line of a kind holds. Each limit is a finite number above zero, in full: the spare share
    is taken off by ``propose``. A kind of ``SINGLE_CIRCUIT_KINDS`` may have no limit at all."""

    kind: str
    limits: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class ProposedLine:
    """One line: the names of its circuits, and for each limit the sum of their demands."""

    name: str
    kind: str
    items: tuple[str, ...]
    used: dict[str, float]


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A circuit that is on no line, and why, as a sentence without its full stop."""

    name: str
    reason: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """The lines, and how far they may be from the best.

    ``lower_bound``: no proposal for the placed circuits has fewer lines. ``gap`` is the number of
    lines above it, and ``optimal`` says that it is 0. ``room_splits`` is, summed over rooms, the number of
    lines that hold circuits of the room less one for each kind of line (``floor_splits`` likewise); the
    ``_at_least`` figures are the fewest that this number of lines can have, as far as proven.
    ``solver`` names the methods that made it.
    """

    lines: tuple[ProposedLine, ...]
    unplaced: tuple[Unplaced, ...]
    lower_bound: int
    optimal: bool
    solver: str
    gap: int
    room_splits: int
    room_splits_at_least: int
    floor_splits: int
    floor_splits_at_least: int


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the packing is: share of the work allowed (0 to 1), lines so far, proven least."""

    share: float
    lines: int
    lower_bound: int


ProgressCallback = Callable[[Progress], None]
