"""What stands and what changed: two states of an evaluation, signatures under one."""
