"""Pictures of the written evaluation, drawn from the same traces as on screen."""
