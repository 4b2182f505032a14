"""No capacity passed, every item once, an honest bound, the same answer for every order of the items."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compat.planning.packer import Capacity, Item, Kinds, Packing, pack
from tests.bench.bench_packing import KINDS as LINES
from tests.bench.bench_packing import circuits

SMALL: Kinds = {"a": {"x": Capacity(10.0, 0.2), "y": Capacity(12.0)}, "b": {"x": Capacity(7.5)}}

ITEMS = st.lists(
    st.builds(
        lambda kind, x, y, group: Item("", kind, {"x": x, "y": y}, group),
        st.sampled_from(["a", "a", "b", "none"]),
        st.sampled_from([0.0, 0.5, 1.0, 2.0, 3.1, 4.0, 5.0, 8.0, 9.0, 11.0]),
        st.sampled_from([0.0, 1.0, 2.5, 3.5, 6.0, 12.0, 13.0]),
        st.sampled_from(["", "Hall", "hall", "Study"]),
    ),
    max_size=7,
).map(
    lambda items: [
        Item(f"C{number}", item.kind, item.weights, item.group) for number, item in enumerate(items)
    ]
)


def partitions(items: Sequence[Item]) -> Iterator[list[list[Item]]]:
    """Every way to put the items in heaps, in any number."""
    if not items:
        yield []
        return
    first, *rest = items
    for heaps in partitions(rest):
        yield [[first], *heaps]
        for place, heap in enumerate(heaps):
            yield [*heaps[:place], [first, *heap], *heaps[place + 1 :]]


def holds(heap: Sequence[Item], kinds: Kinds) -> bool:
    """One kind, and within what may be used; a single item also without the spare."""
    (kind,) = {item.kind for item in heap} if len({item.kind for item in heap}) == 1 else (None,)
    return kind is not None and all(
        sum(item.weights[name] for item in heap)
        <= limit.most * (1.0 if len(heap) == 1 else 1.0 - limit.spare_share) + 1e-9
        for name, limit in kinds[kind].items()
    )


def assert_sound(packing: Packing, items: Sequence[Item], kinds: Kinds) -> None:
    """Every item once, in a bin of its kind or left out with a reason that is true."""
    by_name = {item.name: item for item in items}
    placed = [name for _, names in packing.bins for name in names]
    assert sorted(placed + [excess.name for excess in packing.left_out]) == sorted(by_name)
    alone = {excess.name for excess in packing.without_spare}
    for kind, names in packing.bins:
        assert {by_name[name].kind for name in names} == {kind}
        for name, limit in kinds[kind].items():
            usable = limit.most if alone.intersection(names) else limit.most * (1.0 - limit.spare_share)
            assert sum(by_name[item].weights[name] for item in names) <= usable * (1 + 1e-9)
        assert len(names) == 1 or not alone.intersection(names)
    for excess in packing.left_out:
        kind = by_name[excess.name].kind
        assert kind not in kinds or any(
            by_name[excess.name].weights[name] > limit.most for name, limit in kinds[kind].items()
        )
    assert 0 <= packing.lower_bound <= len(packing.bins)


@settings(max_examples=150, deadline=None)
@given(items=ITEMS)
def test_small_cases_against_brute_force(items: list[Item]) -> None:
    packing = pack(items, SMALL)
    assert_sound(packing, items, SMALL)
    placed = {name for _, names in packing.bins for name in names}
    here = [item for item in items if item.name in placed]
    best = min(len(heaps) for heaps in partitions(here) if all(holds(heap, SMALL) for heap in heaps))
    assert packing.lower_bound <= best <= len(packing.bins)


@settings(max_examples=60, deadline=None)
@given(items=ITEMS, seed=st.integers(0, 1000))
def test_the_order_of_the_items_changes_nothing(items: list[Item], seed: int) -> None:
    turned = random.Random(seed).sample(items, len(items))
    assert pack(turned, SMALL) == pack(items, SMALL)


def test_brute_force_is_nearly_always_met() -> None:
    """How good, beside how honest: in 200 cases of one kind the packer needs no bin more than the best."""
    rng = random.Random(5)
    worse = 0
    for _ in range(200):
        items = [
            Item(f"C{n}", "a", {"x": rng.choice((1.0, 2.0, 3.0, 4.0, 5.0)), "y": rng.choice((1.0, 2.5, 4.0))})
            for n in range(rng.randint(3, 7))
        ]
        best = min(len(heaps) for heaps in partitions(items) if all(holds(heap, SMALL) for heap in heaps))
        worse += len(pack(items, SMALL).bins) > best
    assert worse <= 2


@pytest.mark.parametrize(
    ("kind", "count", "lines"),
    [("dali_line", 60, 8), ("dali_line", 300, 36), ("dmx_segment", 60, 3), ("dmx_segment", 300, 13)],
)
def test_made_up_houses_meet_the_bound(kind: str, count: int, lines: int) -> None:
    """The lines that a solver needed, before it was given up; none can be saved."""
    items = circuits(count, kind)
    packing = pack(items, {kind: LINES[kind]})
    assert_sound(packing, items, {kind: LINES[kind]})
    assert len(packing.bins) == packing.lower_bound == lines
    rooms = [{item.group for item in items if item.name in names} for _, names in packing.bins]
    assert sum(map(len, rooms)) == len(set().union(*rooms))


def test_groups_are_kept_together() -> None:
    items = [Item(f"C{n}", "b", {"x": 2.5}, "ABC"[n % 3]) for n in range(9)]
    packing = pack(items, {"b": {"x": Capacity(7.5)}})
    assert [names for _, names in packing.bins] == [
        ("C0", "C3", "C6"), ("C1", "C4", "C7"), ("C2", "C5", "C8"),
    ]  # fmt: skip


def test_a_part_that_fits_nowhere_makes_others_change_places() -> None:
    """Largest first puts 6 5 and 5 4 3 in bins of 13, and the last 3 fits in neither."""
    items = [Item(f"C{n}", "k", {"x": size}) for n, size in enumerate((6.0, 5.0, 5.0, 4.0, 3.0, 3.0))]
    packing = pack(items, {"k": {"x": Capacity(13.0)}})
    assert len(packing.bins) == packing.lower_bound == 2


def test_more_than_the_spare_allows_is_told_apart_from_too_much() -> None:
    kinds = {"k": {"x": Capacity(64.0, 0.2), "one": Capacity(1.0)}}
    items = [
        Item("fits", "k", {"x": 51.0, "one": 0.0}),
        Item("tight", "k", {"x": 60.0, "one": 1.0}),
        Item("large", "k", {"x": 65.0, "one": 1.0}),
        Item("open", "k", {"x": float("nan"), "one": 1.0}),
        Item("wrong", "k", {"x": -1.0, "one": 1.0}),
        Item("stray", "j", {}),
    ]
    packing = pack(items, kinds)
    assert packing.bins == (("k", ("fits",)), ("k", ("tight",)))
    (tight,) = packing.without_spare
    assert (tight.name, tight.capacity, tight.weight, tight.limit) == ("tight", "x", 60.0, kinds["k"]["x"])
    assert {(entry.name, entry.capacity, entry.weight) for entry in packing.left_out} == {
        ("large", "x", 65.0), ("open", "x", None), ("wrong", "x", None), ("stray", None, None),
    }  # fmt: skip


def test_items_that_take_the_whole_of_a_capacity_never_share() -> None:
    items = [Item(f"C{n}", "k", {"x": 1.0, "phase": float(n < 2)}) for n in range(5)]
    packing = pack(items, {"k": {"x": Capacity(9.0), "phase": Capacity(1.0)}})
    assert len(packing.bins) == packing.lower_bound == 2
    assert sorted(sum(name in ("C0", "C1") for name in names) for _, names in packing.bins) == [1, 1]


def test_tenths_add_up_to_their_limit() -> None:
    items = [Item(f"C{n}", "k", {"x": 0.1}) for n in range(10)]
    assert len(pack(items, {"k": {"x": Capacity(1.0)}}).bins) == 1


@pytest.mark.parametrize(
    ("items", "kinds", "message"),
    [
        ([Item("A", "k", {}), Item("A", "k", {})], {}, "given twice: A"),
        ([], {"k": {}}, "k has no capacity"),
        ([], {"k": {"x": Capacity(-1.0)}}, "x of k is -1.0 with 0.0 spare; allowed is 0 to 1e9"),
        ([], {"k": {"x": Capacity(2e9)}}, "x of k is 2000000000.0 with 0.0 spare"),
        ([], {"k": {"x": Capacity(float("nan"))}}, "x of k is nan"),
        ([], {"k": {"x": Capacity(1.0, 1.0)}}, "x of k is 1.0 with 1.0 spare; allowed is"),
    ],
)
def test_figures_out_of_range_are_refused(items: list[Item], kinds: Kinds, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        pack(items, kinds)


@pytest.mark.parametrize("seed", range(8))
def test_many_tight_items_stay_within_every_capacity(seed: int) -> None:
    """Rooms about as large as a bin and three capacities, so that much is exchanged and split."""
    rng = random.Random(seed)
    kinds: Kinds = {"k": {"x": Capacity(100.0, 0.1), "y": Capacity(80.0), "z": Capacity(50.0, 0.3)}}
    items = [
        Item(f"C{n}", "k", {"x": rng.uniform(1, 45), "y": rng.uniform(1, 45), "z": rng.uniform(0, 20)}, group)
        for n, group in enumerate(rng.choices("ABCDEFGHIJ", k=70))
    ]
    packing = pack(items, kinds)
    assert_sound(packing, items, kinds)
    assert len(packing.bins) <= packing.lower_bound + 3
    assert pack(rng.sample(items, len(items)), kinds) == packing
