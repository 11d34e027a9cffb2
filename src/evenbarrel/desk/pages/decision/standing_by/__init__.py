"""The steps that a proposal stands by: what would flip it, what to ask for, acceptance, names."""
