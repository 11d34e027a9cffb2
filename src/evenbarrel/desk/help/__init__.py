"""What helps a person in: the glossary, first steps, a guided look."""
