"""What stands side by side for a choice: offers, cost over life, cover, order, proposal."""
