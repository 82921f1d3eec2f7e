"""What a phrase says was not so, left out of it: "but not black", "no showers", "not Sunday", "rather than a bath".

May import: lexicon, mood, parts, people, tokens.
"""

from __future__ import annotations

import re

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace
from grammar.settling.people import titled
from grammar.telling.mood import is_question


def but_not(toks: list[Tok]) -> list[Tok]:
    """ "dumped grey but not black", "Ana showered but Joss did not": what did not happen is left out."""
    toks = _just_that(_nor_that(_who_did_not(toks)))
    place = next((i for i, tok in enumerate(toks) if tok.has("BUT") and i), None)
    if place is None:
        return toks
    tail = toks[place + 1 :]
    head = toks[:place]
    if _once_meant(head, tail):
        return [*_who_still(head, tail), *(tok for tok in tail if not tok.has("INSTEAD"))]
    if any(tok.has("DOUBT", "ELSEWHERE") for tok in tail):
        return toks  # "the panel says full but I don't believe it", "showered but not here, at the gym"
    if (
        tail
        and not is_question(toks)
        and _none_at_all(head)
        and not any(tok.has("NEG", "FUTURE", "IF") for tok in tail)
    ):
        return tail if any(tok.has("NUMBER", "UNIT", "DO", "WASH", "AUX") for tok in tail) else toks
    if tail and head[0].has("SELF", "PERSON") and any(tok.has("NEG") for tok in head[1:4]):
        plain = not any(tok.has("NUMBER", "UNIT", "METER", "COMMA", "AND") for tok in head)
        if plain and not any(tok.has("NEG", "FUTURE", "IF") for tok in tail):
            return tail  # "we have not showered but we have washed the dishes"
    if any(tok.has("TANK") for tok in tail) and any(tok.has("TANKS") for tok in toks[:place]):
        return toks  # "dumped both but not black": which ones then?
    only_not = any(tok.has("NEG") for tok in tail) and not any(
        tok.has("NUMBER", "UNIT", "FRACTION", "SEWERHERE", "WATERHERE") for tok in tail
    )
    return toks[:place] if only_not and len(tail) <= 5 and not is_question(toks) else toks


_MOST_OF_NOT = 4  # tokens


def _who_did_not(toks: list[Tok]) -> list[Tok]:
    """ "Tom showered, 2 gal, Lena didn't", "…, the kids have not": who did not, at the end, is left out."""
    place = next((i for i in range(len(toks) - 1, 1, -1) if toks[i].has("COMMA", "SEMI")), None)
    if place is None or any(tok.has("NEG") for tok in toks[:place]) or is_question(toks):
        return toks
    tail = [tok for tok in toks[place + 1 :] if not tok.has("STOP", "ART", "FILLER", "AND", "BUT")]
    if not 2 <= len(tail) <= _MOST_OF_NOT or not tail[1].has("NEG") or tail[1].text not in _DID_NOT:
        return toks
    who = tail[0].has("PERSON", "NAMEWORD", "KIN", "GROUP") or tail[0].text in ("i", "we") or tail[0].capital
    act = all(tok.has("ACT", "DAY", "QSOFT") or tok.text in _AT_ALL for tok in tail[2:])
    return toks[:place] if who and act else toks


def _nor_that(toks: list[Tok]) -> list[Tok]:
    """ "dumped black, skipped grey", "shower 2 gal, didn't do the dishes": something else that was not done, at the end, is left out."""
    place = next((i for i in range(len(toks) - 1, 1, -1) if toks[i].has("COMMA", "SEMI")), None)
    if place is None or any(tok.has("NEG") for tok in toks[:place]) or is_question(toks):
        return toks
    return toks[:place] if of_something_else(toks[place + 1 :], toks[:place]) else toks


def of_something_else(part: list[Tok], before: list[Tok]) -> bool:
    """ "Dumped black. Didn't bother with grey.": whether a part only tells that some other tank was not dumped, some other thing not done."""
    core = [tok for tok in part if not tok.has("STOP", "ART", "FILLER", "AND", "BUT", "SELF", "PREP", "DAY", "QSOFT")]
    if not 2 <= len(core) <= _MOST_OF_NOT or core[0].text not in _DID_NOT:
        return False
    if not all(tok.has("TANK", "TANKWORD", "ACT", "DUMP", "FILL", "DO", "WASH") for tok in core[1:]):
        return False
    if any(tok.has("TANKS", "NEG", "IF", "FUTURE") for tok in before):
        return False
    denied, told = _named(core), _named(before)
    return bool(denied) and bool(told) and denied.isdisjoint(told)


