"""The Claims page: what each offer says, held against its other numbers."""
