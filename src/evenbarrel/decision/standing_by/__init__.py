"""What people stand by once they chose: whether signatures hold, and what changed since."""
