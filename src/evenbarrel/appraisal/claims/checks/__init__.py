"""The claims themselves, by what they hold against each other."""
