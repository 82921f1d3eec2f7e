"""People: which words of a phrase name somebody, settled by the words beside them. Nothing is invented: a word becomes a name only in
the place of a person ("… washed the dishes", "for …", "…'s shower"), and an ordinary English word never does. May import: tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import Lexicon, Sense, lexicon
from grammar.lightclass import replace

_DONE = frozenset(
    ("ACT DO USE WASH TAKEAWAY HAUL FETCHED DUMP FILL COST RESET BACKZERO PUT SANITISE CHANGE STOW OPEN SHUT").split()
)
_BETWEEN = frozenset(("just also then each both has have had only already finally quickly and really all").split())
_AFTER_FOR = frozenset(
    ("COMMA STOP NUMBER AND BUT DAY FILLER WHICH BE TOO AT ABOUT QMARK NEG FRACTION WEEKDAY ON IN WITH A").split()
)
_WAS = frozenset(
    (
        "that was",
        "was",
        "it was",
        "that one was",
        "that one is",
        "last one was",
        "actually",
        "meant",
        "i meant",
        "no it was",
        "no that was",
        "sorry it was",
        "sorry that was",
        "wait it was",
        "that was actually",
        "it was actually",
        "actually it was",
        "not me it was",
        "no",
        "is",
        "that is",
    )
)
_ME = frozenset(["i", "me", "myself"])
DID_IT = frozenset(["did that", "did it", "done that"])


def settle_people(toks: Sequence[Tok], words: Lexicon, doubtful: Collection[str]) -> list[Tok]:
    """The tokens with names of people settled. Right to left, so that lists are seen from their end."""
    found = list(toks)
    said = sum(1 for tok in found if not tok.has("FILLER", "COMMA", "STOP", "QMARK", "PREP"))
    for i in range(len(found) - 1, -1, -1):
        tok = found[i]
        if tok.has("NAMEWORD", "KIN") or (tok.has("PERSON") and len(tok.senses) > 1):
            found[i] = _also_a_word(found, i, said == 1)
        elif _strange(tok) and tok.text not in doubtful and not _ordinary(tok, words) and _place(found, i):
            found[i] = _named(tok)
    for i, tok in enumerate(toks[:-1]):
        if tok.has("KIN") and found[i + 1].has("PERSON"):
            found[i] = replace(tok, senses=sense("FILLER"))  # "my wife Lena": the name says who
    return found


def _strange(tok: Tok) -> bool:
    """A word that the vocabulary does not know and that could be a name: "jst" without a capital is none."""
    voiced = tok.capital or not set("aeiouy").isdisjoint(tok.text) or not tok.text.isascii()
    return not tok.known and tok.text.isalpha() and (len(tok.text) > 1 or tok.capital) and voiced


def _ordinary(tok: Tok, words: Lexicon) -> bool:
    """An English word, or several of what it names ("beers"); with a capital, "Biscuit" is as well somebody."""
    if tok.text.endswith("ing") and not tok.capital and len(tok.text) > SHORT:
        return True  # "the laundry is drying"
    known = words.frequent if tok.capital else words.ordinary
    return known(tok.text) or (len(tok.text) > SHORT and tok.text[-1] == "s" and known(tok.text[:-1]))


SHORT = 4


def titled(name: str) -> str:
    return " ".join(word[:1].upper() + word[1:] for word in name.split())


def _named(tok: Tok) -> Tok:
    known = tok.senses.get("PERSON")
    return replace(tok, senses=sense("PERSON", known.value if known else titled(tok.text)), number=None)


def _also_a_word(toks: Sequence[Tok], i: int, alone: bool) -> Tok:
    """A word that may be a name and may be something else: a name in the place of a person only."""
    tok = toks[i]
    if tok.has("PERSON") and tok.senses.keys() <= {"PERSON", "NAMEWORD"}:
        return _named(tok)  # known to the log, and no other word
    if _place(toks, i) and not _is_verb(toks, i) and not _a_thing(toks, i):
        return _named(tok)
    if tok.has("PERSON") and (alone or (tok.capital and i)):
        return _named(tok)
    rest: dict[str, Sense] = {cls: one for cls, one in tok.senses.items() if cls not in ("NAMEWORD", "KIN", "PERSON")}
    return replace(tok, senses=rest)


def _a_thing(toks: Sequence[Tok], i: int) -> bool:
    """ "the blue van used 12 gallons": the van, and nobody of that name; "our Kit" and "the wife" are people."""
    first = i
    while first and toks[first - 1].has("ADJ") and not toks[first - 1].has("ART"):
        first -= 1
    return not toks[i].has("KIN") and bool(first) and toks[first - 1].text in ("the", "a", "an")


def _is_verb(toks: Sequence[Tok], i: int) -> bool:
    """ "will put", "may have": a verb that goes with the base form that follows."""
    after = _after(toks, i)
    if toks[i].text not in ("will", "may", "mark", "skip", "can") or after is None:
        return False
    bare = any(one.form == "base" for one in after.senses.values())
    return bare or after.text.split()[0] in ("put", "shut", "let", "set", "have")


def _after(toks: Sequence[Tok], i: int) -> Tok | None:
    """The next token, adverbs passed over."""
    j = i + 1
    while j < len(toks) and toks[j].text in _BETWEEN and not toks[j].has("AND"):
        j += 1
    return toks[j] if j < len(toks) else None


def _new(tok: Tok) -> bool:
    """A word that is nothing but a name, if it is anything."""
    only = tok.senses.keys() <= {"NAMEWORD"}
    return not tok.known or (only and (tok.capital or not lexicon().ordinary(tok.text)))


def _became(tok: Tok, before: Tok | None) -> bool:
    """ "the dog got skunked": what befell somebody, and no name."""
    return (
        before is not None
        and tok.text.endswith("ed")
        and before.text.split()[-1] in ("got", "gets", "was", "were", "is")
    )


def _place(toks: Sequence[Tok], i: int) -> bool:
    """Whether token `i` stands where a person does."""
    tok, after, before = toks[i], _after(toks, i), toks[i - 1] if i else None
    if _new(tok) and not tok.capital and (_a_thing(toks, i) or _became(tok, before)):
        return False
    if before is not None and not (tok.capital or tok.known):
        counted = before.has("NUMBER", "FRACTION") and after is not None and after.has("POSS")
        if counted or before.has("SELF"):
            return False  # "we nely filled it" is no Nely, "3 qusets dishes" are no dishes of Quset
    if after is not None:
        if before is not None and not before.known and not before.capital:
            return False
        if after.has("COLON") and i + 2 < len(toks) and toks[i + 2].has("ACT", "ACTS") and _new(tok):
            return True
        if before is not None and before.has("AUX") and before.text in ("did", "does", "has") and _new(tok):
            return any(one.form in ("base", "past") for one in after.senses.values())
        if does(toks, i):
            hour = i > 1 and toks[i - 2].has("AT", "HALFPAST", "QUARTERPAST", "PAST", "TOHOUR", "QUARTERTO")
            return before is None or not before.has("NUMBER", "TANK", "ACT", "METER") or (hour and before.has("NUMBER"))
        nxt = toks[i + 2] if i + 2 < len(toks) else None
        if after.has("POSS") and nxt is not None and nxt.has("ACT", "ACTS", "NUMBER", "ADJ", "FRACTION"):
            return True
        told = (
            nxt is not None
            and nxt.text in ("was", "took")
            and i + 3 < len(toks)
            and toks[i + 3].has("NUMBER", "ABOUT", "FRACTION")
        )
        if after.has("POSS") and told:
            return True  # "Kim's was 3"
        if after.has("POSS") and nxt is not None and nxt.text in ("had", "done", "taken", "used"):
            return True  # "Keith's had a shower"
        if after.number is not None and nxt is not None and _many(nxt) and _heads(toks, i) and _new(tok):
            return True  # "Ana two showers, Joss three showers"
        if _new(tok) and before is not None and before.has("COMMA", "AND", "BUT") and _as_often(toks, i):
            return True  # "Bo flushed three times, Nell twice"
        if after.text in _WAS_IN and _heads(toks, i) and _in_there(toks, i + 1):
            return True  # "Nell was in the shower for 4 minutes"
        if after.has("ART") and nxt is not None and nxt.has("AGAIN") and i + 3 == len(toks) and not i:
            return True  # "Ana the same"
        if after.has("AND") and nxt is not None and (nxt.has("PERSON") or nxt.text in _ME):
            return tok.capital or before is None or not before.has("NUMBER", "FRACTION")  # "two ggaloons and bess took"
        if after.text in ("too", "as well", "also") and _heads(toks, i) and (nxt is None or nxt.has("COMMA", "NUMBER")):
            return True  # "Ana too"
        if before is not None and before.text in _WAS and (after.text == "who" or _in_there(toks, i)):
            return True  # "it was Tam who showered", "that was Tam in the shower"
        if after.text in DID_IT and before is not None and before.has("NO", "AMEND", "COMMA", "FILLER", "FIX"):
            return True  # "no, Dag did that"
        if after.has("COMMA") and nxt is not None and nxt.has("PERSON") and _heads(toks, i) and _more(toks, i + 3):
            return True
        heads = _heads(toks, i) or (tok.has("KIN") and i == 1 and toks[0].has("ART", "POSS"))  # "my dad shower 2 gal"
        if tok.senses.keys() <= {"NAMEWORD", "KIN", "VISITOR"} and heads and _terse(toks, i):
            return True
        if before is not None and before.text == "(" and after.text == ")" and tok.capital:
            return True
        if after.text == "with" and nxt is not None and nxt.has("NUMBER") and _heads(toks, i) and before is not None:
            return True  # "I showered with 2 gal, Ana with 3"
    if before is None:
        return False
    if after is None and before.has("AGAIN") and not tok.known:
        return True  # "ditto Ana"
    if (
        after is None
        and tok.capital
        and _new(tok)
        and before.has("COMMA")
        and not any(one.has("PERSON") for one in toks)
    ):
        told = any(one.has("ACT") for one in toks) and any(one.has("UNIT") for one in toks)
        if told and not any(one.has("TANK", "METER", "ARRIVE", "NEXTSTOP") for one in toks):
            return True  # "2 gal, shower, Sven"
    set_off = before.has("COMMA", "COLON") and after is not None and after.has("COMMA", "COLON")
    between = set_off and i > 1 and toks[i - 2].has("ACT")
    if between and tok.senses.keys() <= {"NAMEWORD"} and i + 2 < len(toks) and toks[i + 2].has("NUMBER", "FRACTION"):
        return True  # "dishes, Juno, 1.25"
    if before.text == "of" and i > 1 and _new(tok) and toks[i - 2].has("ACT") and toks[i - 2].text in _OWN:
        return after is None or after.has(
            "NUMBER", "FRACTION", "ABOUT", "COLON", "COMMA", "BE"
        )  # "shower of Ilse, 10 litres"
    if before.has("ACT") and tok.capital and _new(tok) and (after is None or after.has("NUMBER", "FRACTION", "COLON")):
        return True
    if _counted_off(toks, i):
        return True
    if after is None and before.has("AND") and i > 2 and toks[i - 3].has("FOR") and _new(toks[i - 2]):
        return any(one.has("AGAIN") for one in toks[: i - 3])  # "the same for Pia and Ines"
    if before.has("AND", "COMMA") and i > 1 and toks[i - 2].has("PERSON") and not tok.has("NUMBER"):
        return after is None or before.has("AND") or after.has("NUMBER", "ACT", "FRACTION", "PREP")
    order = toks[i - 2] if tok.has("KIN") and before.has("ART") and i > 1 else before
    if after is None and order.has("AMEND") and order.text.split()[0] in _PUT_TO:
        return True  # "make the person Theo", "put it under Theo", "put that down to the wife"
    follows = after is None or after.has(*_AFTER_FOR)
    if before.text in _ME and i > 1 and toks[i - 2].text == "not":
        return after is None  # "not me Joss"
    if before.has("COMMA") and i > 2 and toks[i - 2].has("SELF") and toks[i - 3].text == "not":
        return after is None  # "not me, Joss"
    if _not_them(toks, i, after):
        return True
    if before.text in ("for", "by"):
        if (
            not tok.capital
            and _new(tok)
            and not any(other.has("ACT", "AGAIN", "DUMP", "FILL", "HAUL") for other in toks)
        ):
            return False  # "used three pints for soup"
        return follows and (not tok.has("NAMEWORD") or tok.capital or not (set(tok.senses) - {"NAMEWORD"}))
    bathed = before.text in ("gave", "bathed") and after is not None and after.has("A")
    if bathed and (tok.has("KIN") or (tok.capital and _new(tok) and any(one.has("ACT") for one in toks[i + 2 :]))):
        return True  # "gave gran a bath", "gave Biscuit a bath"
    if tok.has("KIN") and before.has("ART") and i > 1:
        return toks[i - 2].text in ("gave", "bathed", "washed") or (follows and toks[i - 2].text in ("for", "by"))
    if before.text in _WAS and after is not None and after.has("POSS") and i + 2 >= len(toks):
        return not _only_a_word(tok)  # "that one was Len's"
    return (
        before.text in _WAS
        and (after is None or after.has("STOP", "COMMA", "NEG") or after.text == "actually")
        and not _only_a_word(tok)
    )


def _not_them(toks: Sequence[Tok], i: int, after: Tok | None) -> bool:
    """ "that was Lou, not Max", "not Max but Lou": who it was not, of whom the log knows, and who it was instead."""
    named = ("PERSON", "NAMEWORD", "KIN")
    leads = i < 2 or toks[i - 2].has("AMEND", "BE", "NO", "COMMA", "POSS", "SELF", *named)  # before the "not"
    if toks[i - 1].text == "not" and leads and toks[i].has("PERSON"):
        return after is None or after.has("COMMA", "STOP", "AMEND", "POSS", "BUT", "SELF") or after.text == "who"
    swapped = i > 2 and toks[i - 1].has("BUT") and toks[i - 2].has(*named) and toks[i - 3].text == "not"
    return swapped and after is None and not toks[i].has("NUMBER")


_WAS_IN = frozenset(("was", "is", "'s", "been", "has been"))


def _in_there(toks: Sequence[Tok], i: int) -> bool:
    """ "that was Tam in the shower just now": whose shower it was."""
    rest = [tok for tok in toks[i + 1 : i + 4] if not tok.has("ART")]
    return (
        len(rest) > 1 and rest[0].text in ("in", "on") and rest[1].has("ACT") and rest[1].senses["ACT"].form == "noun"
    )


def _as_often(toks: Sequence[Tok], i: int) -> bool:
    """Whether how often is all that is said after token `i`, and somebody did something before it."""
    rest = [tok for tok in toks[i + 1 :] if not tok.has("FILLER", "STOP", "COMMA", "AND", "BUT")]
    often = len(rest) == 1 and (rest[0].has("TIMES") or (rest[0].number is not None and not rest[0].has("UNIT")))
    told = any(tok.has("ACT") for tok in toks[1:i]) and not any(tok.has("UNIT", "METER", "TANK") for tok in toks[:i])
    return often and told and (toks[0].has("PERSON", "NAMEWORD", "KIN") or not toks[0].known)


_OWN = frozenset("shower bath shave teeth".split())
_PUT_TO = frozenset("make change set put log book mark assign credit attribute".split())
_LONGEST_LIST = 12  # tokens


def _counted_off(toks: Sequence[Tok], i: int) -> bool:
    """ "there are two of us, Nell and Ivo": the names of those who were counted."""
    near = range(i - 1, max(0, i - _LONGEST_LIST), -1)
    head = next((n for n in near if toks[n].has("PEOPLEWORD")), None)
    if head is None or not toks[head - 1].number or not toks[head + 1].has("COMMA", "COLON", "AND"):
        return False
    names = [tok for tok in toks[head + 1 :] if not tok.has("COMMA", "COLON", "AND", "STOP")]
    own = [tok for tok in names if tok.text not in _ME]
    return len(names) == toks[head - 1].number and all(
        (not tok.known and tok.text.isalpha()) or tok.has("PERSON", "NAMEWORD", "KIN") for tok in own
    )


def _many(tok: Tok) -> bool:
    return tok.has("ACT") and tok.senses["ACT"].form == "plural"


def _more(toks: Sequence[Tok], i: int) -> bool:
    """Whether a list of names goes on at token `i` ("Ana, Joss and Mo")."""
    return i + 1 < len(toks) and toks[i].has("AND", "COMMA") and toks[i + 1].has("PERSON")


def does(toks: Sequence[Tok], i: int) -> bool:
    """Whether a verb of the past follows token `i`, adverbs and "has" passed over."""
    for tok in toks[i + 1 :]:
        if any(tok.has(cls) and tok.senses[cls].form == "past" for cls in _DONE):
            return True
        if toks[i].has("NAMEWORD", "KIN") and any(tok.has(c) and tok.senses[c].form == "past" for c in _SET_UP):
            return True  # "Walt hooked up the hose"
        if (
            tok.has("LOOK")
            and tok.text.split()[0] in _LOOKED
            and any(one.has("METER", "TANK", "SENSOR") for one in toks[i + 2 :])
        ):
            return True  # "Dave read the meter, 30.2"
        if tok.text not in _BETWEEN or tok.has("AND"):
            return False
    return False


_SET_UP = ("OUTON", "SWITCH", "PUTAWAY")
_LOOKED = frozenset("read checked looked peeked eyeballed dipped noted".split())


def _only_a_word(tok: Tok) -> bool:
    plain = tok.senses.keys() <= {"NAMEWORD"} and not lexicon().ordinary(tok.text)
    return tok.has("NAMEWORD", "KIN") and not tok.capital and not plain


def _heads(toks: Sequence[Tok], i: int) -> bool:
    """Whether a clause begins at token `i`."""
    if i > 3 and toks[i - 1].has("UNIT") and toks[i - 2].has("NUMBER", "FRACTION") and not toks[i].known:
        return i + 1 < len(toks) and toks[i + 1].has("ACT")  # "Tom shower 8 litres Ilse shower 9 litres"
    return all(tok.has("FILLER") for tok in toks[:i]) or toks[i - 1].has(
        "COMMA", "AND", "THEN", "SEMI", "STOP", "COLON"
    )


def _terse(toks: Sequence[Tok], i: int) -> bool:
    """ "mo shower 2 gal": a name, an activity and an amount."""
    rest = toks[i + 1 :]
    if toks[i].capital or toks[i].has("KIN"):  # "Sven: 2 gal shower", "dad - shower - 2 gal"
        rest = [tok for tok in rest if not tok.has("COLON") and tok.text != "-"]
        if len(rest) > 2 and rest[0].has("NUMBER") and rest[1].has("TIMEUNIT"):
            rest = rest[2:]
    if len(rest) > 2 and rest[0].has("NUMBER", "FRACTION") and rest[1].has("UNIT"):
        return rest[2].has("ACT")
    return bool(rest) and rest[0].has("ACT") and any(tok.has("NUMBER", "FRACTION") for tok in rest[1:3])
