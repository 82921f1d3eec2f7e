"""Text into tokens: words as a phone writes them, numbers, times of the day, verbs by their tense, spellings mended.

Nothing here knows what a sentence is. May import: lexicon, patterns and what is plain data of this package.
"""
