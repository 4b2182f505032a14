"""Time the pulse of ten million loops: DuckDB beside NumPy in chunks and numba, in one run.

Run: python -m tests.bench.bench_inrush [rows]. Prints seconds and ratios and asserts nothing about
time; it ends with an error when any two disagree. numba is needed for this bench only.

DuckDB computes width and time to peak by fitted functions of the damping ratio. NumPy and numba are
timed with the same fits, and in the form that needs no fits: a rough start and one fourth-order step
to each half-peak instant, which is less work than the three Newton steps one would write first.
NumPy gets the chunk that suits it best, in one thread as it is; DuckDB and numba use all processors.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from functools import partial

import duckdb
import numba
import numpy as np
from numpy.typing import NDArray

from compat.physics.inrush import FALL_START, RISE_START
from compat.physics.inrush_sql import (
    CENTRE,
    FITTED_TO,
    LATE_RISE,
    PEAK_INSTANT,
    PLACE_AT_INFINITY,
    PLACE_SPAN,
    PULSE,
    WIDTH_ABOVE,
    WIDTH_BELOW,
)

CHUNKS = (5_000, 10_000, 50_000)
REPEATS = 3
OUTPUTS = ("peak_a", "time_to_peak_s", "width_s", "i2t_a2s")
COLUMNS = ("crest_v", "resistance_ohm", "inductance_h", "capacitance_f")
Array = NDArray[np.float64]
Rows = dict[str, Array]
Form = Callable[[Array, Array, Array, Array], tuple[Array, ...]]


def random_rows(count: int) -> Rows:
    generator = np.random.default_rng(7)
    return {
        "crest_v": np.full(count, 325.27),
        "resistance_ohm": 10.0 ** generator.uniform(-1.0, 1.5, count),
        "inductance_h": 10.0 ** generator.uniform(-5.0, -3.0, count),
        "capacitance_f": 10.0 ** generator.uniform(-6.0, -3.0, count),
    }


def horner(coefficients: tuple[float, ...], at: Array) -> Array:
    total = np.full_like(at, coefficients[-1])
    for coefficient in reversed(coefficients[:-1]):
        total *= at
        total += coefficient
    return total


def numpy_fitted(crest: Array, resistance: Array, inductance: Array, capacitance: Array) -> tuple[Array, ...]:
    """The fits of the query; the two rarer ranges of damping only for the rows that are in them."""
    impedance = np.sqrt(inductance / capacitance)
    damping, period = resistance / impedance / 2.0, impedance * capacitance
    stretch, root = np.sqrt(1.0 + damping), np.sqrt(np.abs((1.0 - damping) * (1.0 + damping)))
    place = PLACE_AT_INFINITY - PLACE_SPAN / (stretch + CENTRE)
    top = horner(PEAK_INSTANT, place) / stretch
    width = horner(WIDTH_ABOVE, place) / horner(WIDTH_BELOW, place)
    late = np.flatnonzero(damping > FITTED_TO)
    over, gap = damping[late], root[late]
    top[late] = np.log(over + gap) / gap
    width[late] = (over + gap) * (over * top[late] - np.log(gap)) - horner(LATE_RISE, place[late]) / (
        1.0 + over
    )
    lost, swings = np.ones_like(damping), np.flatnonzero(damping < 1.0)
    lost[swings] = -np.expm1(-2.0 * np.pi * damping[swings] / root[swings])
    return (
        crest / impedance * np.exp(-damping * top),
        top * period,
        width * period,
        capacitance * crest * crest / (2.0 * resistance) * lost,
    )


def numpy_closer(damping: Array, half: Array, at: Array) -> Array:
    """One step, every branch computed for every row, as NumPy does it."""
    square = (1.0 - damping) * (1.0 + damping)
    root = np.sqrt(np.abs(square))
    under, over = square > 0.01, square < -0.01
    divisor = np.where(root == 0.0, 1.0, root)
    fast = damping + root
    slow = np.where(over, 1.0 / fast, damping)
    faded = np.exp(-2.0 * root * at)
    turn = square * at * at
    sine = at * (1 - turn / 6 * (1 - turn / 20 * (1 - turn / 42 * (1 - turn / 72 * (1 - turn / 110)))))
    cosine = 1 - turn / 2 * (1 - turn / 12 * (1 - turn / 30 * (1 - turn / 56 * (1 - turn / 90))))
    value = np.where(under, np.sin(root * at) / divisor, np.where(over, (1 - faded) / (2 * divisor), sine))
    lean = np.where(under, np.cos(root * at), cosine) - damping * value
    slope = np.where(over, (faded * fast - slow) / (2 * divisor), lean)
    bend = np.where(over, (slow * slow - faded * fast * fast) / (2 * divisor), -2 * damping * slope - value)
    twist = np.where(
        over, (faded * fast * fast * fast - slow * slow * slow) / (2 * divisor), -2 * damping * bend - slope
    )
    excess = value - half * np.exp(slow * at)
    first = excess / slope
    second = first * bend / slope
    return at - first * (1 - second / 2) / (1 - second + first * first * twist / slope / 6)


def numpy_iterated(
    crest: Array, resistance: Array, inductance: Array, capacitance: Array
) -> tuple[Array, ...]:
    damping = resistance / 2 * np.sqrt(capacitance / inductance)
    impedance, period = np.sqrt(inductance / capacitance), np.sqrt(inductance * capacitance)
    square = (1.0 - damping) * (1.0 + damping)
    root = np.sqrt(np.abs(square))
    divisor = np.where(root == 0.0, 1.0, root)
    top = np.where(square > 0.0, np.arctan2(root, damping), np.arcsinh(root)) / divisor
    top = np.where(root == 0.0, 1.0, top)
    height = np.exp(-damping * top)
    share = damping / (1.0 + damping)
    rise, fall = horner(RISE_START, share) / (1.0 + damping), horner(FALL_START, share) * (1.0 + damping)
    rise = numpy_closer(damping, height / 2, rise)
    fall = numpy_closer(damping, height / 2, fall)
    lost = np.where(damping >= 1.0, 1.0, -np.expm1(-2 * np.pi * damping / divisor))
    return (
        crest / impedance * height,
        top * period,
        (fall - rise) * period,
        capacitance * crest * crest / (2 * resistance) * lost,
    )


@numba.njit(cache=False)
def numba_closer(damping: float, half: float, at: float) -> float:
    square = (1.0 - damping) * (1.0 + damping)
    root = math.sqrt(abs(square))
    slow = damping
    if square > 0.01:
        value = math.sin(root * at) / root
        slope = math.cos(root * at) - damping * value
        bend = -2.0 * damping * slope - value
        twist = -2.0 * damping * bend - slope
    elif square < -0.01:
        fast = damping + root
        slow = 1.0 / fast
        faded = math.exp(-2.0 * root * at)
        value = (1.0 - faded) / (2.0 * root)
        slope = (faded * fast - slow) / (2.0 * root)
        bend = (slow * slow - faded * fast * fast) / (2.0 * root)
        twist = (faded * fast * fast * fast - slow * slow * slow) / (2.0 * root)
    else:
        turn = square * at * at
        value = at * (
            1.0
            - turn
            / 6.0
            * (1.0 - turn / 20.0 * (1.0 - turn / 42.0 * (1.0 - turn / 72.0 * (1.0 - turn / 110.0))))
        )
        slope = (
            1.0
            - turn
            / 2.0
            * (1.0 - turn / 12.0 * (1.0 - turn / 30.0 * (1.0 - turn / 56.0 * (1.0 - turn / 90.0))))
        ) - damping * value
        bend = -2.0 * damping * slope - value
        twist = -2.0 * damping * bend - slope
    excess = value - half * math.exp(slow * at)
    first = excess / slope
    second = first * bend / slope
    return at - first * (1.0 - second / 2.0) / (1.0 - second + first * first * twist / slope / 6.0)


@numba.njit(parallel=True, cache=False)
def numba_iterated(
    crest: Array, resistance: Array, inductance: Array, capacitance: Array
) -> tuple[float, float, float, float]:
    peak, tops, widths, i2t = 0.0, 0.0, 0.0, 0.0
    for row in numba.prange(len(crest)):
        damping = resistance[row] / 2.0 * math.sqrt(capacitance[row] / inductance[row])
        impedance = math.sqrt(inductance[row] / capacitance[row])
        period = math.sqrt(inductance[row] * capacitance[row])
        root = math.sqrt(abs((1.0 - damping) * (1.0 + damping)))
        top = 1.0
        if root > 0.0:
            top = (math.atan2(root, damping) if damping < 1.0 else math.asinh(root)) / root
        height = math.exp(-damping * top)
        share = damping / (1.0 + damping)
        rise, fall = 0.0, 0.0
        for power in range(len(RISE_START) - 1, -1, -1):
            rise = rise * share + RISE_START[power]
        for power in range(len(FALL_START) - 1, -1, -1):
            fall = fall * share + FALL_START[power]
        rise, fall = rise / (1.0 + damping), fall * (1.0 + damping)
        rise = numba_closer(damping, height / 2.0, rise)
        fall = numba_closer(damping, height / 2.0, fall)
        lost = 1.0
        if damping < 1.0:
            lost = -math.expm1(-2.0 * math.pi * damping / root)
        peak += crest[row] / impedance * height
        tops += top * period
        widths += (fall - rise) * period
        i2t += capacitance[row] * crest[row] * crest[row] / (2.0 * resistance[row]) * lost
    return peak, tops, widths, i2t


@numba.njit(cache=False)
def numba_horner(coefficients: tuple[float, ...], at: float) -> float:
    total = coefficients[-1]
    for power in range(len(coefficients) - 2, -1, -1):
        total = total * at + coefficients[power]
    return total


@numba.njit(parallel=True, cache=False)
def numba_fitted(
    crest: Array, resistance: Array, inductance: Array, capacitance: Array
) -> tuple[float, float, float, float]:
    peak, tops, widths, i2t = 0.0, 0.0, 0.0, 0.0
    for row in numba.prange(len(crest)):
        impedance = math.sqrt(inductance[row] / capacitance[row])
        damping, period = resistance[row] / impedance / 2.0, impedance * capacitance[row]
        stretch, root = math.sqrt(1.0 + damping), math.sqrt(abs((1.0 - damping) * (1.0 + damping)))
        place = PLACE_AT_INFINITY - PLACE_SPAN / (stretch + CENTRE)
        if damping <= FITTED_TO:
            top = numba_horner(PEAK_INSTANT, place) / stretch
            width = numba_horner(WIDTH_ABOVE, place) / numba_horner(WIDTH_BELOW, place)
        else:
            top = math.log(damping + root) / root
            width = (damping + root) * (damping * top - math.log(root))
            width -= numba_horner(LATE_RISE, place) / (1.0 + damping)
        lost = 1.0
        if damping < 1.0:
            lost = -math.expm1(-2.0 * math.pi * damping / root)
        peak += crest[row] / impedance * math.exp(-damping * top)
        tops += top * period
        widths += width * period
        i2t += capacitance[row] * crest[row] * crest[row] / (2.0 * resistance[row]) * lost
    return peak, tops, widths, i2t


def by_numpy(rows: Rows, form: Form, chunk: int) -> list[float]:
    columns = [rows[name] for name in COLUMNS]
    sums = np.zeros(len(OUTPUTS))
    for start in range(0, len(columns[0]), chunk):
        found = form(*(column[start : start + chunk] for column in columns))
        sums += [values.sum() for values in found]
    return [float(value) for value in sums]


def best_chunk(rows: Rows, form: Form) -> int:
    """The chunk that is quickest on a part of the rows."""
    some = {name: values[: max(CHUNKS) * 10] for name, values in rows.items()}
    return min(CHUNKS, key=lambda chunk: timed(lambda: by_numpy(some, form, chunk))[0])


def timed(work: Callable[[], list[float]]) -> tuple[float, float, list[float]]:
    """Least wall seconds and least processor seconds (all threads) of some runs, and the sums."""
    wall, busy, found = math.inf, math.inf, []
    for _ in range(REPEATS):
        start, start_busy = time.perf_counter(), time.process_time()
        found = work()
        wall = min(wall, time.perf_counter() - start)
        busy = min(busy, time.process_time() - start_busy)
    return wall, busy, found


def main(count: int) -> None:
    rows = random_rows(count)
    columns = [rows[name] for name in COLUMNS]
    connection = duckdb.connect()
    connection.register("given", rows)
    connection.execute("CREATE TABLE rows AS SELECT * FROM given")
    sums = ", ".join(f"sum({name})" for name in OUTPUTS)
    text = f"SELECT {sums} FROM ({PULSE.over('rows')})"
    start = time.perf_counter()
    connection.execute(f"EXPLAIN {text}").fetchall()
    planning = time.perf_counter() - start
    threads = connection.execute("SELECT current_setting('threads')").fetchall()[0][0]
    results = {"DuckDB, fitted": timed(lambda: list(connection.execute(text).fetchall()[0]))}
    for name, form in (("fitted", numpy_fitted), ("iterated", numpy_iterated)):
        chunk = best_chunk(rows, form)
        results[f"NumPy, {name}, chunks of {chunk}"] = timed(partial(by_numpy, rows, form, chunk))
    for name, compiled in (("fitted", numba_fitted), ("iterated", numba_iterated)):
        compiled(*(column[:10] for column in columns))
        results[f"numba, {name}"] = timed(partial(_listed, compiled, columns))
    seconds, busy_seconds, expected = results["DuckDB, fitted"]
    write = sys.stdout.write
    write(f"{count} rows, four outputs, planning {planning:.3f} s, {threads} threads, best of {REPEATS}\n")
    for name, (wall, busy, found) in results.items():
        write(
            f"{name:32} wall {wall:7.3f} s, {wall / seconds:5.2f} x DuckDB"
            f"   processor {busy:7.3f} s, {busy / busy_seconds:5.2f} x DuckDB\n"
        )
        if not np.allclose(found, expected, rtol=1e-11, atol=0.0):
            raise SystemExit(f"{name} gives {found}, DuckDB {expected}")


def _listed(compiled: Callable[..., tuple[float, ...]], columns: list[Array]) -> list[float]:
    return list(compiled(*columns))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000)
