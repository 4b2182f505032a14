"""A second set of schedules, drawn up after the reader was finished and never used to mend it.

The same form as ``practice_cases``. When a file of this set has led to a change of the reader, it moves
to the first set and another takes its place here.
"""

# ruff: noqa: E501

from __future__ import annotations

from typing import Any

from tests.messy.makers import Make, book, open_book, text
from tests.messy.practice_cases import Case, Truth

HELD_OUT: list[Case] = []


def case(name: str, language: str, make: Make, truth: Truth | None = None, **more: Any) -> None:
    HELD_OUT.append(Case(name, language, make, truth, words=True, **more))


case(
    "refurbishment with deletions and a zero",
    "en",
    book(
        {
            "Lighting": [
                ["Client", "A. Nother", None, "Drawing", "E-101 rev D"],
                [],
                ["Circuit ref", "Location", "Luminaire type", "No.", "Watts each", "Dimming", "Supplier"],
                ["GF/L1", "Reception", "Recessed spot", 9, 6.5, "Trailing edge", "tbc"],
                ["GF/L2", "Reception", "Wall washer", 0, 12, "DALI", "tbc"],
                ["GF/L3", "Office", "Linear", 4, 38, "DALI", "tbc"],
                ["Sub total", None, None, 13],
            ]
        }
    ),
    {"GF/L1": [(9, 6.5, "R")], "GF/L3": [(4, 38, "D")]},
)

case(
    "codes with a name behind them",
    "en",
    book(
        {
            "Circuits": [
                ["Circuit", "Area", "Fitting", "Qty"],
                ["1", "Bar", "A - downlight", 10],
                ["2", "Bar", "C - pendant", 3],
                ["3", "Store", "B - batten", 2],
            ],
            "Fittings": [
                ["Fitting", "Wattage", "Control method"],
                ["A", 8, "DALI"],
                ["B", 40, "switched"],
                ["C", 15, "leading edge"],
            ],
        }
    ),
    {"1": [(10, 8, "D")], "2": [(3, 15, "F")], "3": [(2, 40, "S")]},
)

case(
    "CSV export with thousands and quotes",
    "en",
    text(
        '"Circuit","Room","Fitting","Quantity","Total W"\n"C1","Hall, ground","Flood","12","1,200"\n'
        '"C2","Yard","Flood","3","300"\n"Total","","","15","1,500"\n'
    ),
    {"C1": [(12, 100, None)], "C2": [(3, 100, None)]},
    at_best="partly",
)

case(
    "US fixture schedule with quantities alone",
    "en-us",
    book(
        {
            "E1": [
                ["LUMINAIRE SCHEDULE"],
                ["MARK", "DESCRIPTION", "COUNT", "WATTS", "DIMMING PROTOCOL", "MOUNTING"],
                ["L1", "6in downlight", 40, 11, "0-10V", "recessed"],
                ["L2", "Sconce", 12, 9, "ELV", "wall"],
                ["GENERAL NOTES:"],
                ["A. Verify voltage in field."],
            ]
        }
    ),
    {"L1": [(40, 11, "A")], "L2": [(12, 9, "R")]},
)

case(
    "Leuchtenplan mit Räumen als Zeilen",
    "de",
    book(
        {
            "EG": [
                ["Bauvorhaben", "Umbau"],
                ["Stromkreis", "Leuchtentyp", "Stück", "Leistung je Stk. (W)", "Ansteuerung"],
                ["Küche"],
                ["F1", "Einbaustrahler", 8, 7, "Phasenabschnitt"],
                ["F2", "Lichtband", 2, 22, "1-10V"],
                ["Wohnzimmer"],
                ["F3", "Pendel", 1, 60, "Phasenanschnitt"],
                ["Gesamtsumme", None, 11],
            ]
        }
    ),
    {"F1": [(8, 7, "R")], "F2": [(2, 22, "A")], "F3": [(1, 60, "F")]},
)

case(
    "Stromkreise von bis",
    "de",
    text(
        "Stromkreis;Leuchte;Anzahl;Watt je Leuchte;Dimmverfahren\nF1 bis F3;Strahler;9;6;DALI\n"
        "F4, F5;Panel;4;30;DALI\nF6;Reserve;;;\n",
        encoding="cp1252",
    ),
    {
        "F1": [(3, 6, "D")],
        "F2": [(3, 6, "D")],
        "F3": [(3, 6, "D")],
        "F4": [(2, 30, "D")],
        "F5": [(2, 30, "D")],
    },
)

case(
    "bordereau par tableau",
    "fr",
    text(
        "Tableau;Circuit;Local;Appareil;Qté;Puissance totale (W)\nTD1;1;Hall;Spot;10;70\n"
        "TD1;2;Salle;Dalle LED;6;216\n"
        "TD2;1;Bureau;Dalle LED;4;144\nTotal général;;;;20;430\n",
        encoding="cp1252",
    ),
    {"TD1/1": [(10, 7, None)], "TD1/2": [(6, 36, None)], "TD2/1": [(4, 36, None)]},
)

