"""What sentences of an offer say: its scope, its number and its dates."""
