"""The verdict of every circuit on every output at one site: by what is known, or with usual values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from compat.dataset.read import Dataset
from compat.engine.findings import Judged, worst_first
from compat.engine.gather import Circuit, label_of
from compat.engine.join import keys_of, verdict_and_place
from compat.engine.protection import DEVICES, Protection
from compat.engine.site import Site
from compat.engine.subject import CircuitSubject, OutputSubject
from compat.model.verdicts import Verdict, worst
from compat.rulebook.rules import ParsedRule


@dataclass(frozen=True, slots=True)
class Verdicts:
    """All circuits of a schedule on one footing; places are those of the schedule."""

    subjects: Sequence[CircuitSubject]
    circuits: Sequence[Circuit]
    keys: Sequence[Mapping[str, int]]
    protection: Protection
    _shared: dict[int, list[Judged]] = field(default_factory=dict)
    _all: dict[object, dict[str, Verdict]] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        circuits: Sequence[Circuit],
        outputs: Mapping[str, OutputSubject],
        rules: Sequence[ParsedRule],
        shared_rules: Sequence[ParsedRule],
        site: Site,
        dataset: Dataset,
        like: Verdicts | None = None,
        brief: bool = False,
    ) -> Verdicts:
        """Judge circuits on outputs by ``rules``, and what protects them by ``shared_rules``.

        ``like`` is another footing; what it has made of the same circuits serves again. ``brief`` is as
        of :func:`findings.judge`.
        """
        known = {id(subject.circuit): subject for subject in (like.subjects if like else ())}
        subjects, firsts, places = list[CircuitSubject](), list[CircuitSubject](), dict[int, int]()
        for circuit in circuits:
            subject = known.get(id(circuit)) or CircuitSubject(dataset, circuit, site)
            # Circuits that state the same share their values, and so what follows from these.
            place = places.setdefault(id(circuit.values), len(firsts))
            if place == len(firsts):
                firsts.append(subject)
            else:
                subject.share(firsts[place])
            subjects.append(subject)
        keys = keys_of(firsts, list(outputs.values()), rules)
        of_first = [dict(zip(outputs, on_outputs, strict=True)) for on_outputs in keys]
        named = [of_first[places[id(one.values)]] for one in circuits]
        known_groups = like.protection if like else None
        protection = Protection(shared_rules, circuits, site, dataset, known_groups, brief)
        return cls(subjects, circuits, named, protection)

    def shared(self, place: int) -> list[Judged]:
        """The findings on the protective devices of a circuit, worst first."""
        if place not in self._shared:
            self._shared[place] = worst_first(self.protection.findings(self.circuits[place]))
        return self._shared[place]

    def all_of(self, place: int) -> dict[str, Verdict]:
        """The verdict of a circuit on each output, protective devices included."""
        circuit = self.circuits[place]
        # Circuits that state the same and name no device share all their verdicts.
        label = tuple(label_of(circuit, device) for device in DEVICES)
        key = id(circuit.values), label
        if key not in self._all:
            shared = self.protection.verdict(circuit)
            self._all[key] = {
                name: worst([verdict_and_place(of_output)[0], shared])
                for name, of_output in self.keys[place].items()
            }
        return self._all[key]
