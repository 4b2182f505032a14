"""More schedules as practices send them, of this project's own invention, each with what it truly says.

Drawn up with a fresh eye after those of ``practice_cases``, in the same form, the truth first; the reader was
mended by them afterwards. A line each, since there are many.
"""
# ruff: noqa: E501
# fmt: off

from __future__ import annotations

from typing import Any

from tests.messy.makers import Make, Styled, book, old_book, open_book, text
from tests.messy.practice_cases import Case, Truth

MORE: list[Case] = []


def case(name: str, language: str, make: Make, truth: Truth | None = None, **more: Any) -> None:
    MORE.append(Case(name, language, make, truth, words=True, **more))


case("architect lighting schedule, refs, lamp column", "en", book({"Lighting Schedule": [
  ["Job no. 2214", None, None, None, "Lighting schedule", None, None, "Rev P03"],
  [],
  ["Ref", "Location", "Fitting description", "Lamp", "No. of", "Circuit", "Switching / dimming", "Supplied by"],
  ["LF01", "Entrance hall", "Recessed downlight, white", "7W GU10 LED", 8, "GF-1", "Trailing edge dimming", "Contractor"],
  ["LF02", "Entrance hall", "Pendant over stair", "3 x 5W E14 LED", 1, "GF-2", "Trailing edge dimming", "Client"],
  ["LF03", "Kitchen", "Under cabinet strip", "LED strip 12W/m", "3.2m", "GF-3", "Switched", "Kitchen supplier"],
  ["LF01", "Kitchen", "Recessed downlight, white", "7W GU10 LED", 10, "GF-4", "Trailing edge dimming", "Contractor"],
]}), {"GF-1": [(8, 7, "R")], "GF-2": [(1, 15, "R")], "GF-3": [(1, 38.4, "S")], "GF-4": [(10, 7, "R")]}, at_best="partly")

case("electrician circuit chart, ways, mcb and cable", "en", book({"DB1": [
  ["DISTRIBUTION BOARD DB1", None, "LOCATION: PLANT ROOM"],
  ["Way", "Phase", "MCB", "Cable", "Serves", "No. of fittings", "Load per fitting (W)", "Control"],
  [1, "L1", "B6", "1.5mm", "Kitchen downlights", 12, 8, "Rotary dimmer (trailing)"],
  [2, "L2", "B6", "1.5mm", "Hall wall lights", 4, 10, "2-way switch"],
  [3, "L3", "C10", "1.5mm", "Garden spikes", 9, 6, "PIR"],
  [4, "L1", "B6", None, "SPARE"],
  [5, "L2", "B32", "2.5mm", "Ring main kitchen"],
  [6, "L3", "B6", "1.5mm", "Lounge 0-10V", 6, 14, "0-10V"],
]}), {"1": [(12, 8, "R")], "2": [(4, 10, "S")], "3": [(9, 6, None)], "6": [(6, 14, "A")]})

case("DB schedule with ways and kW", "en", text(
"Way,Rating,Description,Qty,Connected load kW,Dimming\n1L1,6A,Lounge downlighters,10,0.075,DALI\n1L2,6A,Bed 1 wall lights,4,0.036,Non-dim\n1L3,6A,Spare,,,\nTotal,,,14,0.111,\n"),
 {"1L1": [(10, 7.5, "D")], "1L2": [(4, 9, "S")]})

case("interior designer list without circuits", "en", book({"Lights": [
  ["Room", "Code", "Item", "Finish", "Qty", "Wattage", "Dimmable?", "Unit price"],
  ["Living", "P1", "Feature pendant", "Brass", 1, "40W", "Yes", 950],
  ["Living", "W1", "Wall sconce", "Brass", 4, "6W", "Yes", 220],
  ["Dining", "W1", "Wall sconce", "Brass", 2, "6W", "Yes", 220],
  ["Study", "T1", "Desk lamp", "Black", 1, "9W", "No", 180],
]}), {"P1": [(1, 40, None)], "W1": [(4, 6, None), (2, 6, None)], "T1": [(1, 9, "S")]})

case("load schedule, W total, two heading rows", "en", book({"Loads": [
  ["Circuit", None, "Luminaires", None, "Load", None],
  ["No.", "Area served", "Type", "Qty", "W each", "W total"],
  ["L-01", "Gym", "D1", 12, 9.5, 114],
  ["L-02", "Pool", "D2", 8, 18, 144],
  ["L-03", "Plant", "B1", 3, 45, 135],
  [None, None, "Total", 23, None, 393],
]}), {"L-01": [(12, 9.5, None)], "L-02": [(8, 18, None)], "L-03": [(3, 45, None)]})

case("DALI address list", "en", book({"DALI": [
  ["DALI Line 1"],
  ["Address", "Group", "Luminaire", "Room", "Watts", "Emergency"],
  [0, 1, "DL1", "Hall", 9, "N"], [1, 1, "DL1", "Hall", 9, "N"], [2, 2, "DL2", "Stair", 12, "N"],
  [3, 2, "DL2", "Stair", 12, "Y"],
]}), {"1": [(1, 9, "D"), (1, 9, "D")], "2": [(1, 12, "D"), (1, 12, "D")]})

case("type sheet, circuit sheet, output sheet", "en", book({
 "Types": [["Luminaire type", "Description", "Load (W)", "Control gear"], ["A", "Downlight", 8.5, "DALI-2"], ["B", "Cove tape", "14.4 W/m", "DALI DT8"], ["C", "Bollard", 11, "Switched"]],
 "Circuits": [["Cct", "Area", "Luminaire type", "Number", "Dimmer"], ["K1", "Kitchen", "A", 9, "M1"], ["K2", "Kitchen", "B", 2, "M1"], ["E1", "Drive", "C", 5, "M2"]],
 "Outputs": [["Dimmer", "Channels", "Location"], ["M1", 4, "Riser"], ["M2", 8, "Riser"]],
}), {"K1": [(9, 8.5, "D")], "K2": [(2, None, "D")], "E1": [(5, 11, "S")]})

case("floors as sheets with cover sheet", "en", book({
 "Cover": [["The Old Barn"], ["Lighting circuits"], ["Issue", "Date", "By"], ["A", "3/2", "JT"]],
 "Ground": [["Circuit", "Room", "Fitting", "Quantity", "Wattage (W)", "Dim"], ["G1", "Hall", "DL", "6 no.", "7W", "Y"], ["G2", "WC", "DL", "2 no.", "7W", "N"]],
 "First": [["Circuit", "Room", "Fitting", "Quantity", "Wattage (W)", "Dim"], ["F1", "Bed 1", "DL", "8 no.", "7W", "Y"]],
}), {"G1": [(6, 7, None)], "G2": [(2, 7, "S")], "F1": [(8, 7, None)]})

