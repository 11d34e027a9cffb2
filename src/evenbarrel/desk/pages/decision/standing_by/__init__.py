"""The steps of what people stand by once they chose: flips, ask, sign-offs, acceptance."""
