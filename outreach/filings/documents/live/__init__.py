"""The filed quarter as a workbook that recomputes: formulas from every answer to the headline."""
