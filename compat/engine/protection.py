"""Rules about a protective device: judged for all circuits behind it together.

Circuits whose rows name one label in the column ``breaker`` share a breaker, and those with one label in
``RCD`` a residual-current device. Which device a circuit without a label is on is open: what it draws
alone is a lower bound. Where all circuits without a label could share one device and it would still do,
nothing is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from operator import is_
from typing import Literal, get_args

from compat.dataset.read import Dataset
from compat.engine.findings import Judged, judged_worst_first
from compat.engine.gather import Circuit, by_label, label_of, together, with_column
from compat.engine.site import Site
from compat.engine.subject import Pairing
from compat.model.values import Trait
from compat.model.verdicts import Verdict, worst
from compat.rulebook.rules import ParsedRule
from compat.rulebook.truth import NO, verdict_of

Device = Literal["breaker", "rcd"]
DEVICES: tuple[Device, ...] = get_args(Device)
PREFIXES: dict[Device, tuple[str, ...]] = {
    "breaker": ("breaker.", "circuit.breaker_"),
    "rcd": ("supply.rcd_", "circuit.rcd_"),
}
# The circuits that do not say what is asked, the findings of all, and those of the others.
Group = tuple[frozenset[str], list[Judged], list[Judged]]
NAMES: dict[Device, str] = {"breaker": "Breaker", "rcd": "RCD"}


def device_of(rule: ParsedRule) -> Device | None:
    """The protective device that a rule is about, None when it is about none."""
    if rule.rule.scope != "supply":
        return None
    found = (
        device for device, prefixes in PREFIXES.items() if any(n.startswith(prefixes) for n in rule.names)
    )
    return next(found, None)


def is_shared(rule: ParsedRule) -> bool:
    """Whether a rule is about a protective device, so that all circuits on it count."""
    return device_of(rule) is not None


@dataclass(slots=True)
class Protection:
    """The findings of the shared rules, for each device once; ``brief`` as of :func:`findings.judge`."""

    rules: Sequence[ParsedRule]
    circuits: Sequence[Circuit]
    site: Site
    dataset: Dataset
    # The same on another footing: groups of the same circuits serve again.
    like: Protection | None = None
    brief: bool = False
    _rules: dict[Device, list[ParsedRule]] = field(init=False)
    _done: dict[tuple[Device, str], Group] = field(default_factory=dict)
    _behind_label: dict[Device, dict[str, list[Circuit]]] = field(default_factory=dict)
    _pairings: dict[tuple[Device, str], Pairing] = field(default_factory=dict)
    _any_holds: dict[Device, bool] = field(default_factory=dict)
    _last: tuple[Circuit | None, dict[Device, Pairing]] = field(default_factory=lambda: (None, {}))

    def __post_init__(self) -> None:
        """Sorts the rules by device."""
        of_device = [(device_of(rule), rule) for rule in self.rules]
        self._rules = {device: [rule for one, rule in of_device if one == device] for device in DEVICES}

    def verdict(self, circuit: Circuit) -> Verdict:
        """The worst verdict that holds for a circuit because of its protective devices."""
        found = list[Verdict]()
        for device in DEVICES:
            if label_of(circuit, device) is not None:
                found += [judged.finding.verdict for judged in self._behind(device, circuit)]
                continue
            pairing = self._unlabelled(device, circuit)
            for rule in self._rules[device]:
                if pairing.applies(rule) != NO:
                    found.append(verdict_of(pairing.code(rule), rule.rule.breach))
        return worst(found)

    def findings(self, circuit: Circuit) -> list[Judged]:
        """The findings that hold for a circuit because of its protective devices."""
        return [found for device in DEVICES for found in self._behind(device, circuit)]

    def pairing_of(self, rule: ParsedRule, circuit: Circuit) -> Pairing:
        """What a shared rule is judged on: the circuit, or all that share its protective device."""
        device = device_of(rule)
        assert device is not None
        label = label_of(circuit, device)
        members = self._members(device, label) if label else [circuit]
        if (device, label or circuit.id) not in self._pairings:
            one = members[0] if len(members) == 1 else together(label or "", members, self.dataset, self.site)
            self._pairings[device, label or circuit.id] = self._alone(device, one, True)
        return self._pairings[device, label or circuit.id]

    def _behind(self, device: Device, circuit: Circuit) -> list[Judged]:
        label = label_of(circuit, device)
        if label is None:
            return judged_worst_first(self._rules[device], self._unlabelled(device, circuit), self.brief)
        silent, found, of_known = self._group(device, label)
        return found if circuit.id in silent or not of_known else of_known

    def _unlabelled(self, device: Device, circuit: Circuit) -> Pairing:
        """A circuit that names no device, on one; kept for the circuit asked for last."""
        if self._last[0] is not circuit:
            self._last = circuit, {}
        if device not in self._last[1]:
            known = self._known_alone(device, circuit)
            self._last[1][device] = self._alone(device, circuit, known)
        return self._last[1][device]

    def _known_alone(self, device: Device, circuit: Circuit) -> bool | None:
        """Whether all that is on the device of a circuit without a label is known."""
        stated = circuit.values.get(f"circuit.{device}_members_known") is True
        # Expected verdicts take a circuit without a label to be alone on its device.
        usual = self.site.usual is not None
        return True if stated or usual or self._holds_all_unlabelled(device) else None

    def _members(self, device: Device, label: str) -> list[Circuit]:
        if device not in self._behind_label:
            self._behind_label[device] = by_label(self.circuits, device)
        return self._behind_label[device][label]

    def _group(self, device: Device, label: str) -> Group:
        if (device, label) not in self._done:
            self._done[device, label] = self._of_label(device, label)
        return self._done[device, label]

    def _of_label(self, device: Device, label: str) -> Group:
        """The findings of all circuits on a device, and of those alone that a silent one leaves no word of.

        What leaks is asked of the circuits that do not say it; the others behind the same residual-current
        device are judged by what is known, which is a lower bound. On a breaker every silence counts for all.
        """
        members = self._members(device, label)
        if self.like is not None and all(map(is_, members, self.like._members(device, label))):
            return self.like._group(device, label)
        asked = self._asked(device) if device == "rcd" else ()
        silent = frozenset(one.id for one in members if any(one.values.get(name) is None for name in asked))
        known = [one for one in members if one.id not in silent]
        found = self._of_all(device, label, members, "")
        of_known = self._of_all(device, label, known, ", known figures only") if silent else []
        return silent, found, of_known

    def _asked(self, device: Device) -> tuple[str, ...]:
        """What the rules of a device ask of each circuit behind it."""
        names = (name for rule in self._rules[device] for name in rule.names)
        return tuple(
            dict.fromkeys(n for n in names if n.startswith("circuit.") and not n.endswith("_members_known"))
        )

    def _of_all(self, device: Device, label: str, members: Sequence[Circuit], who: str) -> list[Judged]:
        if not members:
            return []
        if len(members) == 1:
            return self._judged(device, members[0], True)
        one = together(label, members, self.dataset, self.site)
        names = ", ".join(other.id for other in members)
        lead = f"{NAMES[device]} {label}{who} ({names}): "
        return [_with_lead(found, lead) for found in self._judged(device, one, True)]

    def _holds_all_unlabelled(self, device: Device) -> bool:
        """Whether one device would do for all circuits without a label together."""
        if device not in self._any_holds:
            open_ones = [circuit for circuit in self.circuits if label_of(circuit, device) is None]
            found = list[Judged]()
            if len(open_ones) > 1:
                found = self._judged(device, together("", open_ones, self.dataset, self.site), True)
            self._any_holds[device] = all(judged.finding.verdict == "works" for judged in found)
        return self._any_holds[device]

    def _judged(self, device: Device, circuit: Circuit, members_known: bool | None) -> list[Judged]:
        pairing = self._alone(device, circuit, members_known)
        return judged_worst_first(self._rules[device], pairing, self.brief)

    def _alone(self, device: Device, circuit: Circuit, members_known: bool | None) -> Pairing:
        stated = with_column(circuit, f"{device}_members_known", Trait(members_known))
        return Pairing.of(stated, None, self.site, self.dataset)


def _with_lead(judged: Judged, lead: str) -> Judged:
    said = judged.finding.because
    because = f"{lead}{said[:1].lower()}{said[1:]}" if said else ""
    return replace(judged, finding=judged.finding.model_copy(update={"because": because}))
