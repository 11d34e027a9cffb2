"""The pages of the desk, in the order of the work."""
