"""From criteria to verdicts: states of values, cells of the fit grid, the gate of a barrel."""
