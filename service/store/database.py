"""The door to the database."""


class Database:
    """One database and its connections: `read()` and `write()` give a session, `transact(work)` runs a write, again if needed."""
