"""What the neighbours of a word decide of it: verbs and things, names of people, sites and tanks, numbers read off a meter.

Each step only narrows what a word may be. May import: hearing.
"""
