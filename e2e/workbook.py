"""Reads a workbook and says what it holds, a line for each sheet: name, rows, kinds of cells, formulas."""

import datetime
import sys

import openpyxl

book = openpyxl.load_workbook(sys.argv[1])
for sheet in book.worksheets:
    kinds = set()
    for row in sheet.iter_rows():
        for cell in row:
            if cell.value is not None:
                kinds.add("formula" if cell.data_type == "f" else type(cell.value).__name__)
                if cell.is_date:
                    assert isinstance(cell.value, datetime.datetime), cell.coordinate
    print(sheet.title, sheet.max_row - 1, ",".join(sorted(kinds)), "frozen" if sheet.freeze_panes == "A2" else "")
