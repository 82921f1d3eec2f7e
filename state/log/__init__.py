"""The log: rows on disk, their order, what undoes or amends what, copies, merging, and worlds kept for a faster start.

The only rooms that touch the disk. May import: water.
"""
