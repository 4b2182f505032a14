"""The table in which questions are asked and answered: its headings, and what has a cell for an answer."""

from __future__ import annotations

from compat.model.vocabulary import TraitDefinition

ABOUT, QUESTION, WHERE, DECIDES = "About", "Question", "Where the answer stands", "What it decides"
ANSWER, UNIT, TAKEN, FIRST = "Answer", "Unit", "Taken until then", "Ask first"
CIRCUITS, VALUE = "Circuits", "Value"
HEADINGS = (ABOUT, QUESTION, WHERE, DECIDES, ANSWER, UNIT, TAKEN, FIRST, CIRCUITS, VALUE)
# How a subject must gather a trait for an answer to state it; any way for the others.
STATED_AS = {"circuit": "column", "line": "line"}


def answerable(trait: TraitDefinition) -> bool:
    """Whether an answer can state a trait; what is computed, or is a matter of labels, cannot be."""
    return trait.gather == STATED_AS.get(trait.subject, trait.gather)
