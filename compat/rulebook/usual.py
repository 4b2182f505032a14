"""Usual values: read from ``datasets/usual/``, and filled in where nothing is known. Never a proof."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from compat.dataset.read import Dataset
from compat.dataset.toml_files import Document, read_document, validated
from compat.dataset.values import ValueFault, trait_of
from compat.model.faults import BadInput, Fault, did_you_mean
from compat.model.usual import UsualClass, UsualFile, UsualSupply
from compat.model.values import UNKNOWN, Content, Interval, Origin, TokenSet, Trait
from compat.model.vocabulary import Vocabulary
from compat.rulebook import nodes
from compat.rulebook.boxes import Boxes
from compat.rulebook.contractor import Narrowing
from compat.rulebook.nodes import TruthNode
from compat.rulebook.relations import fold_text, has_words

FOLDER = "usual"
# What a class may ask about, by what it is a class of.
SUBJECTS_OF = {subject: frozenset({subject, "supply"}) for subject in ("driver", "circuit", "line")}


@dataclass(frozen=True, slots=True)
class ParsedClass:
    """A class with its tree; ``figures`` hold each value with the basis and source it is written with."""

    written: UsualClass
    file: Path
    applies: TruthNode
    figures: Mapping[str, Trait]

    def filled(self, name: str) -> Trait:
        """A figure as it is filled in: of basis usual, with the place where it is written."""
        return replace(self.figures[name], basis="usual")


@dataclass(frozen=True, slots=True)
class Usual:
    """All classes by id, and the supplies that are usual by country."""

    classes: tuple[ParsedClass, ...] = ()
    supplies: tuple[UsualSupply, ...] = ()
    names: tuple[str, ...] = field(init=False)
    taken_as_so: Mapping[str, str] = field(init=False)
    _as_so: list[Usual] = field(init=False, repr=False, compare=False, default_factory=list)
    _spoken: dict[tuple[str, str], tuple[ParsedClass, ...]] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )

    def __post_init__(self) -> None:
        """``names`` are the traits, by full name, that decide which class applies; ``taken_as_so`` holds by
        id what is told of a class that goes without saying.
        """
        asked = {name for entry in self.classes for name in nodes.names(entry.applies)}
        object.__setattr__(self, "names", tuple(sorted(asked)))
        told = {one.written.id: one.written.taken_as_so for one in self.classes if one.written.taken_as_so}
        object.__setattr__(self, "taken_as_so", told)

    @property
    def as_so(self) -> Usual:
        """Those classes alone that go without saying."""
        if not self._as_so:
            classes = tuple(one for one in self.classes if one.written.id in self.taken_as_so)
            self._as_so.append(Usual(classes, self.supplies))
        return self._as_so[0]

    def spoken_of(self, subject: str, text: str) -> tuple[ParsedClass, ...]:
        """The classes of a subject whose words stand in a text; looked for once for each text."""
        key = (subject, text)
        if key not in self._spoken:
            if len(self._spoken) >= MOST_TEXTS:
                self._spoken.clear()
            folded = fold_text(text)
            self._spoken[key] = tuple(
                entry
                for entry in self.classes
                if entry.written.subject == subject
                and has_words(folded, entry.written.words, entry.written.unless_words)
            )
        return self._spoken[key]

    def supply_in(self, country: str) -> UsualSupply | None:
        """The supply that is usual in a country, by its code of ISO 3166-1; None where none is stated."""
        code = country.casefold()
        return next((entry for entry in self.supplies if code in entry.countries), None)


def usual_files(root: Path) -> list[Path]:
    """Every file of usual values of a dataset, in a fixed order."""
    return sorted((root / "datasets" / FOLDER).glob("*.toml"))


def read_usual(root: Path, vocabulary: Vocabulary) -> Usual:
    """The usual values of a dataset folder; raises BadInput with every fault of every file."""
    classes: list[ParsedClass] = []
    supplies: list[UsualSupply] = []
    faults: list[Fault] = []
    for path in usual_files(root):
        try:
            document = read_document(path)
            file = validated(UsualFile, document.data, document)
        except BadInput as error:
            faults.extend(error.faults)
            continue
        supplies += file.supply
        classes += [
            _parsed(entry, place, document, path, vocabulary, faults)
            for place, entry in enumerate(file.class_)
        ]
    if faults:
        raise BadInput(faults)
    return Usual(tuple(sorted(classes, key=lambda entry: entry.written.id)), tuple(supplies))


def usual_of(dataset: Dataset) -> Usual:
    """The usual values of a dataset, read once a run. Raises BadInput."""
    key = (dataset.root, dataset.sha256)
    if key not in _READ:
        if len(_READ) >= MOST_KEPT:
            _READ.clear()
        _READ[key] = read_usual(dataset.root, dataset.vocabulary)
    return _READ[key]


def keep_usual(dataset: Dataset, usual: Usual) -> None:
    """Take usual values that were read before for those of a dataset."""
    _READ[dataset.root, dataset.sha256] = usual


MOST_KEPT = 8
MOST_TEXTS = 4096
_READ: dict[tuple[Path, str], Usual] = {}
_BOXES: dict[tuple[tuple[str, ...], int], tuple[Vocabulary, Boxes]] = {}


def _boxes(usual: Usual, vocabulary: Vocabulary) -> Boxes:
    """Boxes over what the classes ask about, made once for each vocabulary."""
    key = (usual.names, id(vocabulary))
    if key not in _BOXES:
        if len(_BOXES) >= MOST_KEPT:
            _BOXES.clear()
        # The vocabulary is kept beside them so that its identity cannot pass to another.
        _BOXES[key] = (vocabulary, Boxes(vocabulary, usual.names))
    return _BOXES[key][1]


def with_usual(
    traits: Mapping[str, Trait],
    vocabulary: Vocabulary,
    usual: Usual,
    *,
    subject: str = "driver",
    text: str = "",
    given: Mapping[str, Content] | None = None,
    derived: Collection[str] = (),
) -> tuple[dict[str, Trait], dict[str, str]]:
    """The traits of a subject with usual values in the gaps, and for each of those the id of its class.

    A value that is declared or derived stays. What it leaves open, such as which methods a driver
    perhaps takes, or the width of the range of one of the names ``derived``, a usual value narrows and
    never leaves. ``text`` is what people call it; ``given`` are values of others by full name, such as
    ``supply.voltage_v``.
    """
    boxes = _boxes(usual, vocabulary)
    known = dict(traits)
    box = boxes.filled(boxes.blank, {name: _middle(content) for name, content in (given or {}).items()})
    box = boxes.filled(box, {f"{subject}.{name}": _middle(trait.content) for name, trait in traits.items()})
    which: dict[str, str] = {}
    # Of these a usual value says nothing more.
    settled = {name for name, trait in known.items() if not _may_add(trait, name in derived)}
    for entry in usual.spoken_of(subject, text):
        written = entry.written
        # The names as they are written: to ask the figures for them would read those of every class.
        if settled.issuperset(written.traits) or not _is_asked(written, known):
            continue
        if Narrowing(box, boxes.kinds).truth(entry.applies) is not True:
            continue
        for name in entry.figures:
            if name in which:
                continue
            trait = narrowed(known.get(name, UNKNOWN), entry.filled(name), name in derived)
            if trait is None:
                continue
            known[name], which[name] = trait, written.id
            settled.add(name)
            full = f"{subject}.{name}"
            if full in boxes.kinds:
                box[full] = boxes.domain(full, _middle(trait.content))
    return known, which


def _may_add(known: Trait, is_derived: bool) -> bool:
    """Whether a usual value may say more than what is known of a trait."""
    if known.content is None or is_derived:
        return True
    return isinstance(known.content, TokenSet) and known.content.sure != known.content.possible


def _is_asked(written: UsualClass, known: Mapping[str, Trait]) -> bool:
    """Whether one of the traits that a class wants known is, and none of those that it wants unknown."""

    def one_of(names: Collection[str]) -> bool:
        return any(known.get(name, UNKNOWN).content is not None for name in names)

    return not one_of(written.unless_known) and (not written.if_known or one_of(written.if_known))


def narrowed(known: Trait, usual: Trait, is_derived: bool) -> Trait | None:
    """What a usual value adds to what is known of a trait; None where it adds nothing."""
    match known.content, usual.content:
        case None, _:
            # A figure from memory is still shown; it decides nothing.
            return usual
        case TokenSet() as stated, TokenSet() as filled if stated.sure != stated.possible:
            sure, possible = stated.sure | filled.sure, stated.possible & filled.possible
            if not filled.sure <= stated.possible or not sure <= possible:
                return None
            return replace(usual, content=TokenSet(sure, possible))
        case Interval() as found, Interval() as filled if is_derived:
            low, high = max(found.low, filled.low), min(found.high, filled.high)
            if low > high or Interval(low, high) == found:
                return None
            return replace(usual, content=Interval(low, high))
        case _:
            return None


def _middle(content: Content) -> Content:
    """A quantity by the middle of its range, so that one of 4.5 to 5.5 W has a class; others as they are."""
    if isinstance(content, Interval):
        middle = content.low + (content.high - content.low) / 2.0
        return Interval(middle, middle)
    return content


def _parsed(
    entry: UsualClass,
    place: int,
    document: Document,
    path: Path,
    vocabulary: Vocabulary,
    faults: list[Fault],
) -> ParsedClass:
    from compat.rulebook.expression import ExpressionError, Reader

    applies: TruthNode = nodes.Always(False)
    try:
        applies = Reader(vocabulary, SUBJECTS_OF[entry.subject]).truth(entry.applies)
    except ExpressionError as error:
        where = document.where("class", place, "applies")
        faults.append(Fault(f"{entry.id}: applies cannot be read: {error}".rstrip("."), where))
    return ParsedClass(entry, path, applies, _figures(entry, place, document, path, vocabulary, faults))


def _figures(
    entry: UsualClass,
    place: int,
    document: Document,
    path: Path,
    vocabulary: Vocabulary,
    faults: list[Fault],
) -> dict[str, Trait]:
    figures = dict[str, Trait]()
    allowed = _allowed(entry.subject, vocabulary)
    for key in ("if_known", "unless_known"):
        for name in getattr(entry, key):
            if name not in allowed:
                where = document.where("class", place, key)
                what = f"{entry.id}: '{name}' is no trait that a {entry.subject} can have"
                faults.append(Fault(what, where, do=did_you_mean(name, allowed)))
    for name, value in entry.traits.items():
        where = document.where("class", place, "traits", name)
        if name not in allowed:
            what = f"{entry.id}: '{name}' is no trait that can be usual of a {entry.subject}"
            faults.append(Fault(what, where, do=did_you_mean(name, allowed)))
            continue
        try:
            definition = vocabulary.traits[f"{entry.subject}.{name}"]
            trait = trait_of(value, definition, vocabulary, entry.basis, entry.source)
        except ValueFault as error:
            faults.append(Fault(f"{entry.id} {name}: {error}", where))
            continue
        figures[name] = replace(trait, origin=Origin(path.name, key=f"{entry.id} {name}"))
    return figures


def _allowed(subject: str, vocabulary: Vocabulary) -> Sequence[str]:
    return [
        t.name
        for t in vocabulary.of_subject(subject)
        if subject == "driver" or t.gather in ("column", "line")
    ]