def _named(toks: list[Tok]) -> set[str]:
    """The tanks and activities that are named."""
    return {tok.senses[cls].value for tok in toks for cls in ("TANK", "ACT") if tok.has(cls)}


_DID_NOT = ("did not", "has not", "have not", "did not bother", "could not be bothered", "skipped", "had not")
_AT_ALL = ("yet", "though", "either", "today", "at all", "bother", "want one", "have one", "need one")
_DEEDS = ("ACT", "WASH", "DO", "DUMP", "FILL", "USE", "PUT", "HAUL")


def _just_that(toks: list[Tok]) -> list[Tok]:
    """ "Didn't shower today, just washed my face with a pint", "no bath, only a shower, 2 gal": what there was instead."""
    place = next((i for i, tok in enumerate(toks) if tok.has("COMMA", "BUT", "SEMI")), len(toks))
    head, tail = toks[:place], toks[place + 1 :]
    if len(tail) < 2 or not any(tok.has("NEG") for tok in head[:_MOST_OF_NOT]) or is_question(toks):
        return toks
    if any(tok.has("NUMBER", "UNIT", "FRACTION", "TANK", "METER", "IF", "FUTURE", "HABIT") for tok in head):
        return toks
    if any(tok.has("NEG", "FUTURE", "IF", "OTHER", "REPORTED", "HABIT", "QMARK") for tok in tail):
        return toks
    just = next((n for n, tok in enumerate(tail[:3]) if tok.text in ("just", "only")), None)
    first = next((tok for tok in tail if not tok.has("SELF") or tok.has(*_DEEDS)), tail[0])
    over = any(first.has(cls) and first.senses[cls].form == "past" for cls in _DEEDS)
    denied = {tok.text for tok in head if tok.has("NEG")} <= {"did not"}
    told = any(tok.has("UNIT") for tok in tail) and any(tok.has("ACT", "ACTS") for tok in tail)
    if just is not None and (told or any(tok.has(*_DEEDS) and _over(tok) for tok in tail)):
        return [tok for n, tok in enumerate(tail) if n != just]
    return tail if denied and over and told else toks


def _over(tok: Tok) -> bool:
    return any(tok.has(cls) and tok.senses[cls].form == "past" for cls in _DEEDS)


_MEANT = frozenset(
    "was going to|were going to|wanted to|meant to|planned to|was planning to|were planning to|was about to|were about to".split(
        "|"
    )
)


def _once_meant(head: list[Tok], tail: list[Tok]) -> bool:
    """ "I was going to do the laundry but then it rained so I did the dishes with a gallon": what was done after all, told with its amount."""
    meant = any(
        tok.text in _MEANT or (n and tok.has("FUTURE") and head[n - 1].text in _ONCE) for n, tok in enumerate(head)
    )
    own = any(tok.has("SELF") or tok.text == "me" for tok in tail[:_OWN])
    said = own and any(tok.has("REPORTED") for tok in head)  # "Joss said he'd do it but in the end I washed the pots"
    plain = not any(tok.has("QWORD", "IF", "METER", "SENSOR", "OTHER") for tok in head)
    measured = any(tok.has("NUMBER", "UNIT", "FRACTION") for tok in head)
    first = next((tok for tok in tail if not tok.has("FILLER")), None)
    if measured and (not said or first is None or first.text not in ("i", "we")):
        return False  # "Mom said 2 gallons but I used 4 in the shower"
    told = any(tok.has("UNIT") for tok in tail) and any(tok.has("ACT", "DUMP", "FILL") for tok in tail)
    told = told or (
        any(tok.has("TANK") for tok in tail) and any(tok.has("DUMP") and _past(tok, "DUMP") for tok in tail)
    )
    return (
        plain and (meant or said) and told and not any(tok.has("FUTURE", "NEG", "IF", "QMARK", "OTHER") for tok in tail)
    )


def _who_still(head: list[Tok], tail: list[Tok]) -> list[Tok]:
    """ "Joss was going to wash up but used 2 gallons for a shower": Joss did, where nobody else is named."""
    first = next((tok for tok in head if not tok.has("FILLER", "ART")), head[0])
    named = any(tok.has("SELF", "PERSON", "KIN", "PRONOUN", "GROUP") or tok.text in _SOMEBODY for tok in tail[:_OWN])
    somebody = first.has("PERSON", "KIN", "PRONOUN", "GROUP", "NAMEWORD") or first.text in _SOMEBODY or not first.known
    if not somebody or named or first.has("SELF"):
        return []
    named_so = not first.known and {"NAMEWORD", "KIN"} & {one.cls for one in lexicon().spellings.get((first.text,), ())}
    return [replace(first, senses=sense("PERSON", titled(first.text))) if named_so else first]


