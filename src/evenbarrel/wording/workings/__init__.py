"""How a number came about: its formula, its inputs, where each was stated."""
