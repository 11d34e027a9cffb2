"""The word for each code, the text of each number, the name of each thing."""
