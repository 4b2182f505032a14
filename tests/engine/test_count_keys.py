"""The keys of many counts in one pass, against the database and against circuits gathered anew."""

from __future__ import annotations

from dataclasses import replace

import pytest

from compat.dataset.overlay import Setting, read_setting
from compat.dataset.read import Dataset
from compat.engine.count_keys import CountKeys
from compat.engine.gather import Circuit, gather_rows, of_counts, with_column
from compat.engine.joining import moves_with_quantity
from compat.engine.protection import is_shared
from compat.engine.site import Site, site_of
from compat.engine.verdicts import pairing_keys
from compat.model.schedule import ScheduleRow
from compat.model.values import Trait
from compat.rulebook.rules import ParsedRule

COUNTS = 60


@pytest.fixture(scope="module")
def setting(dataset: Dataset) -> Setting:
    return read_setting(dataset, None, None)


@pytest.fixture(scope="module")
def site(setting: Setting) -> Site:
    return site_of(setting)


def single(driver: str, dataset: Dataset, site: Site, wanted: str, count: int = 1) -> Circuit:
    defaults = {"wanted_control": Trait(wanted), "neutral_at_control": Trait(True)}
    return gather_rows("C", [ScheduleRow(1, "C", count, driver_id=driver)], dataset, site, defaults)


@pytest.mark.parametrize("wanted", ["dimmed", "switched"])
def test_every_key_is_that_of_the_database(
    wanted: str, dataset: Dataset, rules: list[ParsedRule], setting: Setting, site: Site
) -> None:
    of_pairs = [rule for rule in rules if not is_shared(rule) and rule.rule.scope != "bus"]
    outputs = list(setting.offer.values())
    found, moving = 0, 0
    for driver in list(dataset.tables["drivers"])[::4]:
        series = of_counts(single(driver, dataset, site, wanted), COUNTS, dataset, site)
        rows = pairing_keys(series, outputs, site, dataset, of_pairs)
        keys = CountKeys(series, site, dataset, of_pairs)
        for place, output in enumerate(outputs):
            column = keys.on(output)
            assert column == [row[place] for row in rows], (driver, output.id)
            found, moving = found + 1, moving + (len(set(column)) > 1)
    assert found > 700
    assert moving > 40


def test_circuits_of_counts_are_those_gathered_anew(dataset: Dataset, site: Site) -> None:
    for driver in dataset.tables["drivers"]:
        first = single(driver, dataset, site, "dimmed")
        *_, last = of_counts(first, 7, dataset, site)
        anew = single(driver, dataset, site, "dimmed", 7)
        assert dict(last.values) == dict(anew.values)
        assert last.members == anew.members
        for name, content in anew.values.items():
            if not moves_with_quantity(dataset.vocabulary.traits[name]):
                assert content == first.values[name], name


def test_a_column_stated_otherwise_leaves_the_rest(dataset: Dataset, site: Site) -> None:
    dimmed = single("D0001", dataset, site, "dimmed", 3)
    switched = with_column(dimmed, "wanted_control", Trait("switched"))
    expected = single("D0001", dataset, site, "switched", 3)
    assert dict(switched.values) == dict(expected.values)
    assert switched.column_traits == expected.column_traits
    assert dimmed.values["circuit.wanted_control"] == "dimmed"


def test_values_know_the_names_of_a_circuit_only(dataset: Dataset, site: Site) -> None:
    values = single("D0001", dataset, site, "dimmed").values
    assert len(values) == len(list(values)) == len(list(dataset.vocabulary.of_subject("circuit")))
    assert values.get("output.method") is None
    for name in ("output.method", "circuit.no_such_trait"):
        with pytest.raises(KeyError):
            values[name]


def test_a_computed_trait_without_a_model_is_unknown(dataset: Dataset, site: Site) -> None:
    traits = dataset.vocabulary.traits
    made_up = replace(traits["circuit.voltage_drop_percent"], name="made_up_percent")
    vocabulary = replace(dataset.vocabulary, traits={**traits, made_up.full_name: made_up})
    circuit = single("D0001", replace(dataset, vocabulary=vocabulary), site, "dimmed")
    assert circuit.values["circuit.made_up_percent"] is None
