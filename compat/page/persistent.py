"""Maps, sets and lists that are changed by making new ones, in plain Python.

The schema checker takes them from a library compiled for each machine, of which there is none for a browser;
only what that checker calls is here, under the names it uses.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from typing import Any


class HashTrieMap(dict[Any, Any]):
    """A map; ``insert``, ``remove`` and ``update`` give a new one."""

    @classmethod
    def convert(cls, value: Any) -> HashTrieMap:
        """The value itself, or a map of it."""
        return value if isinstance(value, cls) else cls(value)

    def insert(self, key: Hashable, value: Any) -> HashTrieMap:
        """The map with one more entry."""
        return HashTrieMap({**self, key: value})

    def remove(self, key: Hashable) -> HashTrieMap:
        """The map without an entry. Raises KeyError."""
        left = HashTrieMap(self)
        del left[key]
        return left

    def update(self, *others: Any, **named: Any) -> HashTrieMap:  # type: ignore[override]
        """The map with the entries of others."""
        found: dict[Any, Any] = dict(self)
        for other in others:
            found.update(other if isinstance(other, Mapping) else dict(other))
        return HashTrieMap({**found, **named})


class HashTrieSet(frozenset[Any]):
    """A set; ``insert`` and ``remove`` give a new one."""

    def insert(self, value: Hashable) -> HashTrieSet:
        """The set with one more member."""
        return HashTrieSet({*self, value})

    def remove(self, value: Hashable) -> HashTrieSet:
        """The set without a member. Raises KeyError."""
        if value not in self:
            raise KeyError(value)
        return HashTrieSet(self - {value})

    def update(self, *others: Iterable[Any]) -> HashTrieSet:
        """The set with the members of others."""
        return HashTrieSet(self.union(*others))


class List(tuple[Any, ...]):
    """A list whose front is where it grows."""

    def __new__(cls, values: Iterable[Any] = (), *more: Any) -> List:
        """From one iterable, or from the values themselves."""
        return super().__new__(cls, (values, *more) if more else tuple(values))

    def push_front(self, value: Any) -> List:
        """The list with a value before the others."""
        return List([value, *self])

    def drop_first(self) -> List:
        """The list without its first value. Raises IndexError."""
        if not self:
            raise IndexError("an empty list has no first value")
        return List(self[1:])

    @property
    def first(self) -> Any:
        """The first value. Raises IndexError."""
        return self[0]

    @property
    def rest(self) -> List:
        """All but the first value; empty for an empty list."""
        return List(self[1:])

    def __reversed__(self) -> Iterator[Any]:
        """From the last value to the first."""
        return iter(self[::-1])
