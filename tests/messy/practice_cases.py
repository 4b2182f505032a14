"""Schedules as practices send them, of this project's own invention, each with what it truly says.

The truth was written before the reader was run on the file. A circuit's lines are quantity, watts of
one, and methods: F forward phase, R reverse phase, A 0-10 V, D DALI, X DMX, S switched alone; None
where the file does not say.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.messy.makers import Make, book, old_book, open_book, raw, text

Line = tuple[int, float | tuple[float, float] | None, str | None]
Truth = dict[str, list[Line]]


@dataclass(frozen=True, slots=True)
class Case:
    """A file and what it says, or for ``refused`` what the sentence must hold. ``at_best`` is ``partly``
    where the file leaves a thing open; ``words`` marks a file that hangs on words of the trade beyond
    those of the vocabulary; ``told`` are parts of the notes.
    """

    name: str
    language: str
    make: Make
    truth: Truth | None = None
    refused: str = ""
    at_best: str = "right"
    told: tuple[str, ...] = ()
    words: bool = False


CASES: list[Case] = []


def case(name: str, language: str, make: Make, truth: Truth | None = None, **more: Any) -> None:
    CASES.append(Case(name, language, make, truth, **more))


# English, United Kingdom

case(
    "title block, revision column, subtotals and a total",
    "en",
    book(
        {
            "Lighting": [
                ["Project:", "House at the mill"],
                ["Rev", "C", None, "Date", "12.03"],
                [],
                [
                    "Cct Ref",
                    "Room / Area",
                    "Fitting",
                    "Qty",
                    "W each",
                    "Control",
                    "Rev",
                    "Cost each",
                    "Finish",
                ],
                ["L1", "Kitchen", "Downlight", 6, 7, "trailing edge", "A", 48, "white"],
                ["L2", "Kitchen", "Pendant", 3, 9, "trailing edge", "A", 120, "brass"],
                ["Sub-total kitchen", None, None, 9],
                ["L3", "Hall", "Wall light", 4, 6, "switched", "B", 80, "white"],
                ["Total GF", None, None, 13],
            ]
        }
    ),
    {"L1": [(6, 7, "R")], "L2": [(3, 9, "R")], "L3": [(4, 6, "S")]},
    told=("Rev, Cost each, Finish",),
)

case(
    "room as a row of its own",
    "en",
    book(
        {
            "GF": [
                ["Circuit", "Luminaire", "No. off", "Watts"],
                ["Kitchen"],
                ["L1", "Downlight", 6, 7],
                ["L2", "Strip", 2, 14],
                ["Dining room"],
                ["L3", "Pendant", 1, 40],
            ]
        }
    ),
    {"L1": [(6, 7, None)], "L2": [(2, 14, None)], "L3": [(1, 40, None)]},
    told=("names the room",),
)

case(
    "circuits and types on two sheets",
    "en",
    book(
        {
            "Circuits": [
                ["Circuit", "Room", "Luminaire ref", "Qty"],
                ["L1", "Kitchen", "A", 6],
                ["L2", "Hall", "B", 4],
                ["L2", "Stair", "A", 2],
            ],
            "Luminaire schedule": [
                ["Luminaire ref", "Description", "Watts", "Dimming"],
                ["A", "Recessed downlight", 7, "trailing edge"],
                ["B", "Wall light", 9, "DALI"],
                ["C", "Bollard", 12, "switched"],
            ],
        }
    ),
    {"L1": [(6, 7, "R")], "L2": [(4, 9, "D"), (2, 7, "R")]},
    told=("no circuit uses: C",),
)

case(
    "a code without its type",
    "en",
    book(
        {
            "Circuits": [["Circuit", "Luminaire ref", "Qty"], ["L1", "A", 6], ["L2", "Z9", 4]],
            "Types": [["Luminaire ref", "Watts", "Dimming"], ["A", 7, "trailing edge"]],
        }
    ),
    {"L1": [(6, 7, "R")], "L2": [(4, None, None)]},
    told=("'Z9' is not in the list of types",),
)

case(
    "load of the row, shown by the total",
    "en",
    book(
        {
            "Sheet1": [
                ["Circuit", "Fitting", "Qty", "Load (W)"],
                ["1", "Downlight", 10, 75],
                ["2", "Pendant", 4, 36],
                ["TOTAL", None, 14, 111],
            ]
        }
    ),
    {"1": [(10, 7.5, None)], "2": [(4, 9, None)]},
    told=("of all luminaires of the row",),
)

case(
    "load of one, shown by the total",
    "en",
    book(
        {
            "Sheet1": [
                ["Circuit", "Fitting", "Qty", "Load (W)"],
                ["1", "Downlight", 10, 7.5],
                ["2", "Pendant", 4, 9],
                ["TOTAL", None, 14, 111],
            ]
        }
    ),
    {"1": [(10, 7.5, None)], "2": [(4, 9, None)]},
)

case(
    "load that may be of one or of all",
    "en",
    text("Circuit,Fitting,Qty,Connected load (W)\nC1,Downlight,10,75\nC2,Pendant,1,40\n"),
    {"C1": [(10, (7.5, 75), None)], "C2": [(1, 40, None)]},
    told=("both are reckoned with",),
    words=True,
)

case(
    "each and total beside each other, one slip",
    "en",
    book(
        {
            "S": [
                ["Circuit", "Fitting", "Qty", "W each", "Total W"],
                ["1", "Downlight", 6, 7, 42],
                ["2", "Strip", 2, 14, 28],
                ["3", "Spot", 5, 9, 54],
            ]
        }
    ),
    {"1": [(6, 7, None)], "2": [(2, 14, None)], "3": [(5, 9, None)]},
    told=("45 W", "54 W"),
)

case(
    "several circuits in a cell",
    "en",
    text(
        'Circuit,Fitting,Qty,Watts\nL1-L4,Downlight,8,7\n"L5, L6",Spot,4,5\nL7/L8,Strip,2,20\n'
        'L9 to L10,Pendant,2,40\n"11,13,15",Wall light,3,9\n'
    ),
    {
        **{f"L{n}": [(2, 7, None)] for n in range(1, 5)},
        "L5": [(2, 5, None)],
        "L6": [(2, 5, None)],
        "L7": [(1, 20, None)],
        "L8": [(1, 20, None)],
        "L9": [(1, 40, None)],
        "L10": [(1, 40, None)],
        "11": [(1, 9, None)],
        "13": [(1, 9, None)],
        "15": [(1, 9, None)],
    },
    told=("is read as 4 circuits",),
)

case(
    "circuits that cannot share evenly",
    "en",
    text("Circuit,Fitting,Qty,Watts\nL1-L4,Downlight,6,7\n"),
    refused="cannot share 6 evenly",
)

case(
    "the same number on two boards",
    "en",
    book(
        {
            "Circuits": [
                ["Board", "Circuit", "Fitting", "Qty", "Watts"],
                ["DB1", 1, "Downlight", 6, 7],
                ["DB1", 2, "Strip", 2, 14],
                ["DB2", 1, "Pendant", 3, 40],
            ]
        }
    ),
    {"DB1/1": [(6, 7, None)], "DB1/2": [(2, 14, None)], "DB2/1": [(3, 40, None)]},
    words=True,
)

case(
    "boards as rows of their own",
    "en",
    book(
        {
            "Boards": [
                ["Circuit", "Fitting", "Qty", "Watts"],
                ["Distribution board DB-A"],
                [1, "Downlight", 6, 7],
                [2, "Strip", 2, 14],
                ["Distribution board DB-B"],
                [1, "Pendant", 3, 40],
            ]
        }
    ),
    {"DB-A/1": [(6, 7, None)], "DB-A/2": [(2, 14, None)], "DB-B/1": [(3, 40, None)]},
)

case(
    "one sheet a floor with numbers going on",
    "en",
    book(
        {
            "Ground": [["Circuit", "Room", "Fitting", "Qty", "Watts"], ["L1", "Hall", "Downlight", 6, 7]],
            "First": [["Circuit", "Room", "Fitting", "Qty", "Watts"], ["L2", "Bedroom", "Pendant", 1, 40]],
        }
    ),
    {"L1": [(6, 7, None)], "L2": [(1, 40, None)]},
)

case(
    "one sheet a floor with numbers starting anew",
    "en",
    book(
        {
            "Ground": [["Circuit", "Fitting", "Qty", "Watts"], [1, "Downlight", 6, 7], [2, "Spot", 3, 5]],
            "First": [["Circuit", "Fitting", "Qty", "Watts"], [1, "Pendant", 1, 40], [2, "Strip", 2, 14]],
        }
    ),
    {
        "Ground/1": [(6, 7, None)],
        "Ground/2": [(3, 5, None)],
        "First/1": [(1, 40, None)],
        "First/2": [(2, 14, None)],
    },
    told=("different circuits",),
)

case(
    "two states of one schedule",
    "en",
    book(
        {
            "Rev A": [["Circuit", "Fitting", "Qty"], ["L1", "Downlight", 6], ["L2", "Spot", 3]],
            "Rev B": [["Circuit", "Fitting", "Qty"], ["L1", "Downlight", 6], ["L2", "Spot", 4]],
        }
    ),
    refused="more than one sheet is a schedule of the same circuits",
)

case(
    "spares, sockets, notes and legend",
    "en",
    book(
        {
            "S": [
                ["Circuit", "Description", "Fitting", "Qty", "Watts"],
                ["L1", None, "Downlight", 6, 7],
                ["L2", "Spare"],
                ["L3", "SPARE", None, None, None],
                ["S1", "Sockets kitchen"],
                ["L4", None, "Strip", 2, 14],
                [],
                ["Notes:"],
                ["1. All drivers to be accessible."],
                ["2. Read with drawing 12."],
                ["Legend"],
                ["A = recessed"],
            ]
        }
    ),
    {"L1": [(6, 7, None)], "L4": [(2, 14, None)]},
    told=("is a spare",),
)

case(
    "rooms and luminaires with words of totals and spares",
    "en",
    text(
        "Circuit,Room,Luminaire,Qty,Watts\nL1,Void,Downlight,4,9\nL2,Space,Spot,2,5\n,Space,Sum light,3,7\n"
        "L3,Future room,Strip,2,14\n,,Total,11,\n"
    ),
    {"L1": [(4, 9, None)], "L2": [(2, 5, None), (3, 7, None)], "L3": [(2, 14, None)]},
)

case(
    "heading in two rows with merged titles",
    "en",
    book(
        {
            "S": [
                ["Circuit", "Luminaire", None, None, "Inrush", None],
                [None, "Type", "Qty", "W each", "peak (A)", "width (us)"],
                ["L1", "Downlight", 6, 7, 28, 380],
                ["L2", "Strip", 2, 14, 30, 200],
            ]
        }
    ),
    {"L1": [(6, 7, None)], "L2": [(2, 14, None)]},
)

case(
    "a row of units",
    "en",
    text("Circuit,Luminaire type,Qty,Input power,Inrush\n,,,W,A\nL1,Downlight,6,7,28\nL2,Strip,2,14,30\n"),
    {"L1": [(6, 7, None)], "L2": [(2, 14, None)]},
)

case(
    "hidden and struck-out rows",
    "en",
    book(
        {
            "S": [
                ["Circuit", "Fitting", "Qty", "Watts"],
                ["L1", "Downlight", 6, 7],
                ["L2", "Spot", 3, 5],
                [None],
                ["L4", "Strip", 2, 14],
            ]
        },
        lambda made, sheets: (
            sheets["S"].set_row(2, None, None, {"hidden": True}),
            sheets["S"].write_row(
                3, 0, ["L3", "Old pendant", 1, 60], made.add_format({"font_strikeout": True})
            ),
        ),
    ),
    {"L1": [(6, 7, None)], "L2": [(3, 5, None)], "L4": [(2, 14, None)]},
    told=("is struck out", "Hidden rows are read like the others: 3"),
)

case(
    "merged circuits and a circuit named once",
    "en",
    book(
        {
            "S": [
                ["Circuit", "Room", "Fitting", "Qty", "Watts"],
                ["L1", "Hall", "Downlight", 6, 7],
                [None, "Hall", "Strip", 2, 14],
                ["L2", "Stair", "Spot", 3, 5],
            ]
        }
    ),
    {"L1": [(6, 7, None), (2, 14, None)], "L2": [(3, 5, None)]},
    told=("names no circuit",),
)

case(
    "percentages and units in number formats",
    "en",
    book(
        {
            "S": [
                ["Circuit", "Fitting", "Qty", "Watts", "Dim floor (%)", "DALI current"],
                ["L1", "Downlight", None, None],
            ]
        },
        lambda made, sheets: (
            sheets["S"].write_number(1, 2, 6, made.add_format({"num_format": "0"})),
            sheets["S"].write_number(1, 3, 7, made.add_format({"num_format": '0" W"'})),
            sheets["S"].write_number(1, 4, 0.2, made.add_format({"num_format": "0%"})),
            sheets["S"].write_number(1, 5, 2, made.add_format({"num_format": '0" mA"'})),
        ),
    ),
    {"L1": [(6, 7, None)]},
)

case(
    "no circuits, luminaires with quantities",
    "en",
    book(
        {
            "Luminaires": [
                ["Luminaire type", "Qty", "Watts", "Dimming"],
                ["Downlight A", 24, 7, "trailing edge"],
                ["Strip B", 6, 14, "DALI"],
                ["Total", 30],
            ]
        }
    ),
    {"Downlight A": [(24, 7, "R")], "Strip B": [(6, 14, "D")]},
    told=("has no circuits",),
)

case(
    "several tables on a sheet",
    "en",
    book(
        {
            "S": [
                ["Ground floor"],
                ["Circuit", "Fitting", "Qty", "Watts"],
                ["L1", "Downlight", 6, 7],
                [],
                ["First floor"],
                ["Circuit", "Room", "Fitting", "Qty", "Watts"],
                ["L2", "Bath", "Spot", 3, 5],
            ]
        }
    ),
    {"L1": [(6, 7, None)], "L2": [(3, 5, None)]},
)

case(
    "headings in a column",
    "en",
    text("Circuit,L1,L2\nFitting,Downlight,Strip\nQty,6,2\nWatts,7,14\n"),
    {"L1": [(6, 7, None)], "L2": [(2, 14, None)]},
    told=("headings in a column",),
)

case(
    "a text file from a system, sep line and CR only",
    "en",
    raw(b"sep=;\rCircuit;Fitting;Qty;Watts\rL1;Downlight;6;7\rL2;Strip;2;14\r"),
    {"L1": [(6, 7, None)], "L2": [(2, 14, None)]},
)

case(
    "odd words once each",
    "en",
    text("Circuit,Fitting,Qty,Watts,Control\n" + "".join(f"L{n},Spot,2,as lamp,QQ\n" for n in range(200))),
    {f"L{n}": [(2, None, None)] for n in range(200)},
    told=("It stands in 200 cells", "Not read"),
    words=True,
)

case(
    "old workbook with a percentage and units",
    "en",
    old_book(
        {
            "S": [
                ["Circuit", "Fitting", "Qty", "Watts", "Dim floor (%)"],
                ["L1", "Downlight", 6, 7, 0.05],
                ["L2", "Strip", 2, 14, 0.1],
                ["Total", None, 8],
            ]
        },
        {(1, 4): "0%", (2, 4): "0%", (1, 3): '0" W"'},
    ),
    {"L1": [(6, 7, None)], "L2": [(2, 14, None)]},
)

case(
    "open document",
    "en",
    open_book(
        {
            "S": [
                ["House"],
                ["Circuit", "Fitting", "Qty", "Watts", "Control"],
                ["L1", "Downlight", 6, 7, "trailing edge"],
                ["L2", "Strip", 2, 14, "DALI"],
                ["Total", "", 8],
            ]
        }
    ),
    {"L1": [(6, 7, "R")], "L2": [(2, 14, "D")]},
)

case(
    "a panel list beside the circuits",
    "en",
    book(
        {
            "Lighting circuits": [["Circuit", "Fitting", "Qty", "Watts"], ["L1", "Downlight", 6, 7]],
            "MCBs": [["Circuit", "Circuit breaker"], ["L1", "B6-1"], ["L9", "B6-2"]],
        }
    ),
    {"L1": [(6, 7, None)]},
    told=("without luminaires: L9",),
)

# English, United States

case(
    "US schedule with tags, no circuits left out",
    "en-us",
    book(
        {
            "Lighting": [
                ["LIGHTING FIXTURE SCHEDULE"],
                [],
                [
                    "Zone #",
                    "Location",
                    "Fixture Type",
                    "Qty.",
                    "Input Watts",
                    "Dimming",
                    "Lamp",
                    "Switch Leg",
                ],
                ["Z1", "GREAT ROOM", "F1", 12, 9.5, "0-10V", "LED 3000K", "a"],
                ["Z2", "KITCHEN", "F2", 8, 6.8, "ELV", "LED 3000K", "b"],
                ["Z3", "PATIO", "F3", 5, 12, "non-dim", "LED 2700K", "c"],
            ]
        }
    ),
    {"Z1": [(12, 9.5, "A")], "Z2": [(8, 6.8, "R")], "Z3": [(5, 12, "S")]},
    words=True,
    at_best="partly",
)

case(
    "US panel with fixture types on another sheet",
    "en-us",
    book(
        {
            "Load Schedule": [
                ["Circuit #", "Area", "Fixture Tag", "Fixture Qty"],
                [1, "Foyer", "A1", 6],
                [3, "Den", "A1", 4],
                [3, "Den", "B2", 2],
                ["Total", None, None, 12],
            ],
            "Fixture Schedule": [
                ["Type", "Description", "Watts", "Dimming Protocol", "Manufacturer"],
                ["A1", "4in recessed", 10, "0-10V", "-"],
                ["B2", "Sconce", 8, "MLV", "-"],
            ],
        }
    ),
    {"1": [(6, 10, "A")], "3": [(4, 10, "A"), (2, 8, "F")]},
    words=True,
)

# German

case(
    "Leuchtenliste mit Zwischensummen",
    "de",
    text(
        "Projekt;Haus am See\n\nStromkreis;Raum;Leuchte;Anzahl;Leistung je Leuchte (W);Dimmung;Preis\n"
        "L1;Küche;Einbaustrahler;6;7,5;Phasenabschnitt;89,00\nL2;Flur;Wandleuchte;4;9;DALI;120,00\n"
        "Zwischensumme EG;;;10;;;\nL3;Bad;Spiegelleuchte;1;12;geschaltet;75,50\nSumme;;;11;;;\n",
        encoding="cp1252",
    ),
    {"L1": [(6, 7.5, "R")], "L2": [(4, 9, "D")], "L3": [(1, 12, "S")]},
    words=True,
)

case(
    "Stromkreisliste und Leuchtentypen",
    "de",
    book(
        {
            "Stromkreise": [
                ["Stromkreis", "Raum", "Typ", "Stück"],
                ["UV1-F1", "Wohnen", "A", 8],
                ["UV1-F2", "Essen", "B", 3],
                ["Reserve"],
            ],
            "Leuchtentypen": [
                ["Typ", "Bezeichnung", "Leistung (W)", "Dimmart"],
                ["A", "Downlight", 9, "Phasenanschnitt"],
                ["B", "Pendelleuchte", 24, "DALI"],
            ],
        }
    ),
    {"UV1-F1": [(8, 9, "F")], "UV1-F2": [(3, 24, "D")]},
    words=True,
)

case(
    "Anschlussleistung gesamt",
    "de",
    text(
        "Stromkreis;Leuchte;Anzahl;Anschlussleistung gesamt (W)\n1;Strahler;10;75\n2;Pendel;4;36\n"
        "Gesamt;;14;111\n"
    ),
    {"1": [(10, 7.5, None)], "2": [(4, 9, None)]},
    words=True,
)

case(
    "Verteiler mit gleicher Nummer",
    "de",
    text("Verteiler;Stromkreis;Leuchte;Anzahl;Watt\nUV1;1;Strahler;6;7\nUV2;1;Pendel;2;40\n"),
    {"UV1/1": [(6, 7, None)], "UV2/1": [(2, 40, None)]},
    words=True,
)

# French

case(
    "tableau avec sous-totaux",
    "fr",
    text(
        "Circuit;Pièce;Luminaire;Quantité;Puissance unitaire (W);Gradation\n"
        "E1;Séjour;Spot encastré;6;7,5;fin de phase\nE2;Cuisine;Réglette;2;18;DALI\nSous-total RDC;;;8;;\n"
        "E3;Chambre;Applique;2;9;tout ou rien\nTotal;;;10;;\n",
        encoding="cp1252",
    ),
    {"E1": [(6, 7.5, "R")], "E2": [(2, 18, "D")], "E3": [(2, 9, "S")]},
    words=True,
)

case(
    "repères et circuits sur deux feuilles",
    "fr",
    book(
        {
            "Circuits": [
                ["Circuit", "Local", "Repère", "Quantité"],
                ["E1", "Séjour", "L01", 6],
                ["E2", "Cuisine", "L02", 2],
                ["Réserve"],
            ],
            "Luminaires": [
                ["Repère", "Désignation", "Puissance (W)", "Commande"],
                ["L01", "Spot", 7, "DALI"],
                ["L02", "Réglette", 18, "1-10V"],
            ],
        }
    ),
    {"E1": [(6, 7, "D")], "E2": [(2, 18, "A")]},
    words=True,
)

# Spanish

case(
    "cuadro de circuitos con suma",
    "es",
    text(
        "Circuito;Estancia;Luminaria;Cantidad;Potencia unitaria (W);Regulación\n"
        "C1;Salón;Empotrado;8;6,5;final de fase\nC2;Cocina;Tira;2;24;DALI\nSuma;;;10;;\nReserva;;;;;\n"
    ),
    {"C1": [(8, 6.5, "R")], "C2": [(2, 24, "D")]},
    words=True,
)

case(
    "potencia total con cantidad",
    "es",
    book(
        {
            "Hoja1": [
                ["Circuito", "Luminaria", "Uds.", "Potencia total (W)"],
                ["C1", "Foco", 10, 75],
                ["C2", "Aplique", 2, 18],
                ["TOTAL", None, 12, 93],
            ]
        }
    ),
    {"C1": [(10, 7.5, None)], "C2": [(2, 9, None)]},
    words=True,
)

# Dutch

case(
    "groepen met totaal",
    "nl",
    text(
        "Groep;Ruimte;Armatuur;Aantal;Vermogen per stuk (W);Dimmen\n"
        "G1;Keuken;Inbouwspot;6;7;fase-afsnijding\n"
        "G2;Woonkamer;Pendel;3;12;DALI\nTotaal begane grond;;;9;;\n"
    ),
    {"G1": [(6, 7, "R")], "G2": [(3, 12, "D")]},
    words=True,
)

case(
    "armaturenlijst en groepenlijst",
    "nl",
    book(
        {
            "Groepen": [
                ["Groep", "Ruimte", "Armatuurcode", "Aantal"],
                [1, "Hal", "A", 4],
                [2, "Keuken", "B", 6],
            ],
            "Armaturen": [
                ["Armatuurcode", "Omschrijving", "Vermogen (W)", "Dimbaar"],
                ["A", "Spot", 7, "DALI"],
                ["B", "Lijn", 20, "0-10V"],
            ],
        }
    ),
    {"1": [(4, 7, "D")], "2": [(6, 20, "A")]},
    words=True,
)

# Italian

case(
    "elenco circuiti con totale",
    "it",
    text(
        "Circuito;Locale;Apparecchio;Quantità;Potenza (W);Dimmerazione\n"
        "C1;Soggiorno;Faretto;6;7,5;taglio di fase discendente\n"
        "C2;Cucina;Strip;2;24;DALI\nTotale;;;8;;\n",
        encoding="cp1252",
    ),
    {"C1": [(6, 7.5, "R")], "C2": [(2, 24, "D")]},
    words=True,
    told=("as a total it would leave 1.25 W",),
)

case(
    "quadri diversi",
    "it",
    book(
        {
            "Elenco": [
                ["Quadro", "Circuito", "Apparecchio", "Q.tà", "Potenza (W)"],
                ["Q1", "L1", "Faretto", 6, 7],
                ["Q1", "L2", "Faretto", 4, 7],
                ["Q2", "L1", "Plafoniera", 2, 18],
            ]
        }
    ),
    {"Q1/L1": [(6, 7, None)], "Q1/L2": [(4, 7, None)], "Q2/L1": [(2, 18, None)]},
    words=True,
)

# Swedish, Danish, Norwegian

case(
    "grupplista med delsumma",
    "sv",
    text(
        "Grupp;Rum;Armatur;Antal;Effekt per st (W);Styrning\nG1;Kök;Downlight;6;7,5;bakkant\n"
        "G2;Hall;Vägglampa;2;9;DALI\nDelsumma;;;8;;\nReserv;;;;;\n",
        encoding="cp1252",
    ),
    {"G1": [(6, 7.5, "R")], "G2": [(2, 9, "D")]},
    words=True,
)

case(
    "armaturlista",
    "sv",
    book(
        {
            "Grupper": [["Grupp", "Littera", "Antal"], ["1", "A", 6], ["2", "B", 2]],
            "Armaturer": [
                ["Littera", "Benämning", "Effekt (W)", "Styrning"],
                ["A", "Downlight", 7, "DALI"],
                ["B", "Pendel", 20, "till/från"],
            ],
        }
    ),
    {"1": [(6, 7, "D")], "2": [(2, 20, "S")]},
    words=True,
)

case(
    "gruppeliste med i alt",
    "da",
    text(
        "Gruppe;Rum;Armatur;Antal;Effekt pr. stk. (W);Styring\nG1;Køkken;Spot;6;7;bagkant\n"
        "G2;Entré;Væglampe;2;9;DALI\nI alt;;;8;;\n",
        encoding="cp1252",
    ),
    {"G1": [(6, 7, "R")], "G2": [(2, 9, "D")]},
    words=True,
)

case(
    "kursfortegnelse",
    "no",
    text(
        "Kurs;Rom;Armatur;Antall;Effekt per stk (W);Styring\nK1;Kjøkken;Downlight;6;7;bakkant\n"
        "K2;Stue;Pendel;2;12;DALI\nSum;;;8;;\n",
        encoding="cp1252",
    ),
    {"K1": [(6, 7, "R")], "K2": [(2, 12, "D")]},
    words=True,
)

case(
    "armaturliste og kurser",
    "no",
    book(
        {
            "Kurser": [
                ["Fordeling", "Kurs", "Armaturkode", "Antall"],
                ["UF1", 1, "A", 6],
                ["UF2", 1, "B", 2],
            ],
            "Armaturer": [
                ["Armaturkode", "Beskrivelse", "Effekt (W)", "Styring"],
                ["A", "Downlight", 7, "DALI"],
                ["B", "Pendel", 20, "1-10V"],
            ],
        }
    ),
    {"UF1/1": [(6, 7, "D")], "UF2/1": [(2, 20, "A")]},
    words=True,
)
