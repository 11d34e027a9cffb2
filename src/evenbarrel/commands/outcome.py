"""How a command ends: what it returns to the shell."""

DONE, REFUSED, WRONG_USE = 0, 1, 2
STOPPED = 130
"""What shells call a program ended by Ctrl+C."""
