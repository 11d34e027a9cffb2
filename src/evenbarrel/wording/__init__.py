"""Codes and SI floats to words, display units, sheets and traces."""
