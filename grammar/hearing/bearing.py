"""What a part of a phrase may bear on the log: the one place where it is judged whether words beside a report are only talk.

A report that is complete by itself stands whatever is said beside it, unless a part of the phrase turns it ("almost", "if", "in theory",
"or so I thought"), or tells something of ours itself: a tank, a meter, a use, an errand, an amount, a time, or somebody who may have done
it. Unknown and ordinary words tell nothing. What a part is as a whole (an aside, a doubt, somebody else's) the rules of grammar/parts judge;
whoever adds a class to the vocabulary decides in parts/common.txt what it bears. May import: parts, tokens, lexicon, repair.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.parts import shared, verdict
from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon

TURNS, ELSE, OURS, TALK, LITTLE, PLAIN = map(shared, ("turns", "else", "ours", "talk", "light", "remarks"))
RATHER_TALK, ON_THE_WAY, AT_A_SITE = map(shared, ("rather_talk", "on_the_way", "at_a_site"))
LONGEST, SHORTEST_WORD = 16, 3
_TELLS_OF_IT = shared("tells_of_it")
_MEANWHILE = ("while", "when", "whilst", "as", "because", "since", "cos", "cause")
_SAYS_HOW = ("good", "fine", "clear", "safe", "sorry", "well")
_SAID = ("said", "says", "saying")

# ---------------------------------------------------------------- the parts of a phrase


def says_nothing(part: Sequence[Tok], leads: bool) -> bool:
    """Whether a part bears nothing on the log, so that a report beside it stands by itself. `leads`: no report has come before it."""
    if not part or len(part) > LONGEST:
        return False
    aside = verdict("aside", part)
    if tells_how_known(part) or aside == "always" or (aside == "before" if leads else aside in ("after", "use")):
        return True
    if aside == "said":
        return says_nothing(_what_is_said(part), leads)
    if verdict("ours", part):
        return False
    told = without_measures(part)
    dry, meanwhile = deedless(part), part[0].text in _MEANWHILE and len(part) > SHORTEST_WORD
    said = told[1:] if meanwhile else told
    if turns(told[1:] if meanwhile and told and told[0] is part[0] else told, leads):
        return False
    things = (
        dry and any(is_thing(tok) for tok in told) and not all(is_thing(tok) or tok.has("ART", "NEG") for tok in told)
    )
    if not (meanwhile or things or any(_tells_something(tok) for tok in told)):
        return False
    to_somewhere = any(not tok.known for tok in told) and not any(not tok.known and tok.capital for tok in told[1:])
    return all(is_talk(tok) or (dry and is_thing(tok)) or (to_somewhere and _going(tok)) for tok in said)


def _what_is_said(part: Sequence[Tok]) -> Sequence[Tok]:
    """ "Walt says | his back is better"."""
    return part[next(n for n, tok in enumerate(part) if tok.has("REPORTED", "SAYS")) + 1 :]


def tells_how_known(part: Sequence[Tok]) -> bool:
    """Whether a part tells how somebody came to know what stands beside it, and nothing else."""
    return len(part) > 1 and verdict("how_known", part) == "known"


def by_a_stranger(story: Sequence[Tok], report: Sequence[Tok]) -> bool:
    """ "A bloke walked past and took a shower", "my sister turned up, dumped both": whether the report may be of somebody in the story."""
    who, did = verdict("stranger", story), verdict("doer", report)
    if did == "ours" or who == "stranger":
        return did != "ours"
    whole = sorted((*story, *report), key=lambda tok: tok.start)
    return who == "other" and did == "deed" and verdict("stranger", whole) != "things"


def of_a_use_only(part: Sequence[Tok]) -> bool:
    """Whether an aside may stand beside a use that was done, and not beside what was filled or is usual ("…, same as always", "and half of it
    ended up on the floor")."""
    return any(tok.has("LIKE") for tok in part) or verdict("aside", part) == "use"


def turns(part: Sequence[Tok], leads: bool) -> bool:
    """Whether a part takes back what stands beside it, doubts it, or makes a plan or a condition of it."""
    return verdict("turned", part) in ("turned", "coming", "before" if leads else "after")


def cut_short(part: Sequence[Tok]) -> bool:
    """ "but the pipe was blocked": after a report."""
    return verdict("turned", part) == "after"


def deedless(part: Sequence[Tok]) -> bool:
    """Whether nothing that takes water is told: "the dog came with me", "took the dog round the loop", but not "washed the dog"."""
    taken = any(tok.has("TAKEAWAY") for tok in part) and any(tok.has("PARTICLE", "AWAYFOR", "SCENE") for tok in part)
    return not any(
        tok.has("WASH", "USE", "SANITISE", "UNIT", "FRACTION", "ELSEWHERE")
        or (tok.has("DO") and not (taken and tok.has("TAKEAWAY")) and not tok.has("AUX", "HAVE"))
        or (tok.has("ACT") and not is_thing(tok))
        for tok in part
    )


def no_time_of_it(part: Sequence[Tok]) -> bool:
    """ "when it is cold", "when we leave", "when I was a kid": a rule, what is to come, or long past."""
    return verdict("ours", part) == "timeless"


def _going(tok: Tok) -> bool:
    """ "got to the lake", "went fishing": the place has no name, so it is no arrival."""
    return tok.text in ("went", "we went") or (tok.has("ARRIVE") and tok.senses["ARRIVE"].form == "past")


def without_measures(part: Sequence[Tok]) -> list[Tok]:
    """Without what measures nothing of ours: "half an hour", "half asleep", "all good", "what a day", "with no gloves on"."""
    kept: list[Tok] = []
    n = 0
    while n < len(part):
        tok, after = part[n], part[n + 1] if n + 1 < len(part) else None
        if tok.has("TIMEUNIT") and kept and not tok.has("NUMBER"):
            while kept and kept[-1].has("NUMBER", "FRACTION", "A", "ABOUT", "OF", "COUPLE"):
                kept.pop()
        elif after is not None and _of_a_state(tok, after, part[n + 2 :]):
            pass
        elif tok.text == "both" and after is not None and (is_thing(after) or not after.known):
            pass  # "both cats ran away"
        elif counts_something_else(part, n):  # "three wrong turns", "one of the cats"
            while n + 1 < len(part) and part[n + 1].has("ADJ", "FELT", "REMARK"):
                n += 1
        elif tok.text == "lot" and kept and kept[-1].has("OTHER", "KIN", "POSS"):
            pass  # "my sister's lot"
        elif after is not None and tok.text == "left" and after.has("IT"):
            pass  # "left it too late": nobody departed
        elif after is not None and tok.text in _SAID and after.has("YES", "GREETING"):
            pass  # "said yes", to whatever it was
        elif after is not None and tok.text == "no" and (not n or part[n - 1].has("PREP")) and _missing(after):
            pass
        else:
            kept.append(tok)
        n += 1
    return kept


def counts_something_else(toks: Sequence[Tok], n: int) -> bool:
    """ "three wrong turns", "one argument", "one of the cats": a number that counts what has nothing to do with water."""
    tok = toks[n]
    if not tok.has("NUMBER") or not (tok.text.isalpha() or tok.text.isdigit()):
        return False
    rest = list(toks[n + 1 : n + 4])
    if rest and rest[0].has("OF"):
        rest = [one for one in rest[1:] if not one.has("ART")]
        return bool(rest) and (is_thing(rest[0]) or not rest[0].known or rest[0].has("GROUP", "KIN"))
    while rest and rest[0].known and rest[0].has("ADJ", "FELT", "REMARK") and not rest[0].has("UNIT", "TANK"):
        rest = rest[1:]
    if not rest or rest[0].known or rest[0].capital or not is_idle(rest[0]):
        return False
    if (n and toks[n - 1].text in _WITH) or any(one.has("OF", "WATER", "EACH") for one in rest[1:]):
        return False  # "with three pitchers", "three pitchers of water": so much of it
    told = n or any(over(one) or one.has("BE", "PREP", "ABOUT", "AT", "IN", "ON") for one in toks[n + 2 :])
    return bool(told) and any(lexicon().frequent(one) for one in (rest[0].text, rest[0].text.removesuffix("s")))


_WITH = frozenset("with using took used took in of by about needed cost for".split())


def _of_a_state(tok: Tok, after: Tok, rest: Sequence[Tok]) -> bool:
    """ "half asleep", "all good", "all the mud", "everything went well", "what a day": of how it was, and of no tank."""
    if tok.text == "half" or tok.has("VAGUE"):
        return after.has("FELT", "ADJ") or (not after.known and after.text.isalpha())
    if tok.text in ("ran", "runs", "running"):
        return after.has("FELT") or after.text in ("clear", "brown", "cold")
    if tok.text in ("all", "everything") and after.has("ART", "BE", "AND"):
        after = next((one for one in rest if not one.has("ART", "ADJ", "FILLER")), after)
        return _tells_something(after) and is_talk(after)
    if tok.text in ("all", "everything"):
        return not after.has(*OURS) or after.text in PLAIN
    if tok.text == "what":
        return after.has("A") or after.text == "with"
    return tok.text == "which" and after.has("BE")


def _missing(tok: Tok) -> bool:
    """A thing that was not there, and has nothing to do with a tank or a meter."""
    return (not tok.known or is_thing(tok)) and tok.text not in _TELLS_OF_IT


# ---------------------------------------------------------------- single words


def is_talk(tok: Tok, besides: frozenset[str] = frozenset()) -> bool:
    """Whether a word tells nothing of ours. `besides`: classes that are talk here."""
    if not tok.known:
        return is_idle(tok)
    if tok.text in PLAIN or tok.has(*RATHER_TALK):
        heavy = tok.has("TANK", "METER", "NUMBER", "QWORD", "IF", "JEST", "FORGOTLOG")
        return tok.text in PLAIN or not (heavy or (tok.has("SWITCH") and not tok.has("BE")))
    if tok.has("DAY") and tok.senses["DAY"].value not in ("0", "now"):
        return False  # the day may be that of the report
    if besides and tok.has(*AT_A_SITE):
        return False  # "from the tap": where water came from
    senses = tok.senses.keys() - ({"NO", "FIX"} if tok.has("NEG") else set())
    if not senses.isdisjoint(besides):
        return senses.isdisjoint(("NUMBER", "UNIT", "TANK", "METER"))
    return senses.isdisjoint(TURNS) and senses.isdisjoint(OURS) and not senses.isdisjoint(TALK | ELSE)


def is_idle(tok: Tok) -> bool:
    """Whether an unknown word is surely none of ours, misspelt."""
    named = tok.capital and not _may_be(tok.text, ("DAY", "WEEKDAY", "MONTH"))
    return tok.text.isalpha() and (named or lexicon().frequent(tok.text) or not _may_be_ours(tok.text))


def _may_be(word: str, classes: Sequence[str]) -> bool:
    """Whether it may be a misspelling of a word of these classes ("Yesterdya")."""
    spellings = lexicon().spellings
    return any(
        one.cls in classes for other, wrong in candidates(word) if wrong == 1 for one in spellings.get((other,), ())
    )


def _may_be_ours(word: str) -> bool:
    """Whether it may be a misspelling of a word of the trade; a thing that water is used on is none without a deed."""
    spellings = lexicon().spellings
    near = [one for other, wrong in candidates(word) if wrong == 1 for one in spellings.get((other,), ())]
    return any(
        (one.cls in OURS or one.cls in TURNS or one.cls in AT_A_SITE or one.cls == "DAY")
        and (one.cls != "ACT" or one.form != "thing")
        for one in near
    )


def is_thing(tok: Tok) -> bool:
    """A dog, a kettle, gloves: what water may be used on."""
    return (
        tok.has("ACT")
        and tok.senses["ACT"].form == "thing"
        and not tok.has("TANK", "METER", "NUMBER", "SERVICE", "RIG")
    )


def _tells_something(tok: Tok) -> bool:
    """A word that is more than a little word, so that the part has something of its own to say."""
    if not tok.known:
        return (not tok.capital or over(tok)) and len(tok.text) >= SHORTEST_WORD
    if tok.text in _SAYS_HOW:
        return True
    return (tok.senses.keys().isdisjoint(LITTLE) and not tok.has(*OURS, *TURNS)) or tok.has(
        "FELT", "SCENE", "REMARK", "ADJ"
    )


def over(tok: Tok) -> bool:
    """A verb of the past, known or not: "was", "came", "died"."""
    return (
        tok.text in ("was", "were", "had")
        or (tok.has("SCENE") and tok.text.split()[0] in ("came", "got", "went", "was", "were", "had"))
        or any(one.form == "past" for one in tok.senses.values())
        or (not tok.known and tok.text.endswith("ed"))
    )