case(
    "listado con dos tablas",
    "es",
    book(
        {
            "Planta": [
                ["Circuito", "Luminaria", "Cantidad", "Potencia unitaria (W)", "Control"],
                ["C1", "Foco", 8, 7, "DALI"],
                ["C2", "Tira", 2, 24, "on/off"],
                ["Subtotal", None, 10],
                [],
                ["Circuito", "Estancia", "Luminaria", "Cantidad", "Potencia unitaria (W)"],
                ["C3", "Aseo", "Aplique", 2, 9],
            ]
        }
    ),
    {"C1": [(8, 7, "D")], "C2": [(2, 24, "S")], "C3": [(2, 9, None)]},
)

case(
    "groepenverklaring",
    "nl",
    text(
        "Groepnr;Ruimte;Armatuurtype;Aantal;Watt per stuk;Regeling\n1;Hal;Spot;5;7;DALI\n"
        "2;Kantoor;Paneel;6;34;0-10V\n"
        "3;Berging;Balk;2;20;schakelen\nTotaal;;;13;;\nOpmerking: alle drivers dimbaar\n"
    ),
    {"1": [(5, 7, "D")], "2": [(6, 34, "A")], "3": [(2, 20, "S")]},
)

case(
    "computo per piano",
    "it",
    open_book(
        {
            "Piano terra": [
                ["Circuito", "Locale", "Codice apparecchio", "Quantità"],
                ["L1", "Ingresso", "A", 4],
                ["L2", "Cucina", "B", 2],
            ],
            "Apparecchi": [
                ["Codice apparecchio", "Descrizione", "Potenza (W)", "Regolazione"],
                ["A", "Faretto", 7, "DALI"],
                ["B", "Barra", 20, "1-10V"],
            ],
        }
    ),
    {"L1": [(4, 7, "D")], "L2": [(2, 20, "A")]},
)

case(
    "armaturförteckning med grupper",
    "sv",
    text(
        "Gruppnr;Rum;Armatur;Antal;Effekt/armatur (W);Ljusreglering\n"
        "1;Entré;Downlight;6;8;bakkantsdimmer\n2;Kök;List;3;14;DALI\nSumma;;;9;;\n",
        encoding="mac_roman",
    ),
    {"1": [(6, 8, "R")], "2": [(3, 14, "D")]},
)

case(
    "belysningsplan med tavler",
    "da",
    book(
        {
            "Plan": [
                ["Tavle", "Gruppe", "Rum", "Armatur", "Antal", "Effekt pr. stk. (W)"],
                ["T1", 1, "Gang", "Spot", 6, 7],
                ["T1", 2, "Bad", "Spot", 3, 7],
                ["T2", 1, "Kontor", "Panel", 4, 30],
            ]
        }
    ),
    {"T1/1": [(6, 7, None)], "T1/2": [(3, 7, None)], "T2/1": [(4, 30, None)]},
)

case(
    "kursliste med sum og reserve",
    "no",
    book(
        {
            "Kurser": [
                ["Kurs", "Rom", "Armatur", "Antall", "Watt pr. stk", "Dimming"],
                ["K1", "Gang", "Downlight", 6, 7, "DALI"],
                ["K2", "Bod", "Plafond", 1, 18, "av/på"],
                ["K3", "Reserve"],
                ["Sum", None, None, 7],
            ]
        }
    ),
    {"K1": [(6, 7, "D")], "K2": [(1, 18, "S")]},
)

case(
    "summary sheet beside the schedule",
    "en",
    book(
        {
            "Schedule": [
                ["Cct", "Space", "Luminaire", "Qty", "Load (W)"],
                ["A1", "Hall", "Spot", 6, 42],
                ["A2", "Hall", "Spot", 2, 14],
                ["A3", "Bath", "Panel", 1, 30],
            ],
            "Summary": [["Circuit", "Total load (W)"], ["A1", 42], ["A2", 14], ["A3", 30]],
        }
    ),
    {"A1": [(6, 7, None)], "A2": [(2, 7, None)], "A3": [(1, 30, None)]},
)

case(
    "side by side panels",
    "en-us",
    book(
        {
            "LP": [
                ["Circuit", "Fixture", "Qty", "W each", None, "Circuit", "Fixture", "Qty", "W each"],
                [1, "A", 6, 10, None, 2, "B", 4, 20],
                [3, "A", 3, 10, None, 4, "SPARE"],
            ]
        }
    ),
    {"1": [(6, 10, None)], "3": [(3, 10, None)], "2": [(4, 20, None)]},
)

