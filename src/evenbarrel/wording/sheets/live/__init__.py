"""The live workbook: what its calculated cells are calculated from, and how."""
