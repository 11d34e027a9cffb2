"""What people stand by once they chose, in words: flips, ask, acceptance, signatures."""
