"""Read-only tables over sheets."""
