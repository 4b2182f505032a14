"""One output looked up: what it takes of each driver is what the look-up of that driver says."""

from __future__ import annotations

import pytest

import compat
from compat.api import list_entries, lookup_output
from compat.model.lookup import OutputLookup

OUTPUT = "O0007"


@pytest.fixture(scope="module")
def answer() -> OutputLookup:
    found = lookup_output(OUTPUT)
    assert found is not None
    return found.answer


@pytest.mark.parametrize("driver", ["D0013", "D0022", "D0017"])
def test_counts_are_those_of_the_driver(driver: str, answer: OutputLookup) -> None:
    load = next(load for load in answer.loads if load.driver == driver)
    of_driver = compat.lookup(driver, up_to=answer.counts_up_to).answer
    (counts,) = [entry for entry in of_driver.outputs if entry.output == OUTPUT]
    assert (load.least, load.most) == (counts.told.least, counts.told.most)
    assert load.best == counts.best


def test_only_drivers_that_may_accept_the_method_are_told(answer: OutputLookup) -> None:
    assert answer.method == "reverse phase"
    told = {load.driver for load in answer.loads}
    assert "D0034" not in told, "a DALI driver"
    assert len(told) > 8
    assert all(load.least is not None or load.because for load in answer.loads)


def test_a_name_that_is_no_output_is_none() -> None:
    assert lookup_output("D0013") is None
    assert lookup_output("nothing") is None


def test_entries_are_found_by_all_their_words() -> None:
    found = list_entries("outputs", ["dali", "broadcast"])
    assert found
    assert all("broadcast" in entry.name and "DALI" in entry.name for entry in found)
    assert list_entries("rules", ["load-below-minimum"])[0].id == "R0007"
    assert list_entries("drivers", ["no such thing"]) == []