# Drawn up after the reader was mended by ``more_cases``; a line each.
# fmt: off
case("schedule with plan notes between rooms", "en", book({"A": [["Luminaire Schedule - Issue 2"], ["Ref.", "Description", "Watts", "Qty", "Circuit", "Dimming protocol", "Finish"], ["ENTRANCE"], ["E1", "Wall washer", 14, 4, "LC1", "DALI", "black"], ["Note: coordinate with ceiling"], ["LOUNGE"], ["E2", "Cove", 60, 1, "LC2", "0-10V", None], ["E1", "Wall washer", 14, 3, "LC3", "DALI", "black"]]}), {"LC1": [(4, 14, "D")], "LC2": [(1, 60, "A")], "LC3": [(3, 14, "D")]})
case("extension CSV with tabs and quotes", "en", text('"Cct"\t"Area"\t"Luminaires (no.)"\t"Unit load (W)"\t"Switching"\n"7"\t"Utility"\t"4"\t"18"\t"2-way"\n"8"\t"Cinema"\t"10"\t"6"\t"trailing-edge dimmer"\n'), {"7": [(4, 18, "S")], "8": [(10, 6, "R")]})
case("US loads by zone", "en-us", book({"Z": [["ZONE", "DESCRIPTION", "FIXTURE TYPE", "QTY", "UNIT WATTS", "ZONE WATTS", "CONTROL"], ["1A", "Lobby cans", "D", 20, 10, 200, "0-10V"], ["1B", "Lobby sconces", "S", 4, 15, 60, "ON/OFF"], [None, "TOTAL", None, 24, None, 260]]}), {"1A": [(20, 10, "A")], "1B": [(4, 15, "S")]})
case("AU two-sheet by code", "en", book({"Fittings": [["Fitting code", "Fitting", "Power (W)", "Dimming"], ["D1", "Downlight", 11, "Phase cut - trailing"], ["P1", "Pendant", 24, "DALI"]], "Circuits": [["Circuit no.", "Location", "Fitting code", "No. of fittings"], ["C1", "Hall", "D1", 7], ["C2", "Dining", "P1", 2]]}), {"C1": [(7, 11, "R")], "C2": [(2, 24, "D")]})
case("Leuchtenplan Etagen", "de", book({"EG": [["Kreis", "Raum", "Leuchte", "Stk", "Watt je Stk", "Dimmbar"], ["E1", "Flur", "Spot", 6, "5 W", "Phasenabschnitt"]], "OG": [["Kreis", "Raum", "Leuchte", "Stk", "Watt je Stk", "Dimmbar"], ["O1", "Bad", "Spot", 4, "5 W", "nein"], ["O2", "Zimmer", "Pendel", 1, "20 W", "DALI"]]}), {"E1": [(6, 5, "R")], "O1": [(4, 5, "S")], "O2": [(1, 20, "D")]})
case("Verteilerliste mit Gesamtlast", "de", text("Stromkreis-Nr.;Verbraucher;Anzahl Leuchten;Gesamtlast (W);Schaltung\n12;Licht Lager;6;216;Ausschaltung\n13;Licht Empfang;8;72;DALI\nSumme;;14;288;\n"), {"12": [(6, 36, "S")], "13": [(8, 9, "D")]})
case("nomenclature", "fr", book({"N": [["Nomenclature luminaires"], ["Type", "Description", "Quantité", "Puissance unitaire", "Commande"], ["T1", "Downlight", 16, "9 W", "DALI"], ["T2", "Hublot", 5, "12 W", "interrupteur"], ["Total", None, 21]]}), {"T1": [(16, 9, "D")], "T2": [(5, 12, "S")]})
case("circuitos vivienda", "es", text("Nº circ.;Estancia;Punto de luz;Cantidad;W/ud;Encendido\n1;Salón;Foco;8;6;Regulador corte final de fase\n2;Baño;Plafón;1;18;Interruptor\n"), {"1": [(8, 6, "R")], "2": [(1, 18, "S")]})
case("groepenlijst", "nl", book({"G": [["Groepnr.", "Ruimte", "Soort armatuur", "Aantal armaturen", "Vermogen p/st (W)", "Aansturing"], ["1", "Keuken", "Spot", 9, "6,5", "DALI"], ["2", "Berging", "Lijn", 2, "30", "schakelaar"]]}), {"1": [(9, 6.5, "D")], "2": [(2, 30, "S")]})
case("elenco circuiti quadro", "it", text("Circuito;Zona;Corpi illuminanti;Potenza singola (W);Potenza totale (W);Comando\n1L;Negozio;12;15;180;DALI\n2L;Retro;3;24;72;interruttore\n"), {"1L": [(12, 15, "D")], "2L": [(3, 24, "S")]})
case("gruppschema", "sv", book({"S": [["Grupp", "Utrymme", "Armatur", "St", "Effekt/st (W)", "Styrning"], ["21", "Kontor", "Panel", 6, 32, "DALI"], ["22", "WC", "Spot", 2, 6, "närvarogivare"]]}), {"21": [(6, 32, "D")], "22": [(2, 6, None)]})
case("belysning bolig", "no", text("Kurs;Rom;Armatur;Antall;Effekt pr stk (W);Dimmes\n3;Stue;Downlight;10;7,5;ja, bakkant\n4;Bod;Lysrør;1;36;nei\n"), {"3": [(10, 7.5, "R")], "4": [(1, 36, "S")]})