case("quantities with x, total column of text", "en", text(
"Circuit;Fitting;Qty;Lamp wattage;Circuit load\nC1;Twin spot;4x;2 x 9W;72W\nC2;Linear;x3;20W;60W\nC3;Pendant;1 off;60W;60W\n"),
 {"C1": [(4, 18, None)], "C2": [(3, 20, None)], "C3": [(1, 60, None)]})

case("transposed small table", "en", book({"S": [
  ["Circuit", "L1", "L2", "L3"], ["Room", "Hall", "Snug", "Bath"], ["Fitting", "Spot", "Pendant", "IP65 spot"], ["Quantity", 5, 1, 4], ["Watts each", 6, 40, 6], ["Dimming", "Leading edge", "Leading edge", "Switched"],
]}), {"L1": [(5, 6, "F")], "L2": [(1, 40, "F")], "L3": [(4, 6, "S")]})

case("matrix of ticks", "en", book({"S": [
  ["Circuit", "Room", "Type", "Nr", "W", "Switched", "Phase dim", "0-10V", "DALI"],
  ["1", "Lounge", "A", 6, 8, None, "x", None, None],
  ["2", "Lounge", "B", 2, 22, None, None, None, "x"],
  ["3", "Utility", "C", 3, 15, "x", None, None, None],
  ["4", "Study", "D", 3, 15, None, None, "x", None],
]}), {"1": [(6, 8, None)], "2": [(2, 22, "D")], "3": [(3, 15, "S")], "4": [(3, 15, "A")]}, at_best="partly")

case("US panel schedule odd even side by side", "en-us", book({"LP-1": [
  ["PANEL LP-1", None, None, None, "120/208V 3PH 4W"],
  ["CKT", "DESCRIPTION", "VA", "BKR", "POLES", "CKT", "DESCRIPTION", "VA", "BKR", "POLES"],
  [1, "LTG KITCHEN", 420, 20, 1, 2, "LTG LIVING", 610, 20, 1],
  [3, "LTG BATH", 180, 20, 1, 4, "RECEPT KITCHEN", 1500, 20, 1],
  [5, "SPARE", None, 20, 1, 6, "SPACE", None, None, None],
]}), None, refused="Quantity")

case("US fixture schedule and circuits, LP-2:14", "en-us", book({
 "FIXTURE SCHEDULE": [["LUMINAIRE SCHEDULE"], ["TYPE", "DESCRIPTION", "LAMP", "INPUT WATTS", "VOLTAGE", "DIMMING", "REMARKS"],
   ["F1", "4\" RECESSED DOWNLIGHT", "LED 3000K", 12, "120V", "0-10V", None], ["F2", "UNDERCABINET", "LED", 8, "120V", "ELV", None], ["F3", "VANITY", "LED", 18, "120V", "NONE", None]],
 "CIRCUITS": [["CIRCUIT", "ROOM", "FIXTURE TYPE", "QTY"], ["LP-2:14", "KITCHEN", "F1", 14], ["LP-2:16", "KITCHEN", "F2", 5], ["LP-2:18", "BATH", "F3", 2]],
}), {"LP-2:14": [(14, 12, "A")], "LP-2:16": [(5, 8, "R")], "LP-2:18": [(2, 18, None)]}, at_best="partly")

case("US zone schedule with zones and loads", "en-us", book({"Zones": [
  ["Lighting Control Zone Schedule"], ["Zone", "Room", "Zone Description", "Fixture", "Fixture Qty", "Watts/Fixture", "Total Watts", "Load Type"],
  [1, "Great Room", "Cans perimeter", "R4", 12, 11.5, 138, "ELV"], [2, "Great Room", "Chandelier", "CH1", 1, 240, 240, "INC"], [3, "Kitchen", "Pendants", "P2", 3, 9, 27, "MLV"], [4, "Entry", "Sconce", "S1", 2, 14, 28, "Non-dim"],
]}), {"1": [(12, 11.5, "R")], "2": [(1, 240, None)], "3": [(3, 9, "F")], "4": [(2, 14, "S")]}, at_best="partly")

case("US, load in VA", "en-us", text("Circuit No.\tFixture Type\tCount\tVA/Fixture\tControl\nA-1\tF1\t10\t15\t0-10V dimming\nA-3\tF2\t4\t22\ttoggle switch\nA-5,7\tF3\t2\t500\tRelay\n"),
 {"A-1": [(10, None, "A")], "A-3": [(4, None, "S")], "A-5": [(1, None, "S")], "A-7": [(1, None, "S")]})

case("AU lighting legend schedule", "en", book({"E-010": [
  ["LUMINAIRE SCHEDULE"], ["CODE", "DESCRIPTION", "WATTS", "CCT", "IP", "DIMMABLE", "QTY"],
  ["DL1", "LED downlight 90mm cutout", "10W", "3000K", "IP44", "Trailing edge", 32],
  ["WL2", "Exterior up/down wall light", "2x6W", "3000K", "IP65", "No", 7],
  ["LS1", "LED strip in profile", "9.6W/m", "2700K", "IP20", "DALI", "12m"],
  ["TOTAL", None, None, None, None, None, None],
]}), {"DL1": [(32, 10, "R")], "WL2": [(7, 12, "S")], "LS1": [(1, 115.2, "D")]}, at_best="partly")

case("Leuchtenliste Pos./Stk./Leistung", "de", text(
"Leuchtenliste;;;;;\nBV Haus am Hang;;;;;\nPos.;Stk.;Bezeichnung;Leistung;Dimmung;Raum\n1.1;6;Einbaustrahler LED;7,5 W;Phasenabschnitt;Küche\n1.2;2;Pendelleuchte;18 W;DALI;Essen\n1.3;4;Wandleuchte;5 W;nein;Flur\n;12;Summe;;;\n", encoding="cp1252"),
 {"Einbaustrahler LED": [(6, 7.5, "R")], "Pendelleuchte": [(2, 18, "D")], "Wandleuchte": [(4, 5, "S")]})

case("Stromkreisverzeichnis", "de", book({"UV EG": [
  ["Stromkreisverzeichnis UV EG"], ["F-Nr.", "Sicherung", "Bezeichnung", "Anzahl Leuchten", "Leistung je Leuchte [W]", "Ansteuerung"],
  ["F1", "B10", "Licht Wohnzimmer", 8, "9,5", "Dimmer Phasenanschnitt"], ["F2", "B10", "Licht Küche", 6, "7", "DALI"], ["F3", "B16", "Steckdosen Küche"], ["F4", "B10", "Licht Bad", 5, "6", "geschaltet"], ["F5", None, "Reserve"],
]}), {"F1": [(8, 9.5, "F")], "F2": [(6, 7, "D")], "F4": [(5, 6, "S")]})

