"""What happened, and what follows from it: events, the log, the ledger, what is believed, and what will be.

Knows nothing of words. Everything but `store` and `migrations` is pure: no clock, no database, no printing.
May import: pydantic (`events`), pint (`units`), sqlite_utils (`store`, `migrations`). Never `grammar`, never `assistant`.
"""
