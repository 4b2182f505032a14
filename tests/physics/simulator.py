"""Inrush currents by the circuit simulator ngspice: real four-diode bridges, a sine closed at its crest.

``python -m tests.physics.simulator`` runs every circuit and writes ``tests/data/inrush-ngspice.npz``: for
each circuit its netlist and its waveform, and the version of the simulator. It needs the program ngspice
(on Debian: ``apt-get install ngspice``); the tests need only what it wrote.
"""

from __future__ import annotations

import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

WAVEFORMS = Path(__file__).resolve().parent.parent / "data" / "inrush-ngspice.npz"
CREST_V = 230.0 * math.sqrt(2.0)
STEPS = 4000


class Circuit(NamedTuple):
    """Drivers, each with a bridge of its own, behind one source; simulated for so many microseconds."""

    source_ohm: float
    source_uh: float
    driver_ohm: float
    driver_uh: float
    driver_uf: float
    count: int
    stop_us: float

    @property
    def name(self) -> str:
        return "-".join(f"{value:g}" for value in self[:-1])


CIRCUITS = [
    Circuit(0.4, 100.0, 0.05, 0.0, 1.0, 1, 84.0),
    Circuit(0.4, 800.0, 0.2, 0.0, 47.0, 1, 1630.0),
    Circuit(0.8, 100.0, 1.0, 0.0, 47.0, 1, 610.0),
    Circuit(0.4, 100.0, 5.0, 0.0, 47.0, 1, 910.0),
    Circuit(0.25, 50.0, 22.0, 0.0, 10.0, 1, 660.0),
    Circuit(0.4, 100.0, 5.0, 0.0, 220.0, 1, 3600.0),
    Circuit(0.8, 100.0, 0.05, 0.0, 470.0, 1, 2080.0),
    Circuit(0.8, 100.0, 1.0, 0.0, 22.0, 5, 920.0),
    Circuit(0.8, 100.0, 1.0, 0.0, 22.0, 10, 1340.0),
    Circuit(0.8, 100.0, 10.0, 0.0, 47.0, 5, 2250.0),
    Circuit(0.8, 100.0, 10.0, 0.0, 47.0, 10, 2970.0),
    Circuit(0.2, 50.0, 3.0, 0.0, 33.0, 5, 830.0),
    Circuit(0.2, 50.0, 3.0, 0.0, 33.0, 20, 1630.0),
    Circuit(0.8, 100.0, 2.0, 100.0, 22.0, 5, 1020.0),
    Circuit(0.4, 796.0, 0.05, 0.0, 100.0, 1, 2370.0),
]
# Ideal diodes stop the simulator at the current zero; a junction capacitance and a shunt cure it.
DIODE = ".model bridge D(IS=1e-9 N=1.7 RS=2m CJO=100p)"


class Waveform(NamedTuple):
    """The current of the source over time."""

    time_s: NDArray[np.float64]
    current_a: NDArray[np.float64]


def netlist(circuit: Circuit) -> str:
    """The circuit in the simulator's language; the currents go to the file ``current.data``."""
    lines = [
        "inrush",
        f"V1 mains 0 SIN(0 {CREST_V} 50 0 0 90)",
        f"R1 mains a {circuit.source_ohm}",
        f"L1 a line {circuit.source_uh}u",
        "R2 line 0 20k",
        DIODE,
    ]
    for at in range(circuit.count):
        lines += [
            f"L2{at} line i{at} {max(circuit.driver_uh, 1e-3)}u",
            f"R3{at} i{at} x{at} {circuit.driver_ohm}",
            f"D1{at} x{at} p{at} bridge",
            f"D2{at} 0 p{at} bridge",
            f"D3{at} n{at} x{at} bridge",
            f"D4{at} n{at} 0 bridge",
            f"C1{at} p{at} n{at} {circuit.driver_uf}u",
            f"R4{at} p{at} n{at} 1meg",
        ]
    step = circuit.stop_us / STEPS
    lines += [
        f".tran {step}u {circuit.stop_us}u 0 {step}u uic",
        ".options reltol=1e-4 method=gear",
        ".control",
        "run",
        "wrdata current.data i(L1)",
        ".endc",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def simulated(program: str, circuit: Circuit) -> Waveform:
    """What the simulator says of a circuit; raises RuntimeError with its words where it says nothing."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "deck.cir").write_text(netlist(circuit), encoding="ascii")
        done = subprocess.run(
            [program, "-b", "deck.cir"], capture_output=True, text=True, timeout=50, check=False, cwd=folder
        )
        out = Path(folder, "current.data")
        if not out.exists():
            raise RuntimeError(f"ngspice gave no currents: {done.stdout[-500:]} {done.stderr[-500:]}")
        return Waveform(*np.loadtxt(out).T)


def kept() -> dict[str, tuple[str, Waveform]]:
    """The netlist and the waveform of each circuit, by its name, as they were written."""
    with np.load(WAVEFORMS, allow_pickle=False) as file:
        names = [key.removesuffix(" netlist") for key in file.files if key.endswith(" netlist")]
        return {
            name: (str(file[f"{name} netlist"]), Waveform(*file[f"{name} waveform"].astype(np.float64)))
            for name in names
        }


def main(program: str = "ngspice") -> None:
    """Run every circuit and write the waveforms."""
    told = subprocess.run([program, "--version"], capture_output=True, text=True, check=True).stdout
    version = re.search(r"ngspice-\S+", told)
    arrays = {"simulator": np.array(version[0] if version else told)}
    for circuit in CIRCUITS:
        arrays[f"{circuit.name} netlist"] = np.array(netlist(circuit))
        arrays[f"{circuit.name} waveform"] = np.array(simulated(program, circuit), dtype=np.float32)
    np.savez_compressed(WAVEFORMS, **arrays)  # type: ignore[arg-type]


if __name__ == "__main__":
    main(*sys.argv[1:])
