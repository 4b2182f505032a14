"""What follows from the known values of one row, by layers of trust; and which relation gave what."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.read import Dataset
from compat.model.values import Content, Interval, TokenSet
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.boxes import Boxes, Values
from compat.rulebook.conflicts import PLATE_TOLERANCE, Conflict, without_conflicts
from compat.rulebook.contractor import Contradiction, Domain, Narrowing, met
from compat.rulebook.fixed_point import Contraction, contracted
from compat.rulebook.relations import ParsedRelation, fold_text, relations_of

MOST_KEPT = 4096
# The first layers are what people wrote, of this row and of its driver; below them is what is usual.
WRITTEN_LAYERS = 2


@dataclass(frozen=True, slots=True)
class Step:
    """One value found: the relations that gave it, and the names of the known values that they used."""

    relations: tuple[str, ...]
    used: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """``values`` are those that follow, ``steps`` how; ``fallen`` the less trusted names that gave way."""

    values: dict[str, Content] = field(default_factory=dict)
    steps: dict[str, Step] = field(default_factory=dict)
    fallen: frozenset[str] = frozenset()
    conflicts: tuple[Conflict, ...] = ()


@dataclass(slots=True)
class Follower:
    """Runs relations; equal questions are answered once. Names are full, as ``driver.power_factor``."""

    relations: Sequence[ParsedRelation]
    vocabulary: Vocabulary
    boxes: Boxes = field(init=False)
    _kept: dict[object, Found] = field(default_factory=dict)
    _spoken: dict[tuple[str, str], tuple[ParsedRelation, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Make boxes over all names that relations use."""
        names = {name for relation in self.relations for name in relation.names}
        names |= {name for relation in self.relations for name in nodes.names(relation.unless)}
        self.boxes = Boxes(self.vocabulary, names)

    def follow(
        self, layers: Sequence[Values], given: Values, text: str = "", jurisdiction: str = ""
    ) -> Found:
        """What follows from values in layers, the most trusted first; ``given`` holds beyond doubt.

        A value of a lower layer that cannot be true beside the higher ones falls. Only driver traits
        are found, and of a known quantity nothing new is said.
        """
        spoken = self._in_question(text, jurisdiction)
        key = (
            tuple(relation.relation.id for relation in spoken),
            tuple(tuple(self.boxes.relevant(layer)) for layer in (given, *layers)),
        )
        if key not in self._kept:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            self._kept[key] = self._follow(spoken, layers, given)
        return self._kept[key]

    def _in_question(self, text: str, jurisdiction: str) -> tuple[ParsedRelation, ...]:
        key = (text, jurisdiction)
        if key not in self._spoken:
            if len(self._spoken) >= MOST_KEPT:
                self._spoken.clear()
            folded = fold_text(text)
            self._spoken[key] = tuple(
                relation for relation in self.relations if relation.is_spoken_of(folded, jurisdiction)
            )
        return self._spoken[key]

    def _follow(self, spoken: Sequence[ParsedRelation], layers: Sequence[Values], given: Values) -> Found:
        every: dict[str, Content] = {}
        for layer in reversed((given, *layers)):
            every.update({name: content for name, content in layer.items() if content is not None})
        stated = layers[0] if layers else {}
        awake = self._awake(spoken, every, stated)
        relations = self._not_denied(awake, (given, *layers[:WRITTEN_LAYERS]))
        base = self.boxes.filled(self.boxes.blank, given)
        lower = [layer for layer in layers[1:] if self.boxes.relevant(layer)]
        conflicts: tuple[Conflict, ...] = ()
        done = Contraction(base)
        if self.boxes.relevant(stated) or not lower:
            relations, conflicts, done = self._settled(relations, base, stated)
        fallen: set[str] = set()
        for layer in lower:
            done, gone = self._with_layer(relations, done, layer, known=every)
            fallen |= gone
        return self._told(relations, done, every, given, fallen, conflicts)

    def _awake(self, spoken: Sequence[ParsedRelation], every: Values, stated: Values) -> list[ParsedRelation]:
        """The relations that can say something: not void, and all that is not of the driver is known."""
        box = self.boxes.filled(self.boxes.blank, every)
        is_stated = bool(self.boxes.relevant(stated))
        found = []
        for relation in spoken:
            if any(not name.startswith("driver.") and name not in every for name in relation.names):
                continue
            # Of generic figures that are all known nothing follows, and the dataset check looks after them.
            if not is_stated and not any(_is_open(every.get(name)) for name in relation.names):
                continue
            if Narrowing(box, self.boxes.kinds).truth(relation.unless) is not True:
                found.append(relation)
        return found

    def _not_denied(
        self, relations: Sequence[ParsedRelation], written: Sequence[Values]
    ) -> list[ParsedRelation]:
        """The relations without those that are only presumed and that a written value denies."""
        box = dict(self.boxes.blank)
        for layer in reversed(written):
            box = self.boxes.filled(box, layer)
        return [
            relation
            for relation in relations
            if not (relation.relation.presumed and self._is_broken(relation, box))
        ]

    def _settled(
        self, relations: list[ParsedRelation], base: Mapping[str, Domain], stated: Values
    ) -> tuple[list[ParsedRelation], tuple[Conflict, ...], Contraction]:
        """What follows from stated values alone; relations that they break are left out and told."""
        for slack in (0.0, PLATE_TOLERANCE):
            try:
                done = contracted(relations, self.boxes.filled(base, stated, slack), self.boxes.kinds)
            except Contradiction:
                continue
            return relations, (), done
        kept, conflicts = without_conflicts(relations, base, stated, self.boxes)
        box = self.boxes.filled(base, stated, PLATE_TOLERANCE)
        return kept, conflicts, contracted(kept, box, self.boxes.kinds)

    def _is_broken(self, relation: ParsedRelation, box: Mapping[str, Domain]) -> bool:
        try:
            Narrowing(box, self.boxes.kinds).require(relation.condition, True)
        except Contradiction:
            return True
        return False

    def _with_layer(
        self, relations: Sequence[ParsedRelation], done: Contraction, layer: Values, known: Values
    ) -> tuple[Contraction, set[str]]:
        """The box with a less trusted layer, as far as it fits what is there; and the names that fall."""
        told_of = [
            (name, content)
            for name, content in self.boxes.relevant(layer)
            if content is not None and known.get(name) is content
        ]
        after, fallen = done, set[str]()
        for slack in (0.0, PLATE_TOLERANCE):
            box, fallen = dict(done.box), set[str]()
            for name, content in told_of:
                try:
                    box[name] = met(box[name], self.boxes.domain(name, content, slack))
                except Contradiction:
                    fallen.add(name)
            try:
                after = contracted(relations, box, self.boxes.kinds)
            except Contradiction:
                continue
            break
        else:
            after, fallen = self._one_by_one(relations, done, told_of)
        for told, before in (
            (after.low_set_by, done.low_set_by),
            (after.high_set_by, done.high_set_by),
        ):
            for name, relation in before.items():
                told.setdefault(name, relation)
        for name, ids in done.token_set_by.items():
            after.token_set_by[name] = sorted({*ids, *after.token_set_by.get(name, ())})
        return after, fallen

    def _one_by_one(
        self, relations: Sequence[ParsedRelation], done: Contraction, values: Sequence[tuple[str, Content]]
    ) -> tuple[Contraction, set[str]]:
        """Values that do not fit all together, each taken as long as it fits those before it."""
        after, box, fallen = done, dict(done.box), set[str]()
        for name, content in values:
            try:
                tried = {**box, name: met(box[name], self.boxes.domain(name, content, PLATE_TOLERANCE))}
                after = contracted(relations, tried, self.boxes.kinds)
            except Contradiction:
                fallen.add(name)
            else:
                box = tried
        return after, fallen

    def _told(
        self,
        relations: Sequence[ParsedRelation],
        done: Contraction,
        every: Values,
        given: Values,
        fallen: set[str],
        conflicts: tuple[Conflict, ...],
    ) -> Found:
        """The driver traits that were not known and now are, with the values that each rests on."""
        by_id = {relation.relation.id: relation for relation in relations}
        values: dict[str, Content] = {}
        for name in self.boxes.kinds:
            known = None if name in fallen else every.get(name)
            if not name.startswith("driver.") or not _is_open(known):
                continue
            ids = done.set_by(name)
            content = self._content(name, done, by_id)
            if ids and content is not None and content != known:
                values[name] = content
        steps = {}
        for name in values:
            told = tuple(done.set_by(name))
            names = dict.fromkeys(part for key in told if key in by_id for part in by_id[key].names)
            used = [n for n in names if n != name and (n in values or (n in every and n not in fallen))]
            steps[name] = Step(told, tuple(used))
        return Found(values, steps, frozenset(fallen), conflicts)

    def _content(self, name: str, done: Contraction, by_id: Mapping[str, ParsedRelation]) -> Content:
        """What a box says of a name; None where it leaves it open."""
        domain = done.box[name]
        if self.boxes.kinds[name] != "quantity" or not isinstance(domain, tuple):
            return self.boxes.content(name, domain)
        low, high = domain
        upper = by_id.get(done.high_set_by.get(name, ""))
        # With one end only a value is not known, save where its relation says so, or it can be but one.
        is_known = name in done.low_set_by or low == high or (upper is not None and upper.relation.from_zero)
        return Interval(low, high) if upper is not None and is_known and math.isfinite(high) else None


_FOLLOWERS: dict[tuple[int, str], Follower] = {}
MOST_DATASETS = 8


def follower_of(dataset: Dataset) -> Follower:
    """The relations of a dataset ready to run; made once a run, so that equal rows cost nothing."""
    relations = relations_of(dataset)
    key = (id(relations), dataset.sha256)
    if key not in _FOLLOWERS:
        if len(_FOLLOWERS) >= MOST_DATASETS:
            _FOLLOWERS.clear()
        _FOLLOWERS[key] = Follower(relations, dataset.vocabulary)
    return _FOLLOWERS[key]


def _is_open(content: Content) -> bool:
    return content is None or (isinstance(content, TokenSet) and content.sure != content.possible)
