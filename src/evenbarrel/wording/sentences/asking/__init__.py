"""What is said to suppliers and of what they send: questions, letters, findings."""