_SOMEBODY = ("he", "she", "they", "me")
_ONCE = frozenset(("was", "were", "we was", "i was", "we were", "had"))
_OWN = 8  # tokens: "in the end it was me that"


def _past(tok: Tok, cls: str) -> bool:
    return tok.senses[cls].form == "past"


_JOINS = ("AND", "COMMA", "BUT", "THEN", "SEMI")
_TURNS_BACK = (
    "UNDO",
    "UNDOVERB",
    "AMEND",
    "FIX",
    "CANCEL",
    "IF",
    "QMARK",
    "OTHER",
    "REPORTED",
    "FORGOTLOG",
    "NEG",
    "INSTEAD",
)
_WHO = ("SELF", "PERSON", "KIN", "NAMEWORD", "GROUP", "FUTURE")
_DOUBTS = frozenset(
    (
        "might",
        "may",
        "could",
        "should",
        "would",
        "must",
        "meant to",
        "supposed to",
        "ought to",
        "more",
        "less",
        "check",
        "confirm",
        "verify",
        "measure",
        "deny",
    )
)
_SOON = 3  # tokens among which the plan shows


def but_to_come(toks: list[Tok]) -> tuple[list[Tok], list[Tok]]:
    """ "did the dishes with a gallon and Kai is going to shower later": what was done, and what is still to come; nothing of the second
    if the two are not that plain."""
    for n in range(2, len(toks) - 1):
        if not toks[n].has(*_JOINS) or toks[n + 1].has(*_JOINS):
            continue
        head, tail = toks[:n], toks[n + 1 :]
        while len(head) > 1 and head[-1].has(*_JOINS):
            head = head[:-1]
        leads = tail[0].has(*_WHO) or (not tail[0].known and tail[0].text.isalpha())
        if not leads or not any(tok.has("FUTURE") for tok in tail[:_SOON]) or any(tok.has("FUTURE") for tok in head):
            continue
        from grammar.hearing.parts import verdict

        if any(tok.text in _DOUBTS for tok in tail) or verdict("turned", tail) == "coming":
            continue  # "dishes 2 gal, could be 3"
        if any(tok.has(*_TURNS_BACK) for tok in toks) or is_question(tail) or is_question(head):
            continue
        return head, tail
    return toks, []


def no_time_for(toks: list[Tok]) -> list[Tok]:
    """ "no time for a bath so just a quick shower, 7 litres": what there was no time for is left out, if an own use follows."""
    led = 0
    while led < len(toks) and (
        toks[led].has("FILLER", "NEG", "ADJ", "AUX", "HAVE", "SELF") or toks[led].text in _NO_TIME
    ):
        led += 1
    denied = any(tok.has("NEG") or tok.text in ("no", "not") for tok in toks[:led])
    if not denied or not any(tok.text in ("time for", "time", "time to") for tok in toks[:led]) or is_question(toks):
        return toks
    place = led
    while place < len(toks) and toks[place].has("ACT", "ART", "A", "ADJ", "FOR", "DO", "TANK", "DUMP"):
        place += 1
    start = place
    while place < len(toks) and (
        toks[place].has("COMMA", "BUT", "STOP", "SEMI", "FILLER") or toks[place].text in ("so", "just")
    ):
        place += 1
    tail = toks[place:]
    told = any(tok.has("UNIT") for tok in tail) and any(tok.has("ACT") for tok in tail)
    if (
        led == start
        or place == start
        or not told
        or any(tok.has("FUTURE", "NEG", "IF", "OTHER", "REPORTED") for tok in tail)
    ):
        return toks
    return tail


_NO_TIME = ("time for", "time to", "time", "no", "not", "enough", "there was", "really")
_NONE = ("no", "did not", "have not", "has not", "skipped", "never")


def _none_at_all(head: list[Tok]) -> bool:
    """ "no dishes tonight, but …", "did not flush but …": nothing was done of what stands first."""
    start = 2 if len(head) > 1 and (head[0].text, head[1].text) in (("did", "not"), ("have", "not")) else 1
    denied = start == 2 or head[0].text in _NONE
    plain = all(tok.has("ACT", "ACTS", "DAY", "PART", "FILLER", "ART", "DUMP", "TANK", "COMMA") for tok in head[start:])
    return denied and len(head) > start and plain


