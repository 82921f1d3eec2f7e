"""Text into tokens: words as a phone writes them, numbers, names, spellings mended, and what the neighbours of a word decide of it.

Nothing here knows what a sentence is. May import: lexicon, patterns and what is plain data of this package.
"""
