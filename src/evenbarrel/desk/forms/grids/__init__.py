"""Grids that are typed into like a spreadsheet: jobs, screws, settings."""
