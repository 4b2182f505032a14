"""What goes into the packing of circuits on lines and what comes out; no type of the engine."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

# Lines that carry one circuit only: an analogue pair has one control, so all that hangs on it is
# one control group. Two circuits on one pair would be one circuit.
SINGLE_CIRCUIT_KINDS = frozenset({"analog_pair"})

Cause = Literal["unknown_demand", "not_a_demand", "larger_than_a_line", "no_such_line"]


@dataclass(frozen=True, slots=True)
class PackItem:
    """One circuit to be placed whole. Names are unique; ``room`` and ``floor`` may be empty.

    ``demands`` holds the upper ends of its intervals, keyed and measured like the limits of its kind of
    line. A demand that is left out or is not a finite number is not known.
    """

    name: str
    room: str
    floor: str
    kind: str
    demands: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LineCapacity:
    """What one line of a kind holds in full; ``propose`` takes the spare share off.

    Each limit is a number above 0 up to 1e9. A kind of ``SINGLE_CIRCUIT_KINDS`` may have none.
    """

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
    """A circuit that is on no line, and why: ``reason`` is a sentence without its full stop.

    ``limit`` is the key of the limit it is about, None when it is about none.
    """

    name: str
    cause: Cause
    limit: str | None
    reason: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """The lines, and how far they may be from the best.

    ``lower_bound``: the placed circuits need at least so many lines. ``gap`` is the number of lines above
    it; ``optimal`` says that it is 0, so that no way with fewer lines exists. ``room_splits`` is the number
    of lines that hold a room less one, summed over the rooms of each kind of line that carries several
    circuits; ``floor_splits`` likewise.
    ``least_room_splits``: with this number of lines there are at least so many; ``least_floor_splits``: with
    this number of lines and, when these are the fewest, of room splits. ``solver`` names how it was made.
    Demands are taken up to the next millionth of their unit, and the bounds are for these.
    """

    lines: tuple[ProposedLine, ...]
    unplaced: tuple[Unplaced, ...]
    lower_bound: int
    optimal: bool
    solver: str
    gap: int
    room_splits: int
    least_room_splits: int
    floor_splits: int
    least_floor_splits: int

    def distance(self) -> str:
        """How far from the best, in words."""
        if self.optimal:
            return "optimal"
        return f"at most {self.gap} line{'s' if self.gap != 1 else ''} from the best"


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the packing is: the share (0 to 1) of the work allowed, and the kind of line at work."""

    share: float
    kind: str


ProgressCallback = Callable[[Progress], None]
