"""The files of a document: opened, saved, held, dropped on the window, exported."""
