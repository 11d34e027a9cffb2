"""What stands side by side: one sheet feeds screen, PDF and workbook."""
