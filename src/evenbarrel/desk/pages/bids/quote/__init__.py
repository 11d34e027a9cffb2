"""The quote's own pages beside the form: shown, searched, clicked, read."""
