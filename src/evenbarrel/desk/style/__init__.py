"""How things look: palette, marks of states, buttons."""
