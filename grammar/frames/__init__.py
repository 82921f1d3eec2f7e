"""What a report may say, a frame a kind: each takes the pieces of one clause in any order and leaves none over.

May import: pieces, settling, hearing.
"""
