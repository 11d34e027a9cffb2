"""What to ask for: each criterion read backwards, from the planned jobs to a barrel's numbers."""
