"""Simulations in NumPy that the tests hold the formulas against; nothing here is shared with them.

Arrays: one row an installation, shape (n,), or (n, k) for k groups of drivers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Waves:
    """Currents of shape (n, steps) on times of the same shape, zero after the first zero."""

    time_s: Array
    current_a: Array

    def peak(self) -> Array:
        return np.asarray(self.current_a.max(axis=1))

    def i2t(self) -> Array:
        square = self.current_a**2
        span = np.diff(self.time_s, axis=1)
        return np.asarray((0.5 * (square[:, 1:] + square[:, :-1]) * span).sum(axis=1))

    def width(self) -> Array:
        """Time above half the peak, by straight lines between the samples."""
        half = 0.5 * self.peak()[:, None]
        above = self.current_a >= half
        rows = np.arange(len(half))
        first = np.argmax(above, axis=1)
        last = self.current_a.shape[1] - 1 - np.argmax(above[:, ::-1], axis=1)
        rise = self._crossing(rows, np.maximum(first, 1) - 1, half[:, 0])
        fall = self._crossing(rows, np.minimum(last, self.current_a.shape[1] - 2), half[:, 0])
        return np.asarray(fall - np.where(first == 0, self.time_s[:, 0], rise))

    def _crossing(self, rows: NDArray[np.int64], at: NDArray[np.int64], level: Array) -> Array:
        low, high = self.current_a[rows, at], self.current_a[rows, at + 1]
        share = np.where(high == low, 0.0, (level - low) / np.where(high == low, 1.0, high - low))
        start, end = self.time_s[rows, at], self.time_s[rows, at + 1]
        return np.asarray(start + share * (end - start))


def sine_waves(
    crest_v: Array,
    resistance_ohm: Array,
    inductance_h: Array,
    capacitance_f: Array,
    closing_degree: Array,
    frequency_hz: float = 50.0,
    steps: int = 3000,
) -> Waves:
    """The exact current of a sine put on R, L, C by a bridge at an angle (90: the crest).

    Complex exponentials of the two roots plus the steady phasor; valid up to the first zero, where
    the bridge blocks. Samples lie denser at the start. C starts discharged.
    """
    omega = 2 * np.pi * frequency_hz
    half = resistance_ohm / (2 * inductance_h)
    root = np.sqrt((half**2 - 1 / (inductance_h * capacitance_f)).astype(complex))
    fast, slow = -half - root, -half + root
    # Written so that the small root keeps its digits.
    slow = np.where(np.abs(root.imag) > 0, slow, 1 / (inductance_h * capacitance_f) / fast)
    angle = np.radians(closing_degree)
    impedance = resistance_ohm + 1j * (omega * inductance_h - 1 / (omega * capacitance_f))
    phasor = crest_v / impedance * np.exp(1j * angle)
    at_start = phasor.imag
    rate = (crest_v * np.sin(angle)) / inductance_h - (1j * omega * phasor).imag
    first = (rate + at_start * slow) / (fast - slow)
    second = -at_start - first
    horizon = np.minimum(
        np.pi * np.sqrt(inductance_h * capacitance_f) * 1.5 + 14 * resistance_ohm * capacitance_f,
        0.6 / frequency_hz,
    )
    time = horizon[:, None] * np.linspace(0.0, 1.0, steps)[None, :] ** 2
    current = (
        (phasor[:, None] * np.exp(1j * omega * time)).imag
        + (first[:, None] * np.exp(fast[:, None] * time)).real
        + (second[:, None] * np.exp(slow[:, None] * time)).real
    )
    current[:, 0] = 0.0
    ended = np.cumsum(current[:, 1:] <= 0.0, axis=1) > 0
    current[:, 1:][ended] = 0.0
    return Waves(time, current)


def plunger_releases(waves: Waves, static_a: Array, plunger_time_s: Array) -> Flags:
    """Whether a preloaded plunger travels its way, by its equation of motion.

    x'' = (i^2/I0^2 - 1)/T^2 in units of the travel, with a stop at 0; after the last sample the
    plunger coasts against the preload.
    """
    place = np.zeros(len(static_a))
    speed = np.zeros(len(static_a))
    released = np.zeros(len(static_a), dtype=bool)
    push = (waves.current_a**2 / static_a[:, None] ** 2 - 1.0) / plunger_time_s[:, None] ** 2
    for step in range(waves.time_s.shape[1] - 1):
        span = waves.time_s[:, step + 1] - waves.time_s[:, step]
        mean = 0.5 * (push[:, step] + push[:, step + 1])
        place = place + speed * span + 0.5 * mean * span**2
        speed = speed + mean * span
        stopped = place < 0.0
        place[stopped] = 0.0
        speed[stopped] = 0.0
        released |= place >= 1.0
    coast = place + np.where(speed > 0.0, 0.5 * speed**2 * plunger_time_s**2, 0.0)
    return np.asarray(released | (coast >= 1.0))


def sine_releases(
    ratio: Array, plunger_time_s: Array, start_degree: float, frequency_hz: float = 50.0
) -> Flags:
    """Whether a steady sine of crest ``ratio`` times I0 releases the plunger within 0.1 s."""
    steps = 20000
    span = 0.1 / steps
    place, speed = np.zeros(len(ratio)), np.zeros(len(ratio))
    released = np.zeros(len(ratio), dtype=bool)
    for step in range(steps):
        turn = 2 * np.pi * frequency_hz * (step + 0.5) * span + np.radians(start_degree)
        push = ((ratio * np.sin(turn)) ** 2 - 1.0) / plunger_time_s**2
        place = place + speed * span + 0.5 * push * span**2
        speed = speed + push * span
        stopped = place < 0.0
        place[stopped] = 0.0
        speed[stopped] = 0.0
        released |= place >= 1.0
    return released


@dataclass(frozen=True)
class Pulses:
    """Peak, width above half of it and I2t of each row."""

    peak_a: Array
    width_s: Array
    i2t_a2s: Array


def mixed_pulse(
    crest_v: float,
    source_resistance_ohm: Array,
    source_inductance_h: Array,
    resistance_ohm: Array,
    capacitance_f: Array,
) -> Pulses:
    """Groups of drivers, each R and C behind a bridge of its own, on one source; step of voltage.

    Fourth-order Runge-Kutta of the source current and the capacitor voltages to the first zero of
    the source current. Shapes: source (n,), groups (n, k).
    """
    total = capacitance_f.sum(axis=1)
    step = np.minimum.reduce(
        [
            np.sqrt(source_inductance_h * total) / 60.0,
            (resistance_ohm * capacitance_f).min(axis=1) / 3.0,
            source_inductance_h / (source_resistance_ohm + resistance_ohm.max(axis=1)) / 3.0,
        ]
    )
    horizon = 12.0 * (source_resistance_ohm + resistance_ohm.max(axis=1)) * total + 4.0 * np.sqrt(
        source_inductance_h * total
    )

    def rates(current: Array, charged: Array) -> tuple[Array, Array]:
        node = _node_voltage(np.maximum(current, 0.0), charged, resistance_ohm)
        branch = np.maximum(0.0, (node[:, None] - charged) / resistance_ohm)
        slope = (crest_v - source_resistance_ohm * current - node) / source_inductance_h
        return np.asarray(slope), np.asarray(branch / capacitance_f)

    current, charged = np.zeros_like(total), np.zeros_like(capacitance_f)
    peak, i2t, time = np.zeros_like(total), np.zeros_like(total), np.zeros_like(total)
    live = np.ones(len(total), dtype=bool)
    samples = [current]
    wide = step[:, None]
    while live.any() and len(samples) < 60_000:
        first = rates(current, charged)
        second = rates(current + 0.5 * step * first[0], charged + 0.5 * wide * first[1])
        third = rates(current + 0.5 * step * second[0], charged + 0.5 * wide * second[1])
        fourth = rates(current + step * third[0], charged + wide * third[1])
        after = current + step / 6.0 * (first[0] + 2 * second[0] + 2 * third[0] + fourth[0])
        charged = charged + live[:, None] * wide / 6.0 * (first[1] + 2 * second[1] + 2 * third[1] + fourth[1])
        after = np.where(live, np.maximum(after, 0.0), 0.0)
        i2t = i2t + step * (current**2 + current * after + after**2) / 3.0
        peak = np.maximum(peak, after)
        time = time + step
        current = after
        samples.append(current)
        live &= (current > 1e-4 * peak) & (time < horizon)
    above = (np.stack(samples) >= 0.5 * peak).sum(axis=0)
    return Pulses(peak, np.asarray(above * step), i2t)


def _node_voltage(current: Array, charged: Array, resistance_ohm: Array) -> Array:
    """The voltage at which the branches together take the current, each only forwards."""
    order = np.argsort(charged, axis=1)
    level = np.take_along_axis(charged, order, axis=1)
    conductance = 1.0 / np.take_along_axis(resistance_ohm, order, axis=1)
    voltage = (current[:, None] + np.cumsum(conductance * level, axis=1)) / np.cumsum(conductance, axis=1)
    following = np.concatenate([level[:, 1:], np.full((len(current), 1), np.inf)], axis=1)
    first = np.argmax(voltage <= following, axis=1)
    return np.asarray(voltage[np.arange(len(current)), first])


@dataclass(frozen=True)
class Inputs:
    """Capacitive inputs: power W, capacitor F, series ohm and henry, each of shape (n,)."""

    power_w: Array
    capacitance_f: Array
    resistance_ohm: Array
    inductance_h: Array


def cut_currents(
    inputs: Inputs,
    on_degree: Array,
    off_degree: Array,
    *,
    power_share: Array | float = 1.0,
    stops_below_40_v: bool = True,
    half_cycles: int = 24,
    step_s: float = 2e-6,
) -> tuple[Array, Array]:
    """Repetitive peak and r.m.s. current behind a switch that conducts between two angles.

    230 V 50 Hz, ideal bridge with 1.8 V, constant-power load; below 40 V on the capacitor the load
    stops, or holds the current it has at 40 V. Last 4 half cycles, forward Euler.
    """
    has_inductor = inputs.inductance_h > 0.0
    inductance = np.where(has_inductor, inputs.inductance_h, 1.0)
    power = inputs.power_w * power_share
    charged = np.full(len(power), 305.0)
    current, peak, square = (np.zeros(len(power)) for _ in range(3))
    steps = round(0.01 / step_s)
    for half in range(half_cycles):
        for step in range(steps):
            angle = (step + 0.5) / steps * 180.0
            closed = (angle > on_degree) & (angle < off_degree)
            push = 230.0 * np.sqrt(2.0) * np.sin(np.radians(angle)) - 1.8 - charged
            ringing = current + step_s * (push - inputs.resistance_ohm * current) / inductance
            current = np.where(has_inductor, ringing, push / inputs.resistance_ohm)
            current = np.where(closed, np.maximum(current, 0.0), 0.0)
            drawn = power / np.maximum(charged, 40.0)
            if stops_below_40_v:
                drawn = np.where(charged > 40.0, drawn, 0.0)
            charged = np.maximum(charged + step_s * (current - drawn) / inputs.capacitance_f, 1.0)
            if half >= half_cycles - 4:
                peak = np.maximum(peak, current)
                square = square + current**2 * step_s
    return peak, np.asarray(np.sqrt(square / 0.04))
