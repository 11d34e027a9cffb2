"""The Bids page: suppliers, injection units and barrels."""
