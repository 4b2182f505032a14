"""Ids named in texts are those of something that is there."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compat.checks.material import Material, in_entry, in_rule
from compat.dataset.toml_files import read_text
from compat.model.faults import Fault
from compat.model.values import Origin

NAME = "mentions"
SCOPE = "dataset"
SENTENCE = "an id named in a text is that of a rule in force, an entry or a reference"
ID = re.compile(r"(?<![\w.-])[RSDOUBCZFK][0-9]{4}(?![\w-])")
PAGES = ("README.md",)


def check(material: Material) -> Iterator[Fault]:
    """Faults for ids in rules, notes and the README that name nothing, or a withdrawn rule."""
    known = {rule.rule.id for rule in material.live_rules()}
    known |= {entry.id for entry in material.entries} | set(material.dataset.sources)
    known |= {entry.relation.id for entry in material.relations}
    known |= {entry.written.id for entry in material.usual.classes}
    for rule in material.live_rules():
        data = rule.rule
        texts = [data.title, data.question, data.because, data.caution, data.note]
        for text in (*texts, *data.remedies, *data.ask_for.values()):
            for name in ID.findall(text):
                if name not in known:
                    yield Fault(_what(name), in_rule(rule), do="Correct the id or leave it out")
    for entry in material.entries:
        for name in ID.findall(str(entry.raw.get("note", ""))):
            if name not in known:
                where = in_entry(entry, "note")
                yield Fault(f"{entry.id}: {_what(name)}", where, do="Correct the id or leave it out")
    for page in PAGES:
        path = material.dataset.root / page
        if not path.is_file():
            continue
        for number, line in enumerate(read_text(path).splitlines(), start=1):
            for name in ID.findall(line):
                if name not in known:
                    yield Fault(_what(name), Origin(page, line=number), do="Write the page anew")


def _what(name: str) -> str:
    return f"{name} is named here, which is no rule in force, entry or reference"
