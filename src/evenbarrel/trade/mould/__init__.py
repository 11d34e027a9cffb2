"""What the mould asks: how long a part cools, and the pressure that filling takes."""
