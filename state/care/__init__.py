"""The rest of the job: bleach, rinses, totes, upkeep, lists, pressure, frost, places.

Pure. May import: water, habits.
"""
