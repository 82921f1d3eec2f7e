"""Sentences that tell something: reported or not, divided into clauses, corrected, taken back, answered.

May import: frames, pieces, settling, hearing.
"""
