"""Typed fields: each holds what a person typed, and speaks only when a person acts."""