case("Zwei Kopfzeilen, Einheitenzeile, kW", "de", book({"Tabelle1": [
  ["Stromkreis", "Leuchte", None, "Leistung", None, "Steuerung"],
  [None, "Typ", "Menge", "einzeln", "gesamt", None],
  [None, None, "Stk", "W", "kW", None],
  ["1F1", "LT01", 20, 12, 0.24, "DALI"],
  ["1F2", "LT02", 10, 8, 0.08, "1-10 V"],
  ["Gesamt", None, 30, None, 0.32, None],
]}), {"1F1": [(20, 12, "D")], "1F2": [(10, 8, "A")]})

case("Raumbuch mit Räumen als Zeilen, Zwischensummen", "de", book({"Raumbuch": [
  ["Leuchtentyp", "Stück", "Watt", "Stromkreis", "Schaltart"],
  ["E.01 Diele"], ["Downlight D1", 4, 8, "SK1", "gedimmt, Phasenabschnitt"], ["Zwischensumme", 4, None, None, None],
  ["E.02 Wohnen"], ["Downlight D1", 10, 8, "SK2", "gedimmt, Phasenabschnitt"], ["Stehleuchte S1", 1, 60, "SK3", "geschaltet"], ["Zwischensumme", 11, None, None, None],
  ["Gesamtsumme", 15, None, None, None],
]}), {"SK1": [(4, 8, "R")], "SK2": [(10, 8, "R")], "SK3": [(1, 60, "S")]})

case("0,5 kW und 1.250 W", "de", text("Stromkreis;Leuchte;Anzahl;Gesamtleistung\nA1;Fluter;5;0,5 kW\nA2;Fluter gross;5;1.250 W\nA3;Spot;10;75,5 W\n"),
 {"A1": [(5, 100, None)], "A2": [(5, 250, None)], "A3": [(10, 7.55, None)]})

case("Bestellliste mit 6 Stk", "de", book({"Liste": [
  ["Artikel", "Menge", "Leuchtmittel", "Ort", "Kreis"], ["Strahler", "6 Stk", "LED GU10 5,5W dimmbar", "Bad", "L1"], ["Spiegelleuchte", "2 Stk.", "LED 11W", "Bad", "L2"],
]}), {"L1": [(6, 5.5, None)], "L2": [(2, 11, None)]})

case("tableau des circuits", "fr", text(
"Tableau TD1\nRepère;Désignation;Nbre de points;Puissance unitaire (W);Type de commande\nC1;Spots salon;12;6,5;Variation fin de phase\nC2;Appliques couloir;4;9;Télérupteur\nC3;Suspension séjour;1;40;Variation DALI\nC4;Réserve;;;\nTotal;;17;;\n", encoding="cp1252"),
 {"C1": [(12, 6.5, "R")], "C2": [(4, 9, "S")], "C3": [(1, 40, "D")]})

case("carnet de luminaires sans circuits", "fr", book({"Luminaires": [
  ["Repère", "Désignation", "Pièce", "Qté", "Puissance", "Gradable", "Prix HT"],
  ["L1", "Encastré LED", "Cuisine", 8, "7 W", "oui", 45], ["L2", "Réglette", "Cellier", 2, "20 W", "non", 60], ["L1", "Encastré LED", "Hall", 4, "7 W", "oui", 45],
]}), {"L1": [(8, 7, None), (4, 7, None)], "L2": [(2, 20, "S")]})

case("bilan de puissance", "fr", book({"Bilan": [
  ["Circuit", "Local", "Luminaire", "Quantité", "P. unit. (W)", "P. totale (W)", "Gradation"],
  ["E1", "Salle", "Downlight", 10, 15, 150, "1-10V"], ["E2", "Bar", "Bandeau LED", 1, 72, 72, "DALI"], ["Sous-total", None, None, 11, None, 222, None], ["E3", "Cour", "Borne", 6, 12, 72, "sans"], ["TOTAL GÉNÉRAL", None, None, 17, None, 294, None],
]}), {"E1": [(10, 15, "A")], "E2": [(1, 72, "D")], "E3": [(6, 12, "S")]})

case("deux onglets types et circuits", "fr", book({
 "Types": [["Code luminaire", "Descriptif", "Puissance (W)", "Alimentation"], ["A", "Spot", 8, "coupure de phase"], ["B", "Applique", 12, "DALI"]],
 "Circuits": [["N° circuit", "Emplacement", "Code luminaire", "Nombre"], ["1", "Hall", "A", 6], ["2", "Chambre", "B", 2]],
}), {"1": [(6, 8, None)], "2": [(2, 12, "D")]}, at_best="partly")

case("cuadro de luminarias", "es", book({"Hoja1": [
  ["CUADRO DE LUMINARIAS"], ["Símbolo", "Descripción", "Cantidad", "Potencia (W)", "Regulación"],
  ["D1", "Downlight empotrado", 24, "10", "DALI"], ["A1", "Aplique", 6, "7,5", "Corte de fase final"], ["P1", "Proyector", 2, "50", "No regulable"], ["Total", None, 32, None, None],
]}), {"D1": [(24, 10, "D")], "A1": [(6, 7.5, "R")], "P1": [(2, 50, "S")]})

case("cuadro eléctrico con circuitos", "es", text("Circuito;Estancia;Uds.;Luminaria;Potencia unitaria;Potencia total;Mando\nC1.1;Salón;8;Downlight;9 W;72 W;Regulador\nC1.2;Cocina;6;Panel;18 W;108 W;Interruptor\nC1.3;Baño;3;Foco;5 W;15 W;Interruptor\nSuma;;17;;;195 W;\n"),
 {"C1.1": [(8, 9, None)], "C1.2": [(6, 18, "S")], "C1.3": [(3, 5, "S")]})

case("celdas combinadas", "es", book({"Planta baja": [
  ["Circuito", "Zona", "Tipo de luminaria", "Nº", "W/ud", "Control"], ["L1", "Salón", "A", 6, 8, "DALI"], [None, None, "B", 2, 15, "DALI"], ["L2", "Aseo", "C", 3, 6, "On/Off"]]},
  lambda made, s: (s["Planta baja"].merge_range(1, 0, 2, 0, "L1"), s["Planta baja"].merge_range(1, 1, 2, 1, "Salón"))),
 {"L1": [(6, 8, "D"), (2, 15, "D")], "L2": [(3, 6, "S")]})

case("armaturenlijst", "nl", text("Armaturenlijst woning\n\nCode;Omschrijving;Ruimte;Aantal;Vermogen;Dimbaar;Groep\nA;Inbouwspot LED;Keuken;8 st;7W;ja, fase-afsnijding;1\nB;Hanglamp;Eettafel;1 st;40W;ja, fase-aansnijding;2\nC;Wandlamp;Hal;3 st;6W;nee;3\nTotaal;;;12;;;\n"),
 {"1": [(8, 7, "R")], "2": [(1, 40, "F")], "3": [(3, 6, "S")]})

