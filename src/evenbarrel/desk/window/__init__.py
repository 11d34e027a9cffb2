"""The window and what it holds: menus, session, notices, work beside it; the files it opens."""
