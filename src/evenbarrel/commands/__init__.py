"""The commands that work without a window and never load Qt."""
