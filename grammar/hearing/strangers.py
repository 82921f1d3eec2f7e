"""Whether what is told beside a story may have been the doing of somebody in it who is none of ours.

May import: bearing, bearing_words, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.bearing import is_thing, over
from grammar.hearing.bearing_words import NOBODY_ELSE, STRANGERS
from grammar.hearing.tokens import Tok


def by_a_stranger(story: Sequence[Tok], report: Sequence[Tok]) -> bool:
    """ "A bloke walked past and took a shower", "my sister turned up, dumped both": whether the report may be of somebody in the story."""
    if any(tok.text in NOBODY_ELSE or tok.has("PERSON", "KIN", "NAMEWORD") for tok in report):
        return False
    if any(tok.text in STRANGERS for tok in story):
        return True
    others = any(tok.has("OTHER") and not _of_things(tok, (*story, *report)) for tok in story)
    return others and any(over(tok) or tok.has(*_DEEDS) for tok in report)


def _of_things(they: Tok, toks: Sequence[Tok]) -> bool:
    """ "rinsed the wetsuits before they stank": nobody, where only things were spoken of before."""
    before = [tok for tok in toks if tok.start < they.start]
    things = [tok for tok in before if is_thing(tok) and tok.text.endswith("s")]
    return (
        they.text in ("they", "them", "their")
        and bool(things)
        and not any(tok.has("KIN", "GUESTS", "VISITOR", "OTHER", "PERSON", "GROUP") for tok in before)
    )


_DEEDS = ("ACT", "ACTS", "USE", "SWITCH", "OUTON")
