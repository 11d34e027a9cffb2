"""States of an evaluation: what differs, their digests, whether what they name is there."""
