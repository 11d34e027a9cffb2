"""What people decided and measured, and pure edits of it."""
