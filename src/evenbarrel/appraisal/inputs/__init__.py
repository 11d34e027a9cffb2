"""What criteria and claims read: numbers, shots and swept volumes, with their intervals."""
