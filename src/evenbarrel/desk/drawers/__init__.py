"""The drawers at the right edge: what is still to be asked, and how a number came about."""
