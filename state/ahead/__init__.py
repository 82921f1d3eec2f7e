"""What will be: whether it lasts, ways out, what-ifs, errands and plans.

Pure. May import: used, water, habits.
"""
