"""What a supplier offers: bid, units, barrels, prices and terms."""