case("groepenverklaring", "nl", book({"Groepenkast": [
  ["Groepenverklaring"], ["Groep", "Automaat", "Omschrijving", "Aantal armaturen", "Vermogen per armatuur (W)", "Totaal vermogen (W)", "Bediening"],
  [1, "B16", "Verlichting woonkamer", 10, 8, 80, "LED-dimmer faseafsnijding"], [2, "B16", "Verlichting keuken", 6, 12, 72, "DALI"], [3, "B16", "WCD keuken"], [4, "B16", "Verlichting zolder", 4, 15, 60, "schakelaar"], ["Reserve"],
]}), {"1": [(10, 8, "R")], "2": [(6, 12, "D")], "4": [(4, 15, "S")]})

case("open document, percent style dim floor", "nl", open_book({"Blad1": [
  ["Groep", "Armatuur", "Aantal", "Watt per stuk", "Sturing", "Minimaal dimniveau"], ["G1", "Spot", 6, 7.5, "DALI", Styled((0.01, "percent"))], ["G2", "Lijn", 2, 22, "1-10V", Styled((0.1, "percent"))],
]}), {"G1": [(6, 7.5, "D")], "G2": [(2, 22, "A")]})

case("elenco apparecchi", "it", book({"Foglio1": [
  ["Elenco apparecchi illuminanti"], ["Sigla", "Descrizione", "Locale", "Q.tà", "Potenza", "Circuito", "Dimmerazione"],
  ["F1", "Faretto incasso", "Soggiorno", 10, "7 W", "L1", "Taglio di fase (TRIAC)"], ["S1", "Sospensione", "Cucina", 3, "12 W", "L2", "DALI"], ["A1", "Applique", "Bagno", 2, "9 W", "L3", "no"], ["Totale", None, None, 15, None, None, None],
]}), {"L1": [(10, 7, "F")], "L2": [(3, 12, "D")], "L3": [(2, 9, "S")]}, at_best="partly")

case("quadro elettrico", "it", text("Quadro QE-01;;;;;\nLinea;Utenza;N. corpi illuminanti;Potenza cad. (W);Potenza tot. (W);Comando\nQ1;Luci corridoio;8;10;80;Relè passo-passo\nQ2;Luci sala;12;15;180;0-10V\nQ3;Prese sala;;;;\nQ4;Riserva;;;;\n"),
 {"Q1": [(8, 10, "S")], "Q2": [(12, 15, "A")]})

case("piani su fogli diversi", "it", book({
 "Piano terra": [["Circuito", "Ambiente", "Apparecchio", "Numero", "Watt cad."], [1, "Ingresso", "A", 4, 8], [2, "Sala", "B", 2, 30]],
 "Piano primo": [["Circuito", "Ambiente", "Apparecchio", "Numero", "Watt cad."], [1, "Camera", "A", 6, 8], [2, "Bagno", "C", 3, 6]],
}), {"Piano terra/1": [(4, 8, None)], "Piano terra/2": [(2, 30, None)], "Piano primo/1": [(6, 8, None)], "Piano primo/2": [(3, 6, None)]})

case("belysningsplan", "sv", book({"Armaturförteckning": [
  ["Littera", "Benämning", "Antal", "Effekt (W)", "Styrning", "Grupp", "Rum"], ["A1", "Downlight", 8, 9, "DALI", "1", "Kök"], ["B1", "Pendel", 2, 15, "Bakkant", "2", "Matsal"], ["C1", "Lysrörsarmatur", 3, 36, "Tänd/släck", "3", "Garage"], ["Summa", None, 13, None, None, None, None],
]}), {"1": [(8, 9, "D")], "2": [(2, 15, "R")], "3": [(3, 36, "S")]})

case("gruppförteckning", "sv", text("Gruppförteckning central A1\nGrupp\tSäkring\tObjekt\tAntal arm.\tW/st\tDimring\n1\t10A\tBelysning hall\t6\t7,5\tframkant\n2\t10A\tBelysning sovrum\t4\t6\tbakkant\n3\t16A\tUttag kök\t\t\t\n4\t10A\tReserv\t\t\t\n"),
 {"1": [(6, 7.5, "F")], "2": [(4, 6, "R")]})

case("belysningsliste", "da", text("Pos;Armatur;Rum;Antal;Effekt pr. stk.;Dæmpning;Kreds\n1;Spot;Køkken;6 stk;7 W;bagkant;K1\n2;Pendel;Stue;1 stk;60 W;forkant;K2\n3;Væglampe;Gang;4 stk;5 W;ingen;K3\nI alt;;;11;;;\n", encoding="cp1252"),
 {"K1": [(6, 7, "R")], "K2": [(1, 60, "F")], "K3": [(4, 5, "S")]})

case("gruppeskema", "da", book({"Tavle": [
  ["Gruppetavle T1"], ["Gruppe nr.", "Betegnelse", "Antal lamper", "Effekt pr. lampe", "Styring"], ["1", "Lys stue", 10, "8,5 W", "DALI"], ["2", "Lys bryggers", 2, "20 W", "Kontakt"], ["3", "Stikkontakter"], ["4", "Reserve"],
]}), {"1": [(10, 8.5, "D")], "2": [(2, 20, "S")]})

case("kursfortegnelse", "no", book({"Kurs": [
  ["Kursfortegnelse"], ["Kurs", "Vern", "Beskrivelse", "Antall armaturer", "Effekt pr. armatur (W)", "Dimming"], [1, "B10", "Lys stue", 8, 9, "bakkant"], [2, "B10", "Lys kjøkken", 6, 7, "DALI"], [3, "B16", "Stikk kjøkken"], [4, "B10", "Lys bod", 1, 20, "av/på"],
]}), {"1": [(8, 9, "R")], "2": [(6, 7, "D")], "4": [(1, 20, "S")]})

case("armaturliste uten kurs", "no", text("Armaturtype;Antall;Watt;Styring\nA - downlight;20;10,5;DALI-2\nB - pendel;3;25;av/på\nC - stripe;2;14,4;1-10V\nSum;25;;\n"),
 {"A - downlight": [(20, 10.5, "D")], "B - pendel": [(3, 25, "S")], "C - stripe": [(2, 14.4, "A")]})

case("driver sharing: 3 on one driver", "en", text("Circuit,Luminaire,Qty,Drivers,Watts each,Control\nL1,Mini spot,6,2,3,DALI\nL2,Downlight,4,4,9,DALI\n"),
 {"L1": [(2, 9, "D")], "L2": [(4, 9, "D")]})

