"""What was used: by day, activity, person and stay, and what changed.

Pure. May import: habits.
"""
