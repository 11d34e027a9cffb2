"""Files: evaluations and bids on disk, upgrades from older formats, recovery and recent files."""
