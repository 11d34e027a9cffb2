"""A table as suppliers print it, pasted or in a workbook: its cells, its labels, its values."""
