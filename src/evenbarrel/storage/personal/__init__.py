"""What belongs to a person and not to a document: folders, files opened last, the log of faults."""
