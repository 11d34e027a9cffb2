"""What stands beside the gate: each barrel's gate, what it waits for, what was decided of it."""
