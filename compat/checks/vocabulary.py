"""Units, lists and gather words of the vocabulary fit together, and a name ends with its unit."""

from __future__ import annotations

from collections.abc import Iterator

from compat.checks.material import Material
from compat.dataset.toml_files import read_text
from compat.model.faults import Fault, did_you_mean
from compat.model.values import Origin
from compat.model.vocabulary import TraitDefinition, Vocabulary

NAME = "vocabulary"
SCOPE = "dataset"
SENTENCE = "every trait has a known kind, unit, list and way of gathering, and its name ends with its unit"
# The way in which a circuit or a line gets a trait, and the kinds of trait it can give.
FROM_A_TRAIT = {
    "sum": ("quantity",),
    "least": ("quantity",),
    "greatest": ("quantity",),
    "largest_to_sum": ("quantity",),
    "some": ("set",),
    "every": ("set",),
    "all": ("yes_no",),
    "any": ("yes_no",),
}
FROM_NO_TRAIT = {
    "column": ("quantity", "choice", "set", "yes_no"),
    "line": ("quantity", "choice", "set", "yes_no"),
    "count": ("quantity",),
    "types": ("quantity",),
}
COMPUTED = {"computed": ("quantity", "yes_no")}
GATHERS = {**FROM_A_TRAIT, **FROM_NO_TRAIT, **COMPUTED}
GATHERED_SUBJECTS = ("circuit", "line")
# Counts and shares of one have no unit, so no end of a name.
WITHOUT_ENDING = ("count", "ratio")


def check(material: Material) -> Iterator[Fault]:
    """Faults of traits.csv, choices.csv and units.csv against each other."""
    vocabulary = material.dataset.vocabulary
    folder = material.dataset.root / "datasets" / "vocabulary"
    for trait in vocabulary.traits.values():
        for what, do in (*_gather_faults(trait, vocabulary), *_unit_faults(trait, vocabulary)):
            line = _line(read_text(folder / "traits.csv"), f"{trait.subject},{trait.name},")
            yield Fault(f"{trait.full_name}: {what}", Origin("traits.csv", line=line), do=do)
    used = {trait.choices for trait in vocabulary.traits.values()}
    for name in vocabulary.choices:
        if name not in used:
            line = _line(read_text(folder / "choices.csv"), f"{name},")
            yield Fault(f"no trait uses the list {name}", Origin("choices.csv", line=line), do="Remove it")


def _gather_faults(trait: TraitDefinition, vocabulary: Vocabulary) -> Iterator[tuple[str, str]]:
    gathered = trait.subject in GATHERED_SUBJECTS
    if not gathered:
        if trait.gather or trait.gathered_from:
            yield f"a trait of a {trait.subject} is stated, not gathered", "Leave gather and of empty"
        return
    if trait.gather not in GATHERS:
        words = ", ".join(GATHERS)
        yield f"gather is '{trait.gather}'; allowed: {words}", did_you_mean(trait.gather, GATHERS)
        return
    if trait.kind not in GATHERS[trait.gather]:
        kinds = " or ".join(GATHERS[trait.gather])
        yield f"gather {trait.gather} gives a {kinds}, not a {trait.kind}", "Mend the kind or the way"
    if trait.gather in FROM_NO_TRAIT and trait.gathered_from:
        yield f"gather {trait.gather} is from no trait, and of is {trait.gathered_from}", "Leave of empty"
    if trait.gather in FROM_A_TRAIT:
        yield from _source_faults(trait, vocabulary)


def _source_faults(trait: TraitDefinition, vocabulary: Vocabulary) -> Iterator[tuple[str, str]]:
    source = vocabulary.traits.get(trait.gathered_from)
    if source is None:
        yield f"gather {trait.gather} needs the trait it is from", "Write it under of"
        return
    if source.unit != trait.unit:
        units = f"{source.unit or 'none'}, this is in {trait.unit or 'none'}"
        yield f"{source.full_name} is in the unit {units}", "Use one unit"
    if source.choices != trait.choices:
        lists = f"{source.choices or 'none'}, this of {trait.choices or 'none'}"
        yield f"{source.full_name} is of the list {lists}", "Use one list"


def _unit_faults(trait: TraitDefinition, vocabulary: Vocabulary) -> Iterator[tuple[str, str]]:
    if trait.kind == "quantity" and trait.unit not in WITHOUT_ENDING:
        if not trait.name.endswith(f"_{trait.unit}"):
            yield f"the name does not end with its unit {trait.unit}", f"Name it {trait.name}_{trait.unit}"
        return
    ending = trait.name.rpartition("_")[2]
    if trait.name != ending and ending in vocabulary.units and ending not in WITHOUT_ENDING:
        yield f"the name ends with the unit {ending}, and the trait has no such unit", "Rename it"


def _line(text: str, start: str) -> int | None:
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith(start):
            return number
    return None