case("strip 9W/m x 5m", "en", text("Circuit,Fitting,Qty,Load,Control\nL1,Cove LED tape,1,9W/m x 5m,DALI\nL2,Downlight,6,8W,DALI\n"), {"L1": [(1, 45, "D")], "L2": [(6, 8, "D")]}, at_best="partly")

case("amps instead of watts", "en", text("Circuit,Fitting,Qty,Current (A),Control\nL1,Floodlight,4,0.25,Contactor\nL2,Bollard,6,0.05,Contactor\n"), {"L1": [(4, None, "S")], "L2": [(6, None, "S")]})

case("revision deltas, struck rows, hidden", "en", book({"S": [
  ["Cct", "Area", "Type", "Qty", "W", "Dim type", "Rev"], ["1", "Hall", "A", 6, 7, "TE", "B"], ["2", "Hall", "B", 3, 9, "TE", "A"], ["3", "Snug", "A", 5, 7, "LE", "B"]]},
  lambda made, s: [s["S"].write(2, c, v, made.add_format({"font_strikeout": True})) for c, v in enumerate(["2", "Hall", "B", 3, 9, "TE", "A"])]),
 {"1": [(6, 7, "R")], "3": [(5, 7, "F")]})

case("several tables on a sheet per room with title", "en", book({"S": [
  ["Kitchen"], ["Circuit", "Fitting", "Qty", "Watts"], ["K1", "Downlight", 6, 7], ["K2", "Pendant", 3, 10], [None, "Total", 9, None], [],
  ["Lounge"], ["Circuit", "Fitting", "Qty", "Watts"], ["L1", "Downlight", 8, 7], [None, "Total", 8, None],
]}), {"K1": [(6, 7, None)], "K2": [(3, 10, None)], "L1": [(8, 7, None)]})

case("board in a column, DB1/4 names", "en", text("Circuit ref,Location,Luminaire,Nos,Watts per luminaire,Control protocol\nDB1/4,Hall,A,6,12,DALI\nDB1/5,Stair,A,3,12,DALI\nDB2/4,Bar,B,5,9,Mains dimming\n"),
 {"DB1/4": [(6, 12, "D")], "DB1/5": [(3, 12, "D")], "DB2/4": [(5, 9, None)]}, at_best="partly")

case("xls with percent and totals", "de", old_book({"Licht": [
  ["Stromkreis", "Leuchte", "Anzahl", "Watt", "Dimmart", "Min. Dimmwert"], ["L1", "Spot", 6, 7.5, "DALI", 0.01], ["L2", "Panel", 4, 30, "1-10V", 0.1], ["Summe", None, 10, None, None, None]]}, formats={(1, 5): "0%", (2, 5): "0%"}),
 {"L1": [(6, 7.5, "D")], "L2": [(4, 30, "A")]})

case("two circuits sharing rows, quantity merged", "en", book({"S": [
  ["Circuits", "Area", "Luminaire", "Qty", "Watts (each)"], ["L1-L4", "Hotel corridor", "DL", 24, 7], ["L5 & L6", "Lobby", "PD", 2, 60], ["L7", "Bar", "DL", 9, 7]]}),
 {**{f"L{i}": [(6, 7, None)] for i in range(1, 5)}, "L5": [(1, 60, None)], "L6": [(1, 60, None)], "L7": [(9, 7, None)]})

case("plan legend with counts per floor and driver note", "en", book({"Legend": [
  ["LIGHTING LEGEND - FIRST FLOOR"], ["Symbol", "Luminaire", "Lamp / LED module", "No off", "Circuit No", "Driver type", "Notes"],
  ["A", "Recessed trimless spot", "LED 8.2W 2700K", "11 no.", "5", "Mains dimmable trailing edge", "IP44 in bath"],
  ["B", "Mirror light", "LED 12W", "2 no.", "6", "Non-dimmable", ""], ["C", "Pendant by client", "tbc", "1 no.", "7", "tbc", ""]]}),
 {"5": [(11, 8.2, "R")], "6": [(2, 12, "S")], "7": [(1, None, None)]})

case("electrician's handwritten style list", "en", text("Cct\tWhere\tWhat\tHow many\tW\tDimmer?\n1\tKitchen\tspots\t9\t6\ttrailing\n2\tHall\tpendant\t1\t60\tleading\n3\tLoft\tbatten\t2\t22\tno\n"),
 {"1": [(9, 6, "R")], "2": [(1, 60, "F")], "3": [(2, 22, "S")]})

case("two boards on one sheet, stacked, with ratings", "en", book({"Boards": [
  ["Distribution Board DB-GF"], ["Way No", "Circuit description", "Fittings (no.)", "Watts each", "Control"], [1, "Reception", 10, 12, "DALI"], [2, "Stores", 4, 18, "switched"], ["Total", None, 14],
  [], ["Distribution Board DB-FF"], ["Way No", "Circuit description", "Fittings (no.)", "Watts each", "Control"], [1, "Office", 16, 12, "DALI"], ["Total", None, 16]]}),
 {"DB-GF/1": [(10, 12, "D")], "DB-GF/2": [(4, 18, "S")], "DB-FF/1": [(16, 12, "D")]})

case("US relay schedule with watts total", "en-us", book({"RP-1": [
  ["RELAY PANEL SCHEDULE RP-1"], ["RELAY", "CIRCUIT", "AREA", "FIXTURE", "# FIXTURES", "TOTAL WATTS", "DIMMING TYPE"], [1, "LP1-2", "LOBBY", "F1", 12, 132, "0-10V"], [2, "LP1-4", "CORRIDOR", "F2", 8, 72, "NONE"], [3, "LP1-6", "CAFE", "F1", 6, 66, "0-10V"]]}),
 {"LP1-2": [(12, 11, "A")], "LP1-4": [(8, 9, "S")], "LP1-6": [(6, 11, "A")]})

case("US residential list, VA and amps", "en-us", text("Room,Fixture,Qty,Lamp,Total VA,Switch Leg,Dimmer\nKitchen,Can,8,LED 10W,96,a,ELV dimmer\nDining,Chandelier,1,6 x 40W inc,240,b,incandescent dimmer\n"),
 {"a": [(8, 10, None)], "b": [(1, 240, None)]}, at_best="partly")

case("AU circuit schedule, Load (W) and notes", "en", book({"LDB": [
  ["Cct", "Area", "Luminaire", "Qty", "Load (W)", "Dimming method", "RCBO"], ["L1", "Living", "DL-1", 12, 10, "Trailing edge (phase cut)", "10A"], ["L2", "Alfresco", "DL-1", 6, 10, "Trailing edge (phase cut)", "10A"], ["L3", "Garage", "BT-1", 3, 36, "On/off", "10A"], ["Note 1: all dimmers universal type."]]}),
 {"L1": [(12, 10, "R")], "L2": [(6, 10, "R")], "L3": [(3, 36, "S")]})

