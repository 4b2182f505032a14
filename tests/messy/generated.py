"""Random schedules with known truth, laid out as people lay them out."""

from __future__ import annotations

import random
from dataclasses import dataclass

TOTALS = ("Total", "Subtotal GF", "Summe EG", "Zwischensumme", "Sous-total", "Totaal", "Suma", "Totale",
          "Delsumma", "I alt", "Carried forward", "Sum")  # fmt: skip
ROOMS = ("Kitchen", "Hall", "Void", "Bath 2", "Master bed", "Stair")
TYPES = {"A": 7.5, "B": 9.0, "C1": 14.4, "Pendant": 40.0, "Strip L": 22.0}
OWN = ("Rev", "Cost each", "Finish", "Supplier", "Zzyx")


@dataclass(frozen=True, slots=True)
class Line:
    """A luminaire type on a circuit, as it truly is."""

    circuit: str
    room: str
    kind: str
    quantity: int
    watts: float


def schedule(seed: int) -> tuple[str, list[Line]]:
    """A CSV file and its lines. How the watts are headed is drawn: of one, of all, both, or left open."""
    chance = random.Random(seed)
    style = chance.choice(("each", "total", "both", "open"))
    comma = chance.random() < 0.4
    separator = ";" if comma else chance.choice((",", "\t", "|"))
    room_rows = chance.random() < 0.4
    power = {"each": ["W each"], "total": ["Total W"], "both": ["W each", "Total W"]}.get(style, ["Load (W)"])
    # An open heading is of one or of all; a total row at the end settles it.
    of_all = style == "open" and chance.random() < 0.5
    columns = ["Circuit", "Fitting", "Qty", *power, *chance.sample(OWN, chance.randrange(3))]
    columns += [] if room_rows else ["Room"]
    if chance.random() < 0.5:
        chance.shuffle(columns)
    lines: list[Line] = []
    rows: list[dict[str, str]] = []
    since: list[Line] = []

    def number(value: float) -> str:
        return f"{value:.2f}".rstrip("0").rstrip(".").replace(".", "," if comma else ".")

    def figures(some: list[Line]) -> dict[str, str]:
        each, both = sum(x.watts for x in some), sum(x.watts * x.quantity for x in some)
        found = {"Qty": str(sum(x.quantity for x in some)), "Total W": number(both)}
        if len(some) == 1:
            found["W each"] = number(each)
        found["Load (W)"] = number(both if of_all or len(some) > 1 else each)
        return found

    for block in range(chance.randrange(1, 4)):
        room = chance.choice(ROOMS)
        if room_rows:
            rows.append({columns[0]: room})
        for place in range(chance.randrange(2, 6)):
            kind = chance.choice(list(TYPES))
            line = Line(f"L{block}{place}", room, kind, chance.randrange(1, 13), TYPES[kind])
            lines.append(line)
            since.append(line)
            rows.append({"Circuit": line.circuit, "Fitting": kind, "Room": room, **figures([line]),
                         **dict.fromkeys(OWN, "x")})  # fmt: skip
        if chance.random() < 0.3:
            rows.append({"Circuit": f"S{block}", "Fitting": chance.choice(("Spare", "Reserve", "spare way"))})
        if chance.random() < 0.5:
            rows.append({"Circuit": chance.choice(TOTALS), **figures(since), "W each": ""})
            since = []
    rows.append({"Circuit": "Grand total", **figures(lines), "W each": ""})
    if chance.random() < 0.3:
        rows += [{}, {columns[0]: "Notes:"}, {columns[0]: "1. Read with the drawings."}]
    head = [["Project", "A house"], ["Rev", "C"], []][: chance.randrange(4)]
    body = [[row.get(name, "") for name in columns] for row in rows]
    return "\n".join(separator.join(cells) for cells in (*head, columns, *body)) + "\n", lines
