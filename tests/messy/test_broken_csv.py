"""Broken CSV files, and the sentence the user must see for each."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.intake.files import sentences, write_csv

HEAD = "Circuit,Qty,Watts,Output,Driver,Control\n"

CSV: dict[str, tuple[str, list[str]]] = {
    "unknown heading": (
        "Circuit,Quantitty,Qty\nC1,1,1\n",
        ["h.csv, line 1, column Quantitty: the heading 'Quantitty' is not known. Nearest: quantity. Put # "
         "before the heading to leave the column out."],
    ),
    "heading missing": (
        "Circuit,Watts\nC1,5\n",
        ["h.csv: the column Quantity is missing. Headings found: Circuit, Watts. Add a column with the "
         "heading Quantity."],
    ),
    "no heading row": (
        "a house\n1,2,3\n",
        ["h.csv: no heading row was found. One of the first 30 rows holds the headings. Name at least "
         "Circuit and Quantity; 'compat template' writes a schedule to fill in."],
    ),
    "same column twice": (
        "Circuit,Qty,Watts,Load (W)\nC1,1,5,6\n",
        ["h.csv, line 1, column Load (W): the headings 'Watts' and 'Load (W)' name the same column, input "
         "power. Keep one of them; put # before the heading of the other."],
    ),
    "apparent power": (
        "Circuit,Qty,Load (VA)\nC1,1,5\n",
        ["h.csv, line 1, column Load (VA): the heading 'Load (VA)' gives the unit VA, which does not fit. "
         "The column holds the input power in W."],
    ),
    "headings but no rows": (
        HEAD + ",,,,,\n",
        ["h.csv: there are headings but no rows below them. Write one row for each luminaire type on a "
         "circuit."],
    ),
    "negative watts": (
        HEAD + "C1,1,-5,,,\n",
        ["h.csv, line 2, column Watts: '-5' is below zero. The input power in W is 0 or more."],
    ),
    "not a number": (
        HEAD + "C1,1,nan,,,\n",
        ["h.csv, line 2, column Watts: 'nan' cannot be read as the input power in W. A number such as 5.5, a "
         "range such as 5.5 to 6.5, or empty when it is not known."],
    ),
    "infinity": (
        HEAD + "C1,1,1e400,,,\n",
        ["h.csv, line 2, column Watts: '1e400' is too large. The largest figure is 1000000000."],
    ),
    "thousands separator": (
        HEAD + 'C1,1,"1,234",,,\n',
        ["h.csv, line 2, column Watts: '1,234' may mean 1.234 or 1234. Write it without a thousands "
         "separator and with a point before the decimals."],
    ),
    "wrong unit": (
        HEAD + "C1,1,28 V,,,\n",
        ["h.csv, line 2, column Watts: '28 V' is in V. Allowed: input power in W."],
    ),
    "no quantity": (
        HEAD + "C1,,5,,,\n",
        ["h.csv, line 2, column Qty: the row has no quantity. Write the quantity in every row, or empty the "
         "row."],
    ),
    "quantity of zero": (
        HEAD + "C1,0,5,,,\n",
        ["h.csv, line 2, column Qty: '0' is not a quantity. A quantity is a whole number from 1 to 100000."],
    ),
    "no circuit": (
        HEAD + ",1,5,,,\n",
        ["h.csv, line 2, column Circuit: the row has no circuit. Write the circuit in every row, or "
         "empty the row."],
    ),
    "circuit not decided": (
        HEAD + "tbc,1,5,,,\n",
        ["h.csv, line 2, column Circuit: the row has no circuit. Write the circuit in every row."],
    ),
    "unknown driver": (
        HEAD + "C1,1,5,,D0013,\n",
        ["h.csv, line 2, column Driver: there is no driver 'D0013'. Allowed: the id of a driver of the "
         "dataset, or empty. Nearest: D0001, D0103, D0002."],
    ),
    "unknown output": (
        HEAD + "C1,1,5,X,,\n",
        ["h.csv, line 2, column Output: there is no output 'X'. Allowed: the id of an output of the dataset, "
         "or empty."],
    ),
    "clashing outputs": (
        HEAD + "C1,1,5,O0001,,\nC1,2,6,,,\nC1,2,6,O0002,,\n",
        ["h.csv, line 4, column Output: circuit 'C1' has the output 'O0002' here and 'O0001' in line 2. All "
         "rows of a circuit have one output. Write the same in each, leave all but one empty, or make it two "
         "circuits."],
    ),
    "clashing wishes": (
        "Circuit,Qty,Control wanted\nC1,1,dimmed\nC1,1,switched\n",
        ["h.csv, line 3, column Control wanted: circuit 'C1' has the control wanted 'switched' here and "
         "'dimmed' in line 2. All rows of a circuit have one control wanted. Write the same in each, leave "
         "all but one empty, or make it two circuits."],
    ),
    "unknown method": (
        HEAD + "C1,1,5,,,DALI; traling edge\n",
        ["h.csv, line 2, column Control: the word 'traling edge' in 'DALI; traling edge' is not known in the "
         "column: methods it accepts. Allowed: forward phase, reverse phase, 0-10 V, DALI, DMX, switched. "
         "Nearest: trailing edge, trailing edge phase, phase trailing edge."],
    ),
    "two figures for one trait": (
        "Circuit,Qty,Inrush,Inrush width (us)\nC1,1,28 A/380 us,200\n",
        ["h.csv, line 2, column Inrush width (us): '200' differs from what h.csv, line 2, column Inrush "
         "says. State each figure once."],
    ),
    "voltage without lower end": (
        "Circuit,Qty,Mains voltage (V)\nC1,1,max 240\n",
        ["h.csv, line 2, column Mains voltage (V): 'max 240' gives no lower end for the input voltage. Write "
         "a range such as 220-240."],
    ),
    "width without unit": (
        "Circuit,Qty,Inrush\nC1,1,28/380\n",
        ["h.csv, line 2, column Inrush: '28/380' cannot be read as peak and width of the inrush. Write both "
         "with their units, such as 28 A/380 us."],
    ),
    "too many cells": (
        HEAD + "C1,1,5,,,,stray\n",
        ["h.csv, line 2, column 7: the row has 7 cells, but there are 6 headings. Put a cell that holds the "
         "separator in quotes, or remove the extra cells."],
    ),
    "value without heading": (
        "Circuit,Qty,,Watts\nC1,1,stray,5\n",
        ["h.csv, line 2, column 3: the cell has a value but its column has no heading. Give the column a "
         "heading, or empty its cells."],
    ),
    "quote not closed": (
        HEAD + 'C1,1,5,,,"DALI\nC2,1,5,,,\n',
        ["h.csv, line 2: a quoted cell that starts on this line is not closed, or has text after its quote. "
         "Close the quote; write a quote inside a cell twice."],
    ),
    "long line": (
        HEAD + "C1,1" + "," * 200_001 + "\n",
        ["h.csv, line 2: the line has more than 200000 characters. Export the schedule again."],
    ),
    "too many headings": (
        "Circuit,Qty" + ",#x" * 499 + "\nC1,1\n",
        ["h.csv, line 1, column 501: the heading row has more than 500 columns. Keep only the columns of the "
         "schedule."],
    ),
    "long text": (
        HEAD + "C" * 201 + ",1,5,,,\n",
        ["h.csv, line 2, column Circuit: the text has 201 characters. At most 200. Shorten it."],
    ),
    "every fault at once": (
        "Circuit,Qty,Watts,Fabric\nC1,x,-1,2\n,1,5,\n",
        ["h.csv, line 1, column Fabric: the heading 'Fabric' is not known. Put # before the heading to leave "
         "the column out.",
         "h.csv, line 2, column Qty: 'x' is not a quantity. A quantity is a whole number from 1 to 100000.",
         "h.csv, line 2, column Watts: '-1' is below zero. The input power in W is 0 or more.",
         "h.csv, line 3, column Circuit: the row has no circuit. Write the circuit in every row, or "
         "empty the row."],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), CSV.values(), ids=CSV.keys())
def test_csv(tmp_path: Path, text: str, expected: list[str]) -> None:
    assert sentences(write_csv(tmp_path / "h.csv", text)) == expected