case("Leuchtenliste mit Preis und Leuchtmittel", "de", book({"Leuchten": [
  ["Pos", "Raum", "Leuchte", "Leuchtmittel", "Stück", "Dimmbar", "EP €", "GP €"], [1, "Küche", "Einbauspot", "GU10 LED 6W", 8, "ja (Phasenabschnitt)", 49, 392], [2, "Bad", "Deckenleuchte", "LED 18W", 1, "nein", 120, 120], [None, None, "Summe", None, 9, None, None, 512]]}),
 {"Einbauspot": [(8, 6, "R")], "Deckenleuchte": [(1, 18, "S")]})

case("Verteilerplan, Zeile je Abgang", "de", text("Verteiler;UV 1.OG;;;;\nAbgang;LS;Leuchtenart;Stk;P je Leuchte;Dimmart\n1F1;B10;Spot;14;7,5 W;Phasenabschnitt\n1F2;B10;Linie;3;24 W;DALI\n1F3;B10;Reserve;;;\nSumme;;;17;;\n", encoding="cp1252"),
 {"1F1": [(14, 7.5, "R")], "1F2": [(3, 24, "D")]})

case("DALI-Teilnehmerliste", "de", book({"DALI Linie 1": [["Adresse", "Gruppe", "Leuchtentyp", "Raum", "Leistung [W]"], [0, "G1", "L1", "Flur", 18], [1, "G1", "L1", "Flur", 18], [2, "G2", "L2", "Büro", 32]]}),
 {"G1": [(1, 18, "D"), (1, 18, "D")], "G2": [(1, 32, "D")]})

case("Gesamtleistung mit Tausenderpunkt", "de", book({"Last": [["Kreis", "Verwendung", "Anzahl Leuchten", "Leistung gesamt [W]", "Steuerung"], ["K1", "Fluter Hof", 5, "1.000", "Schütz"], ["K2", "Wege", 20, "240,0", "Schütz"], ["Summe", None, 25, "1.240,0"]]}),
 {"K1": [(5, 200, "S")], "K2": [(20, 12, "S")]})

case("liste luminaires avec pilotage", "fr", text("Réf;Luminaire;Nb;Puissance (W);Pilotage;Circuit\nA;Spot encastré;14;7;DALI;C1\nB;Linéaire;3;24;1-10V;C2\nC;Applique ext.;4;9;Sans;C3\nTotal;;21;;;\n", encoding="cp1252"),
 {"C1": [(14, 7, "D")], "C2": [(3, 24, "A")], "C3": [(4, 9, "S")]}, at_best="partly")

case("feuille par étage", "fr", book({
 "RDC": [["Circuit", "Pièce", "Luminaire", "Quantité", "Puissance par luminaire", "Variation"], ["E1", "Séjour", "Spot", 10, "6 W", "fin de phase"], ["E2", "Cuisine", "Réglette", 2, "18 W", "non"]],
 "R+1": [["Circuit", "Pièce", "Luminaire", "Quantité", "Puissance par luminaire", "Variation"], ["E3", "Chambre", "Spot", 6, "6 W", "fin de phase"]]}),
 {"E1": [(10, 6, "R")], "E2": [(2, 18, "S")], "E3": [(6, 6, "R")]})

case("listado con potencia en kW", "es", text("Circuito;Descripción;Nº luminarias;Potencia total (kW);Control\nA1;Downlights hall;10;0,12;DALI\nA2;Campanas;4;0,6;1-10V\nA3;Reserva;;;\n"),
 {"A1": [(10, 12, "D")], "A2": [(4, 150, "A")]})

case("tipos y circuitos en dos hojas", "es", book({"Luminarias": [["Tipo", "Descripción", "Potencia unitaria (W)", "Equipo"], ["T1", "Downlight", 12, "DALI"], ["T2", "Aplique", 8, "on/off"]], "Circuitos": [["Nº circuito", "Local", "Tipo", "Uds"], ["C1", "Hall", "T1", 8], ["C2", "Baño", "T2", 2]]}),
 {"C1": [(8, 12, "D")], "C2": [(2, 8, "S")]})

case("lichtplan keuken", "nl", book({"Lichtplan": [["Lichtplan begane grond"], ["Nr", "Armatuur", "Ruimte", "Aantal", "Watt", "Groep", "Dimbaar"], [1, "Spot", "Keuken", 8, "6W", "G1", "ja"], [2, "Ledstrip", "Keuken", 1, "28W", "G1", "nee"], [3, "Hanglamp", "Eetkamer", 2, "15W", "G2", "DALI"], ["Totaal", None, None, 11]]}),
 {"G1": [(8, 6, None), (1, 28, "S")], "G2": [(2, 15, "D")]})

case("nl csv totaal per groep", "nl", text("Groep,Aantal lichtpunten,Armatuur,Totaal vermogen (W),Schakeling\n1,10,Spot,75,dimmer faseafsnijding\n2,4,TL,144,serieschakelaar\n"),
 {"1": [(10, 7.5, "R")], "2": [(4, 36, "S")]})

case("computo con luci per ambiente", "it", book({"Luci": [["Ambiente", "Circuito", "Corpo illuminante", "N°", "W cad", "W tot", "Dimmer"], ["Soggiorno", "L1", "Faretto", 8, 7, 56, "DALI"], [None, "L2", "Piantana", 1, 40, 40, "no"], ["Camera", "L3", "Applique", 2, 9, 18, "taglio di fase discendente"], ["Totale", None, None, 11, None, 114]]}),
 {"L1": [(8, 7, "D")], "L2": [(1, 40, "S")], "L3": [(2, 9, "R")]})

case("ods con piani", "it", open_book({"PT": [["Linea", "Locale", "Apparecchio", "Quantità", "Potenza unitaria (W)", "Regolazione"], ["LA1", "Bar", "Sosp.", 4, 12, "DALI"], ["LA2", "Bagni", "Incasso", 5, 8, "on/off"]]}),
 {"LA1": [(4, 12, "D")], "LA2": [(5, 8, "S")]})

case("armaturlista svensk", "sv", text("Litt;Armatur;Antal;Watt/st;Dimning;Plats;Grupp\nA;Spot;12;7;DALI;Kök;1\nB;Vägg;4;9,5;Bakkant;Hall;2\nC;Lysrör;2;36;Nej;Förråd;3\n"),
 {"1": [(12, 7, "D")], "2": [(4, 9.5, "R")], "3": [(2, 36, "S")]})

case("dansk lampeliste", "da", book({"Lamper": [["Lampeliste"], ["Rum", "Lampe", "Antal stk.", "Watt pr. stk.", "Lysdæmper", "Gruppe"], ["Stue", "Spot", 10, "6,5", "ja, bagkant", "1"], ["Entré", "Loftlampe", 1, "12", "nej", "2"], ["Sum", None, 11]]}),
 {"1": [(10, 6.5, "R")], "2": [(1, 12, "S")]})

