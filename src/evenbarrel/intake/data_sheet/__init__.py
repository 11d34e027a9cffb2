"""The data sheet that goes out to a supplier and comes back filled."""
