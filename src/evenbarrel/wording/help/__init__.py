"""The words of what helps a person in."""
