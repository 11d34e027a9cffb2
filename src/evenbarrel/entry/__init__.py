"""Typed or pasted text to values and back, without Qt."""
