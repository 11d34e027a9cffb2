"""What is said in sentences: cells, claims, questions, decisions."""
