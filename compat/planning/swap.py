"""What if a luminaire type had another driver: the schedule with it, before anything is bought."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from compat.dataset.read import Dataset
from compat.intake.driver_choice import choose_driver
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.schedule import Schedule
from compat.model.values import Origin

PLACE = Origin("--swap")


def swapped(schedule: Schedule, swap: str, dataset: Dataset, own_file: Path | None) -> Schedule:
    """The schedule with ``TYPE=DRIVER``: every row of the type has the driver and states nothing else of it.

    Names are compared without case. Raises BadInput for a type that no row has, and for an unclear driver.
    """
    named, separator, wanted = swap.rpartition("=")
    if not separator or not named.strip():
        do = "Write the luminaire type, = and a driver, such as 'Downlight=D0014'"
        raise BadInput([Fault(f"'{swap}' names no type and driver", PLACE, do=do)])
    types = {row.luminaire_type.casefold(): row.luminaire_type for row in schedule.rows}
    if named.strip().casefold() not in types:
        what = f"the schedule has no luminaire type '{named.strip()}'"
        raise BadInput([Fault(what, PLACE, do=did_you_mean(named.strip(), types.values()))])
    driver = choose_driver(wanted, dataset, own_file)
    rows = tuple(
        replace(row, driver_id=driver.id, driver_traits={})
        if row.luminaire_type.casefold() == named.strip().casefold()
        else row
        for row in schedule.rows
    )
    return replace(schedule, rows=rows)
