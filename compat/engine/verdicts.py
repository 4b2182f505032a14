"""The keys of all pairings of some circuits with some outputs, by the database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from compat.dataset.read import Dataset, Equipment
from compat.engine.frames import columns_of
from compat.engine.gather import Circuit
from compat.engine.handover import columns_into_database, locked_connection
from compat.engine.pairing import PairingPlan
from compat.engine.site import Site
from compat.model.values import Content, Trait
from compat.rulebook.rules import ParsedRule


def pairing_keys(
    circuits: Sequence[Circuit],
    outputs: Sequence[Equipment],
    site: Site,
    dataset: Dataset,
    rules: Sequence[ParsedRule],
) -> list[list[int]]:
    """For each circuit the key on each output, in their orders."""
    if not circuits or not outputs:
        return [[] for _ in circuits]
    plan = PairingPlan(rules)
    given = {
        name: content
        for subject in ("supply", "breaker", "cable", "source_impedance")
        for name, content in _named(site.traits(subject), subject).items()
    }
    wanted = plan.names("circuit")
    circuit_values = [
        {name: given[name] if name in given else circuit.values.get(name) for name in wanted}
        for circuit in circuits
    ]
    output_values = [_named(output.traits, "output") for output in outputs]
    connection = locked_connection()
    try:
        vocabulary = dataset.vocabulary
        circuit_columns = columns_of(circuit_values, wanted, vocabulary, "circuit_index")
        output_columns = columns_of(output_values, plan.names("output"), vocabulary, "output_index")
        columns_into_database(connection, "circuits", circuit_columns)
        columns_into_database(connection, "outputs", output_columns)
        plan.run(connection)
        rows = connection.execute("SELECT key FROM pairings ORDER BY circuit_index, output_index").fetchall()
    finally:
        connection.close()
    keys = [key for (key,) in rows]
    width = len(outputs)
    return [keys[start : start + width] for start in range(0, len(keys), width)]


def _named(traits: Mapping[str, Trait], subject: str) -> Mapping[str, Content]:
    return {f"{subject}.{name}": trait.content for name, trait in traits.items()}
