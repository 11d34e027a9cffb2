"""The decision in the results file."""
