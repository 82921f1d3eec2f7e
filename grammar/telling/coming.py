"""What is stated as settled with "will" and a day: "we'll be away Saturday", "there will be four of us from Friday", "we'll leave on Friday".

May import: intents, statements, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.telling.statements import statements

_THERE_WILL = ("there will be", "there is going to be", "there are going to be")


def _at_present(toks: Sequence[Tok], will: int) -> list[Tok]:
    """ "We will be four" as "we are four", "we will leave" as "we leave": the plan in the words of a statement."""
    rest = [*toks[:will], *toks[will + 1 :]]
    if will >= len(rest):
        return rest
    verb, who = rest[will], rest[will - 1] if will else None
    if toks[will].text in _THERE_WILL:
        return [*toks[:will], replace(toks[will], text="there are", senses=sense("THEREARE")), *toks[will + 1 :]]
    if verb.text == "be":
        rest[will] = replace(verb, text="are", senses=sense("BE") | sense("AUX"))
    elif verb.has("LEAVE", "DEPART") and who is not None and who.text in ("we", "i"):
        rest[will - 1 : will + 1] = [replace(verb, text=f"{who.text} {verb.text}", start=who.start)]
    return rest


def to_come(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """ "we'll be away Saturday": an absence or a party to come, stated as settled with "will" and a day."""
    will = [tok for tok in toks if tok.has("FUTURE")]
    if (
        len(will) != 1
        or will[0].text not in ("will", "shall", "going to", *_THERE_WILL)
        or any(tok.has("NEG", "ABOUT") for tok in toks)
    ):
        return None
    made = statements(text, _at_present(toks, toks.index(will[0])))
    if not made or len(made) != 1:
        return None
    one = made[0]
    if isinstance(one, say.Away) and (one.when is not None or one.until is not None):
        return [say.Expect(what="absence", start=one.when, until=one.until, text=text.strip())]
    if isinstance(one, say.Party) and (one.when is not None or one.until is not None) and one.people:
        return [say.Expect(what="party", start=one.when, until=one.until, people=one.people, text=text.strip())]
    if isinstance(one, say.Stay) and (one.until is not None or one.longer):
        return [replace(one, text=text.strip())]
    return [replace(one, text=text.strip())] if isinstance(one, say.Expect | say.Stop) else None