def none_of_those(toks: list[Tok]) -> list[Tok]:
    """ "loo twice, teeth twice, no showers": what there was none of, at the end of a list, is left out."""
    end = len(toks)
    while end and toks[end - 1].has("STOP", "FILLER", "DAY"):
        end -= 1
    none = end > 3 and toks[end - 1].has("ACT") and toks[end - 2].text == "no" and toks[end - 3].has("COMMA")
    if not none or is_question(toks):
        return toks
    head, named = toks[: end - 3], toks[end - 1].senses["ACT"]
    told = {tok.senses["ACT"].value for tok in head if tok.has("ACT")}
    if any(tok.has("NEG") for tok in head) or named.value in told:
        return toks
    many = len(told) > 1 or named.form == "plural"  # "shower 2 gal, no dishes" may correct
    return head if many else toks


_TIMES = ("DAY", "WEEKDAY", "ORD", "PART")
_IN_PLACE = ("not", "instead of", "rather than")
_SORTS = ("NUMBER", "FRACTION", "TANK", "WEEKDAY", "DAY", "ACT", "METER", "SERVICE", "GEAR", "FULLNESS")


def not_that(toks: list[Tok]) -> list[Tok]:
    """ "we are 5 not 4", "dumped grey, not black", "leaving Monday instead of Sunday": what it was not, at the end, is left out."""
    place = next((i for i in range(len(toks) - 1, 1, -1) if toks[i].text in _IN_PLACE), None)
    if place is None or is_question(toks):
        return toks
    end = next((i for i in range(place + 1, len(toks)) if toks[i].has("COMMA", "COLON")), len(toks))
    tail = [tok for tok in toks[place + 1 : end] if not tok.has("FILLER", "ART", "PREP", "UNIT", "TANKWORD", "STOP")]
    tail = tail[:1] if len(tail) == 2 and tail[1].has("ONE") else tail
    head, rest = toks[:place], toks[end + 1 :]
    if all(tok.has("FILLER", "ART", "COMMA", "STOP") for tok in rest):
        rest = []  # "…, not today, my head's all over the place"
    if rest and not all(tok.has("NUMBER", "FRACTION", "UNIT", "A", "ABOUT", "STOP") for tok in rest):
        return toks
    if len(tail) != 1 or head[-1].has("BE", "AUX", "SELF") or any(tok.has("NEG") for tok in head):
        return toks
    timed = tail[0].has(*_TIMES) and any(tok.has(*_TIMES) for tok in head)  # "on Monday, not today"
    much = tail[0].has(*_SO_MUCH) and any(tok.has(*_SO_MUCH) for tok in head)  # "20 gal, not half"
    same = timed or much or any(tail[0].has(sort) and any(tok.has(sort) for tok in head) for sort in _SORTS)
    while len(head) > 1 and head[-1].has("AND", "COMMA"):
        head = head[:-1]
    return [*head, *rest] if same else toks


_SO_MUCH = ("NUMBER", "FRACTION", "FULLNESS")
_LETTERS = (
    ("T", ("TANK",)), ("A", ("FULLNESS", "FRACTION", "NUMBER")), ("U", ("UNIT",)), ("C", ("COMMA", "BUT", "STOP", "SEMI")),
    ("B", ("BE", "POSS", "ISAT", "IT")), ("@", ("AT", "ABOUT", "AROUND")), ("K", ("TANKWORD", "LEVELWORD")),
)  # fmt: skip
"""A letter for what a token is, so that an order of tokens can be told as a pattern."""
_RATHER = (
    (r"(TK?B)NA+U?[CB@]+(@?A+U?)", (1, 2)),  # "fresh isn't empty, it's at a quarter"
    (r"BNTK?B(A+)[CB]+(T)", (2, 1)),  # "it's not grey that's full, it's black"
    (r"TK?BN(A+)C(TB)", (2, 1)),  # "grey isn't full, black is"
    (r"TK?BNA+U?C(TK?B@?A+U?)", (1,)),  # "grey isn't full but black is half"
    (r"B(T)K?B(A+)(?:C?NT)?", (1, 2)),  # "it's black that's full, not grey"
)


def so_after_all(toks: list[Tok]) -> list[Tok]:
    """A level that is told by what it is not and then by what it is: only what it is."""
    if not any(tok.has("TANK") for tok in toks) or is_question(toks):
        return toks
    core = [tok for tok in toks if not tok.has("FILLER", "ART", "ONE") and not (tok is toks[-1] and tok.has("STOP"))]
    letters = "".join(_letter(tok) for tok in core)
    if "N" not in letters and not letters.startswith("B"):
        return toks  # no pattern need be compiled
    for pattern, order in _RATHER:
        found = re.fullmatch(pattern, letters)
        if found is not None:
            return [tok for group in order for tok in core[found.start(group) : found.end(group)]]
    return toks


def _letter(tok: Tok) -> str:
    if tok.has("NEG"):
        return "N" if tok.text == "not" else "?"
    return next((letter for letter, kinds in _LETTERS if tok.has(*kinds)), "?")
