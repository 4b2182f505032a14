"""Values of traits as the contractor's domains, and back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import Vocabulary
from compat.rulebook.contractor import IS_FALSE, IS_TRUE, UNKNOWN_QUANTITY, Domain, Kind

Values = Mapping[str, Content]


@dataclass(slots=True)
class Boxes:
    """Makes boxes over some traits by full name; ``blank`` is the box of which nothing is known."""

    vocabulary: Vocabulary
    names: Iterable[str]
    kinds: dict[str, Kind] = field(init=False)
    blank: dict[str, Domain] = field(init=False)

    def __post_init__(self) -> None:
        """Look up the kinds of the names."""
        self.kinds = {name: self.vocabulary.traits[name].kind for name in sorted(set(self.names))}
        self.blank = {name: self._unknown(name) for name in self.kinds}

    def filled(self, box: Mapping[str, Domain], values: Values, slack: float = 0.0) -> dict[str, Domain]:
        """A box with known values in place of its own, quantities widened by a share ``slack`` of them."""
        filled = dict(box)
        for name, content in values.items():
            if name in filled and content is not None:
                filled[name] = self.domain(name, content, slack)
        return filled

    def domain(self, name: str, content: Content, slack: float = 0.0) -> Domain:
        """What a content leaves possible."""
        match content:
            case Interval():
                return float(content.low) * (1.0 - slack), float(content.high) * (1.0 + slack)
            case bool():
                return IS_TRUE if content else IS_FALSE
            case str():
                return self.vocabulary.bit_of(self.vocabulary.traits[name].choices, content)
            case TokenSet():
                return self._mask(name, content.sure), self._mask(name, content.possible)
            case _:
                return self.blank[name]

    def content(self, name: str, domain: Domain) -> Content:
        """What a domain says: None for a choice or a truth that is open; quantities as they are."""
        tokens = self._tokens(name)
        if isinstance(domain, int):
            if domain & (domain - 1):
                return None
            return domain == IS_TRUE if self.kinds[name] == "yes_no" else tokens[domain.bit_length() - 1]
        if self.kinds[name] == "set":
            return TokenSet(_named(int(domain[0]), tokens), _named(int(domain[1]), tokens))
        return Interval(*domain)

    def relevant(self, values: Values) -> list[tuple[str, Content]]:
        """The values of names in the boxes, in the order of the names."""
        return [(name, content) for name, content in sorted(values.items()) if name in self.kinds]

    def _mask(self, name: str, tokens: Iterable[str]) -> int:
        choices = self.vocabulary.traits[name].choices
        return sum(self.vocabulary.bit_of(choices, token) for token in tokens)

    def _tokens(self, name: str) -> list[str]:
        return list(self.vocabulary.choices.get(self.vocabulary.traits[name].choices, ()))

    def _unknown(self, name: str) -> Domain:
        every = (1 << len(self._tokens(name))) - 1
        unknown: dict[Kind, Domain] = {
            "quantity": UNKNOWN_QUANTITY,
            "yes_no": IS_TRUE | IS_FALSE,
            "choice": every,
            "set": (0, every),
        }
        return unknown[self.kinds[name]]


def _named(mask: int, tokens: Sequence[str]) -> frozenset[str]:
    return frozenset(token for place, token in enumerate(tokens) if mask >> place & 1)
