"""What stands behind a choice, in words: flips, what to ask, what was measured and changed."""
