"""What a choice needs: offers on one footing, cost over life, cover, order, proposal."""
