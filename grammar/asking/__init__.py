"""Sentences that ask something: which topic, of what, for when, and with which if.

May import: telling, frames, pieces, settling, hearing.
"""
