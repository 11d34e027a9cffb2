"""Codes and SI floats to words, and typed text back to numbers."""