case("norsk lysplan", "no", book({"Lysplan": [["Rom", "Type armatur", "Antall", "Effekt/stk", "Styring", "Kursnr."], ["Stue", "Downlight", 9, "8 W", "DALI", "13"], ["Bod", "Takplate", 1, "15 W", "bryter", "14"], ["Totalt", None, 10]]}),
 {"13": [(9, 8, "D")], "14": [(1, 15, "S")]})

case("hidden column and struck fitting, formula totals", "en", book({"S": [["Circuit", "Room", "Fitting", "Qty", "W each", "W total", "Control protocol"], ["A1", "Hall", "D1", 6, 9, None, "DALI"], ["A2", "Bar", "D2", 3, 15, None, "DALI"]]}, lambda m, s: (s["S"].write_formula(1, 5, "=D2*E2", None, 54), s["S"].write_formula(2, 5, "=D3*E3", None, 45), s["S"].set_column(1, 1, None, None, {"hidden": True}))),
 {"A1": [(6, 9, "D")], "A2": [(3, 15, "D")]})

case("xls circuit list old", "en", old_book({"Sheet1": [["CIRCUIT REF", "LOCATION", "TYPE", "NO.", "WATTS/FITTING", "DIMMED BY"], ["D1", "Lounge", "A", 5, 8, "leading edge"], ["D2", "Lounge", "B", 2, 20, "not dimmed"]]}),
 {"D1": [(5, 8, "F")], "D2": [(2, 20, "S")]})

case("fittings with lamps each", "en", text("Circuit,Fitting,Qty,Lamps per fitting,W per lamp,Dimming\nC1,Chandelier,2,8,4,trailing edge\nC2,Spot,6,1,7,trailing edge\n"), {"C1": [(2, 32, "R")], "C2": [(6, 7, "R")]})

case("M&E lighting control schedule with zones and channels", "en", book({"LC schedule": [["Project", "Villa 9"], ["LIGHTING CONTROL SCHEDULE"], ["Area", "Zone", "Channel", "Fitting ref", "Qty", "Load/fitting (W)", "Zone load (W)", "Control type", "Comments"],
  ["Living", "Z1", "1", "DL1", 8, 9, 72, "DALI", None], ["Living", "Z2", "2", "LS1", 2, 45, 90, "DALI", "5m each"], ["Study", "Z3", "3", "PD1", 1, 30, 30, "Mains dim (TE)", None]]}),
 {"Z1": [(8, 9, "D")], "Z2": [(2, 45, "D")], "Z3": [(1, 30, "R")]})

case("luminaire schedule with driver info and no qty", "en", book({"Lum": [["TYPE REF", "DESCRIPTION", "LAMP SOURCE", "SYSTEM WATTS", "DRIVER/DIMMING", "IP"], ["A", "Adjustable downlight", "LED", "9.5W", "Remote DALI driver", "IP20"], ["B", "Bollard", "LED", "14W", "Integral, switched", "IP65"]]}),
 {"A": [(1, 9.5, "D")], "B": [(1, 14, "S")]}, at_best="partly")

case("rcbo board, fittings and watts text", "en", text("MCB No,Rating,Circuit,Points,Watts per point,Remarks\n1,6A,Ground floor lights,14,8W,trailing edge dimmers\n2,6A,First floor lights,11,8W,\n3,32A,Ring,,,\n"),
 {"Ground floor lights": [(14, 8, None)], "First floor lights": [(11, 8, None)]})

case("quantities with units in words and ranges", "en", text("Circuit;Luminaire;Quantity;Power;Dimming\nA;Spot;12 pcs;6-7 W;TE\nB;Panel;3 pcs.;max 36W;1-10V\nC;Tube;2 pieces;~ 20 W;none\n"),
 {"A": [(12, (6, 7), "R")], "B": [(3, (0, 36), "A")], "C": [(2, (18, 22), "S")]})

case("circuit ranges and lists", "en", book({"S": [["Circuit(s)", "Luminaire", "Qty", "W ea.", "Protocol"], ["1-3", "A", 30, 10, "DALI"], ["4, 5", "B", 8, 12, "DALI"], ["6", "C", 5, 7, "0-10V"]]}),
 {"1": [(10, 10, "D")], "2": [(10, 10, "D")], "3": [(10, 10, "D")], "4": [(4, 12, "D")], "5": [(4, 12, "D")], "6": [(5, 7, "A")]})

case("US switch leg table", "en-us", book({"E2": [["ROOM NAME", "SWITCH LEG", "FIXTURE TAG", "QTY.", "W/FIXT.", "TOTAL W", "DIM. TYPE"], ["GREAT RM", "a", "D1", 9, 12, 108, "ELV (REVERSE PHASE)"], ["GREAT RM", "b", "P1", 1, 60, 60, "TRIAC (FORWARD PHASE)"], ["PANTRY", "c", "U1", 2, 10, 20, "SWITCHED"]]}),
 {"a": [(9, 12, "R")], "b": [(1, 60, "F")], "c": [(2, 10, "S")]})

case("US panel with type sheet and counts", "en-us", book({"PANEL L1": [["PANEL L1"], ["CKT NO.", "LOAD DESCRIPTION", "LUMINAIRE", "NO. OF LUMINAIRES", "VA", "BREAKER"], [1, "Kitchen ltg", "A", 12, 144, "20/1"], [3, "Bath ltg", "B", 4, 36, "20/1"], [5, "Spare", None, None, None, "20/1"]], "LUMINAIRES": [["MARK", "INPUT WATTS", "DIMMING"], ["A", 12, "0-10V"], ["B", 9, "ELV"]]}),
 {"1": [(12, 12, "A")], "3": [(4, 9, "R")]}, at_best="partly")

case("AU quote list", "en", text("Location\tItem\tQty\tDimmable\tWattage\tCCT\nKitchen\tLED downlight 90mm\t12\tYes - trailing edge\t9W\t3000K\nAlfresco\tFan light\t2\tNo\t15W\t4000K\n"),
 {"LED downlight 90mm": [(12, 9, "R")], "Fan light": [(2, 15, "S")]})

case("Stromkreisliste mit Summenzeilen", "de", book({"SK": [["SK-Nr.", "Bereich", "Leuchte", "Stk.", "W/Stk.", "W ges.", "Dimmung"], ["SK 1", "Flur", "Downlight", 7, 8, 56, "PhAb"], ["SK 2", "Büro", "Pendel", 2, 45, 90, "DALI-2"], ["Summe EG", None, None, 9, None, 146, None], ["SK 3", "Keller", "Wanne", 5, 20, 100, "ein/aus"], ["Gesamt", None, None, 14, None, 246, None]]}),
 {"SK 1": [(7, 8, None)], "SK 2": [(2, 45, "D")], "SK 3": [(5, 20, "S")]})

