"""Files: evaluations and bids on disk, upgrades from older formats, autosave and recent files."""
