"""Words that nobody knows and that were taken for a name: whether they are one, or rather a slip for a word of ours, which is asked about.

With a capital, or before what somebody did ("tove showered"), a strange word is a name. In the place of a name where as well a word of ours may
stand ("befde shower 15.0", "make it wittres", "stopped at borlo") nothing speaks for it.

May import: intents, rejoinders, reading, weighed, hear, likely, repair, mend, tokens, lexicon.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.hear import Word
from grammar.hearing.likely import SHORT
from grammar.hearing.repair import unlike
from grammar.hearing.tokens import Tok
from grammar.lexicon import Own, lexicon
from grammar.lightclass import TYPE_CHECKING, replace
from grammar.reading import Reading
from grammar.settling.people import does, titled
from grammar.weighed import denies

if TYPE_CHECKING:
    from grammar.hearing.mend import Attempt

_TOLD_BY = (say.Use, back.Amend, back.Fragment, back.Again)


def surely_named(found: Reading, words: Sequence[Word], toks: Sequence[Tok], own: Own, attempt: Attempt) -> Reading:
    """The reading as it is where the names in it are names; else what was rather meant, or the same, to be asked about.
    toks: the tokens of the words, settled."""
    strange = {
        word.text for word in words if not word.capital and word.text.isalpha() and not _known(word.text, own)
    } - {one.taken for one in found.repairs}
    if not strange or found.confirm or denies(found):
        return found
    people = [name for name in _people(found) if name in strange and not _did(toks, name)]
    if people:
        from grammar.hearing.mend import repaired

        near = repaired(words, own, attempt) if all(len(name) > SHORT for name in people) else None
        if near is not None and near.repairs and not denies(near):
            sure = all(unlike(one.heard, one.taken) < 1 for one in near.repairs)
            return replace(near, confirm=near.confirm or not sure)
        meant = repaired(words, own, attempt, far=True)
        if meant is not None and not denies(meant):
            return replace(meant, confirm=True)
    doubtful = [name for name in people if _put_in(toks, name)]
    doubtful += [name for name in _sites(found) if name in strange and not _stayed_at(toks, name)]
    if not doubtful:
        return found
    as_read = found.as_read
    for name in doubtful:
        as_read = re.sub(rf"\b{re.escape(name)}\b", titled(name), as_read)
    return replace(found, confirm=True, as_read=as_read)


def _known(word: str, own: Own) -> bool:
    return word in own.first or (word,) in lexicon().spellings


def _people(found: Reading) -> list[str]:
    told = [one.change if isinstance(one, back.Amend) else one for one in found.meanings if isinstance(one, _TOLD_BY)]
    return [name.casefold() for one in told for name in one.people]


def _sites(found: Reading) -> list[str]:
    """Places arrived at of which nothing else is told: how long, with what hookups."""
    told = [one for one in found.meanings if isinstance(one, say.Arrive)]
    bare = [one for one in told if (one.until, one.nights, one.water, one.sewer) == (None, None, None, None)]
    return [one.site.casefold() for one in bare if one.site]


def _place(toks: Sequence[Tok], name: str) -> int:
    return next((n for n, tok in enumerate(toks) if tok.text.casefold() == name), -1)


def _did(toks: Sequence[Tok], name: str) -> bool:
    """Whether a verb of the past tells what they did."""
    n = _place(toks, name)
    return n >= 0 and does(toks, n)


def _put_in(toks: Sequence[Tok], name: str) -> bool:
    """ "make it wittres": put in the place of anything that was told, an amount as well as a name."""
    n = _place(toks, name)
    return n > 0 and toks[n - 1].has("AMEND") and toks[n - 1].text.split()[0] in _PUT


_PUT = ("make", "change", "set")


def _stayed_at(toks: Sequence[Tok], name: str) -> bool:
    """Whether the words before it lead to a place to stay at, and not to a shop or a state of mind as well."""
    n = _place(toks, name)
    lead = next((tok for tok in reversed(toks[: max(n, 0)]) if tok.has("ARRIVE", "NEXTSTOP")), None)
    return lead is None or not lead.text.startswith(_HALTED)


_HALTED = ("stopped", "reached", "got to", "made it to")
