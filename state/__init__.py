"""What happened, and what follows from it: events, the log, the ledger, what is believed, and what will be.

Knows nothing of words. Everything outside the room `log` is pure: no clock, no database, no printing.
May import: pydantic (`events`), pint (`units`), sqlite3 (`log`), sqlite_utils (`log.migrations`). Never `grammar`, never `assistant`.
"""
