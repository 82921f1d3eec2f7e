"""Tokens into pieces by the prepared grammar (amounts, times, tanks, lists), and pieces into the clauses that frames are tried on.

May import: hearing.
"""
