"""Events into a world: the ledger, readings of the meters, the level of each tank with its doubt, and the arithmetic behind it.

Pure. May import: habits.
"""
