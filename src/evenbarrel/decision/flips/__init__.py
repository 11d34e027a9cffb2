"""What would flip the choice: every number it hangs on, moved until a gate or the order changes."""
