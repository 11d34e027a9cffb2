"""The window and what it holds: menus, documents, session, notices, work beside it."""
