"""Books: single SQLite files that survive being killed, and are never taken for another's."""
