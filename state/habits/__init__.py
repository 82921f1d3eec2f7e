"""What this household usually does: what an activity takes, what goes unlogged, how much a day, and when in the day.

Pure. May import: the plain data of this package.
"""
