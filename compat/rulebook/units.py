"""Units of expressions: dimensions with powers, and the factor to the base unit."""

from __future__ import annotations

from dataclasses import dataclass

from compat.model.vocabulary import Unit


@dataclass(frozen=True, slots=True)
class Measure:
    """A dimension such as power¹ or voltage¹·current¹, with the factor to its base unit."""

    powers: tuple[tuple[str, int], ...]
    factor: float

    def times(self, other: Measure) -> Measure:
        """The measure of a product."""
        return Measure(_merged(self.powers, other.powers, 1), self.factor * other.factor)

    def over(self, other: Measure) -> Measure:
        """The measure of a quotient."""
        return Measure(_merged(self.powers, other.powers, -1), self.factor / other.factor)

    def same_dimension(self, other: Measure) -> bool:
        """Whether the two may be compared or added."""
        return self.powers == other.powers

    def text(self) -> str:
        """The dimension in words, for error messages."""
        return (
            " · ".join(f"{name}^{power}" if power != 1 else name for name, power in self.powers) or "a number"
        )


NUMBER = Measure((), 1.0)


def measure_of(unit: Unit) -> Measure:
    """The measure of a unit of the vocabulary; ratios and counts are plain numbers."""
    powers = () if unit.dimension == "ratio" else ((unit.dimension, 1),)
    return Measure(powers, unit.factor)


def _merged(
    left: tuple[tuple[str, int], ...], right: tuple[tuple[str, int], ...], sign: int
) -> tuple[tuple[str, int], ...]:
    powers = dict(left)
    for name, power in right:
        powers[name] = powers.get(name, 0) + sign * power
    return tuple(sorted((name, power) for name, power in powers.items() if power))
