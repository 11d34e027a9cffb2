"""What if: other data tried on a copy, beside the pages."""