case("Leuchtenlegende mit Leuchten pro Geschoss", "de", book({"Legende": [["Leuchtenlegende"], ["Typ", "Bezeichnung", "Systemleistung (W)", "Betriebsgerät", "Anzahl"], ["E1", "Einbauleuchte rund", "12,5", "DALI dimmbar", 22], ["W1", "Wandleuchte", "8", "nicht dimmbar", 6]]}),
 {"E1": [(22, 12.5, "D")], "W1": [(6, 8, "S")]})

case("Elektriker-Liste ohne Watt", "de", text("Kreis;Raum;Leuchten;Stück;Dimmer\n1;Wohnen;Spots;8;Abschnittdimmer\n2;Flur;Wandlampe;3;kein Dimmer\n", encoding="cp1252"),
 {"1": [(8, None, "R")], "2": [(3, None, "S")]})

case("tableau avec unités sur une ligne", "fr", book({"F1": [["Circuit", "Appareil", "Qté", "Puissance", "Courant", "Mode"], [None, None, "u", "W", "A", None], ["L1", "Downlight", 12, 8, 0.5, "DALI"], ["L2", "Applique", 6, 6, 0.2, "Marche/Arrêt"]]}),
 {"L1": [(12, 8, "D")], "L2": [(6, 6, "S")]})

case("liste achats", "fr", text("Désignation;Pièce;Qté;Remarque\nSpot LED 7W GU10 dimmable;Cuisine;8 pcs;variateur existant\nRéglette LED 18W;Garage;2 pcs;\n"),
 {"Spot LED 7W GU10 dimmable": [(8, 7, None)], "Réglette LED 18W": [(2, 18, None)]})

case("memoria con circuitos y dependencias", "es", book({"Memoria": [["CTO.", "DEPENDENCIA", "LUMINARIA", "UD.", "P. UD. (W)", "P. TOTAL (W)", "REG."], ["A1", "Salón", "L1", 10, 8, 80, "DALI"], ["A2", "Pasillo", "L2", 6, 5, 30, "No"], ["TOTAL", None, None, 16, None, 110]]}),
 {"A1": [(10, 8, "D")], "A2": [(6, 5, "S")]})

case("lista de compra", "es", text("Luminaria,Cantidad,Potencia,Casquillo,Regulable\nFoco,10,\"5,5 W\",GU10,sí\nPlafón,2,18 W,LED,no\n"), {"Foco": [(10, 5.5, None)], "Plafón": [(2, 18, "S")]})

case("verlichtingsstaat", "nl", book({"Staat": [["Verlichtingsstaat"], ["Ruimte", "Type", "Omschrijving", "Aantal", "Verm. [W]", "Totaal [W]", "Eindgroep", "Dimprotocol"], ["Hal", "A", "Inbouwspot", 5, 7, 35, "1.1", "DALI"], ["Zolder", "B", "TL-armatuur", 2, 36, 72, "1.2", "n.v.t."]]}),
 {"1.1": [(5, 7, "D")], "1.2": [(2, 36, None)]})

case("kastindeling", "nl", text("Groep;Omschrijving;Lichtpunten;Watt per lichtpunt;Dimmer\nG01;Woonkamer;9;7;LED dimmer (afsnijding)\nG02;Keuken;6;9;geen\nG03;Reserve;;;\n"),
 {"G01": [(9, 7, "R")], "G02": [(6, 9, "S")]})

case("tabella luci con due intestazioni", "it", book({"T": [["Circuito", "Apparecchi", None, "Potenza", None, "Regolazione"], [None, "Tipo", "N.", "unit. [W]", "tot. [W]", None], ["C1", "Faretto", 9, 7, 63, "DALI"], ["C2", "Plafoniera", 3, 22, 66, "on-off"]]}),
 {"C1": [(9, 7, "D")], "C2": [(3, 22, "S")]})

case("distinta", "it", text("Codice;Descrizione;Q.tà;W;Dimm.;Locale\nF1;Faretto GU10;12;6;sì;Soggiorno\nP1;Plafoniera;3;18;no;Garage\n", encoding="cp1252"), {"F1": [(12, 6, None)], "P1": [(3, 18, "S")]})

case("belysningslista", "sv", book({"Lista": [["Pos", "Armaturtyp", "Antal", "Systemeffekt W", "Styrprotokoll", "Grupp nr"], ["1", "Spotlight", 10, 8, "DALI", "11"], ["2", "Utearmatur", 4, 12, "Av/På", "12"]]}),
 {"11": [(10, 8, "D")], "12": [(4, 12, "S")]}, at_best="partly")

case("elschema grupper", "sv", text("Gruppnr;Benämning;Antal armaturer;Effekt per armatur [W];Dimmer\n1;Kök spotlights;8;6;bakkant\n2;Hall;2;10;nej\n3;Reserv;;;\n"), {"1": [(8, 6, "R")], "2": [(2, 10, "S")]})

case("lysskema", "da", book({"Skema": [["Kreds", "Rum", "Armaturtype", "Antal", "Watt/stk", "Styringsform"], ["L1", "Køkken", "Spot", 8, "6 W", "DALI"], ["L2", "Bad", "Plafond", 2, "12 W", "Tænd/sluk"]]}), {"L1": [(8, 6, "D")], "L2": [(2, 12, "S")]})

case("lampeliste csv", "da", text("Lampe;Antal;Watt;Dæmpbar\nSpot;10;6;ja\nLoftlampe;2;15;nej\nSum;12;;\n"), {"Spot": [(10, 6, None)], "Loftlampe": [(2, 15, "S")]})

case("kursliste", "no", book({"Kurser": [["Kurs nr", "Rom", "Armatur", "Ant.", "Watt pr stk", "Dimmer"], ["4", "Stue", "Downlight", 12, "7", "bakkant"], ["5", "Gang", "Taklampe", 2, "12", "nei"], ["Sum", None, None, 14]]}), {"4": [(12, 7, "R")], "5": [(2, 12, "S")]})

case("xls liste", "no", old_book({"Ark1": [["Krets", "Lampetype", "Antall", "Effekt W", "Total W", "Styring"], ["K1", "Spot", 6, 8, 48, "DALI"], ["K2", "Lysrør", 2, 36, 72, "bryter"]]}), {"K1": [(6, 8, "D")], "K2": [(2, 36, "S")]})

case("ods with percent and units", "de", open_book({"Blatt": [["Kreis", "Leuchte", "Anzahl", "Leistung je Leuchte", "Dimmart", "Dimmbereich ab"], ["K1", "Spot", 4, "7 W", "DALI", Styled((0.05, "percent"))]]}), {"K1": [(4, 7, "D")]})
