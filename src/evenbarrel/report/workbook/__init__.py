"""The evaluation as a live workbook: sheets in, bytes out."""
