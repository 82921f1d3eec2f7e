"""What is taken back by name, by number, or all of it: "undo the last two", "delete the dishes", "take the shower back out".

May import: intents, rejoinders, tokens.
"""

from __future__ import annotations

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.patterns import Pattern
from grammar.settling.people import titled
from grammar.telling.whose import is_name

_UNDOABLE = ("ACT", "DUMP", "FILL", "METER", "LEVELWORD", "HAUL", "RINSE", "NOTE", "ACTS")
_TOLD_YOU = frozenset(
    f"{who} {verb}".strip()
    for who in ("i", "we", "you", "i just", "you just")
    for verb in ("told you", "gave you", "said", "told", "logged", "wrote down", "put down", "recorded", "entered")
)
_LONGEST_TELLING = 4  # words
_LONGEST_ORDER = 14  # tokens
_OUT_AGAIN = ("back out", "out again", "back off", "out", "off", "back")
_LEADING = 6  # tokens among which the order stands
_STAYS = ("leave", "keep")
_OTHERS = ("first", "second", "earlier", "other", "older")
_READINGS = ("reading", "readings")


_VERBS = tuple(
    "take get pull cross rub strike scrap scratch delete remove erase bin undo wipe lose ditch void reverse".split()
)
_VERB = f"(?:{'|'.join(_VERBS)})"
_ENTRY = "(?:one|bit|entry|thing|record|message|report|line|change|correction|edit)"
_WHAT = (
    f"(?:(?:it|that|this|these|those|them|all that|all of that|lot|whole lot)(?: last)?(?: {_ENTRY})?"
    f"|(?:very )?(?:last|latest|previous)(?: {_ENTRY})?)"
)
_ASKED = "(?:(?:can|could|would|will|would you mind|do you mind|might) ?(?:you|we|i)? |please |just |go ahead and |(?:you )?better )*"
_SORRY = "(?:oops |whoops |sorry |no |nah |naw |nope |yeah |ok |okay |um |er |wait |actually |oh |hang on |hold on |ah |damn |my mistake |my bad )*"
_OUT = "(?: (?:back|off|out|away|down|up|right|straight))*(?: again)?"
_PLEASE = "(?: (?:would|will|could|can) (?:you|ya)| please| for me| thanks| thank you| then| now| instead| mate| love| sorry| if you can)*"
_TAKE_BACK = Pattern(_VERBS, f"{_SORRY}{_ASKED}{_VERB}{_OUT} {_WHAT}(?P<out>{_OUT}){_PLEASE}")
_NEEDS_OUT = Pattern(("take", "get", "pull", "lose"), rf"{_SORRY}{_ASKED}(?:take|get|pull|lose)\b")


def _asked_politely(toks: list[Tok]) -> bool:
    """ "oops, take that one back, would you", "could you get rid of the last one": whatever was told last."""
    told = [word for tok in toks if not tok.has("COMMA", "STOP", "QMARK") for word in tok.text.split()]
    said = " ".join(word for word in told if word not in ("the", "my", "of")).replace("get rid ", "delete ")
    found = _TAKE_BACK.fullmatch(said)
    return found is not None and bool(found["out"] or not _NEEDS_OUT.match(said))


_SLIPS = Pattern(
    ("mistake", "error", "wrong", "duplicate", "double", "twice", "two times"),
    r"(?:oops |sorry |no |oh |wait |ah |damn |actually |whoops )*(?:"
    r"(?:# 's )?@(?: (?:entry|one|report|line))? (?:was|were|is|are) (?:just )?(?:mistake|mistakes|error|wrong entry|in error|entered by mistake|"
    r"logged by mistake|by mistake|my mistake|duplicate|duplicates|double|doubled|there twice|in there twice|logged twice|entered twice|in twice)"
    r"|(?:i|we) (?:have )?(?:logged|entered|booked|recorded|put|put in|put down|told you|counted|got|noted) (?:# 's )?@ (?:in )?"
    r"(?:twice|two times|double)(?: over)?|(?:# 's )?@ (?:is|was|has been|got) (?:in )?(?:logged|entered|booked|recorded|counted)? ?twice"
    r")(?: sorry| oops| i think)*",
)


def _told_wrongly(toks: list[Tok]) -> Intent | None:
    """ "I logged Dell's shower twice", "the dishes were a mistake": that entry goes, or one of the two."""
    core = [
        tok
        for tok in toks
        if not tok.has("STOP", "COMMA") and tok.text not in ("a", "an", "the", "my", "that", "have", "last")
    ]
    acts = [tok for tok in core if tok.has("ACT") and not tok.has("PREP")]
    names = [core[n] for n in range(len(core) - 1) if core[n + 1].has("POSS") and is_name(core[n])]
    if len(acts) != 1 or len(names) > 1 or any(tok.has("NEG", "NUMBER", "UNIT", "QMARK", "IF") for tok in core):
        return None
    said = " ".join(
        "@" if tok is acts[0] else "#" if tok in names else "'s" if tok.has("POSS") else tok.text for tok in core
    )
    if _SLIPS.fullmatch(said) is None:
        return None
    twin = not {"twice", "two times", "double", "doubled", "duplicate", "duplicates"}.isdisjoint([*said.split(), said])
    return back.Undo(what=acts[0].senses["ACT"].value, whose=titled(names[0].text) if names else None, twin=twin)


def undo(toks: list[Tok]) -> Intent | None:
    """ "undo the last two", "delete the dishes"."""
    if len(toks) <= _LONGEST_ORDER:
        if _asked_politely(_before_why(toks)):
            return back.Undo()
        slip = _told_wrongly(toks)
        if slip is not None:
            return slip
    if not any(tok.has("UNDO", "UNDOVERB") or tok.text == "take" for tok in toks[:_LEADING]):
        return None
    if any(tok.text.split()[0] in _OTHERS for tok in toks) and any(tok.has("ACT") for tok in toks):
        return None  # "undo the first shower" is a matter of named_entry
    kept = _without_why(_but_what_is_left(toks))
    core = [
        tok
        for tok in kept
        if not tok.has("COMMA", "STOP") and (not tok.has("FILLER", "ART", "ADJ") or tok.has("UNDO", "WHICH"))
    ]
    taken_out = _taken_out(core)
    core = core if taken_out is None else taken_out
    if len(core) == 1 and core[0].has("UNDO") and len(kept) < len(toks):
        return back.Undo()  # "strike the last thing I told you"
    if len(core) < 2 or not (taken_out or core[0].has("UNDO", "UNDOVERB")):
        return None
    rest = [tok for tok in core[1:] if not tok.has("WHICH", "ONE", "UNDO", "HISTORY", "PREP", "A", "ART", "IT")]
    if len(rest) == 3 and rest[1].has("POSS") and is_name(rest[0]) and rest[2].has("ACT"):
        return back.Undo(what=rest[2].senses["ACT"].value, whose=titled(rest[0].text))
    if len(rest) == 1 and rest[0].text.split()[0] == "both":
        return back.Undo(both=True)
    counts = core[0].text == "undo" or any(tok.has("WHICH", "HISTORY", "ONE") or "last" in tok.text for tok in core)
    if (
        counts
        and len(rest) == 1
        and rest[0].number is not None
        and rest[0].number == int(rest[0].number)
        and rest[0].number >= 1
    ):
        return back.Undo(count=int(rest[0].number))
    if len(rest) == 2 and rest[0].has("NUMBER") and rest[1].has("ACT") and (rest[0].number or 0) >= 1:
        return back.Undo(what=rest[1].senses["ACT"].value, count=int(rest[0].number or 1))  # "remove the two showers"
    if len(rest) == 2 and rest[0].text == "both" and rest[1].has("ACT"):
        return back.Undo(what=rest[1].senses["ACT"].value, count=2)
    if len(rest) == 2 and rest[0].has("TANK") and rest[1].has("FULLNESS", "LEVELWORD"):
        return back.Undo(what=f"{rest[0].senses['TANK'].value} level")  # "delete the grey empty one"
    if len(rest) == 1 and rest[0].has("CHOICE") and rest[0].text.split()[0] != "last":
        return back.Undo(nth=int(rest[0].senses["CHOICE"].value))  # "strike the second one"
    place = _place(rest)
    if place is not None:
        return back.Undo(what=place)
    if len(rest) == 1 and rest[0].text in _READINGS:
        return back.Undo(what="reading")
    if len(rest) == 1 and rest[0].has(*_UNDOABLE):
        what = next(one.value for cls, one in rest[0].senses.items() if cls in _UNDOABLE)
        act = rest[0].senses.get("ACT")
        every = any(tok.text.split()[0] in ("all", "every") for tok in toks)
        return back.Undo(what=what, several=every or (act is not None and act.form == "plural"))
    if not rest and any(tok.has("ONE", "WHICH") for tok in core[1:]):
        return back.Undo()
    return None


def cancelled(toks: list[Tok]) -> Intent | None:
    """ "cancel the laundry", "cancel Cedar Flat": what is named, where "cancel" alone takes back whatever is spoken of."""
    found = undo(toks) if toks[0].text == "cancel" else None
    return found if isinstance(found, back.Undo) and found.what is not None else None


_STOPS = ("stop", "next stop", "stay", "visit", "trip", "booking", "plan")


def _place(rest: list[Tok]) -> str | None:
    """ "cancel Cedar Flat", "cancel the stop at Cedar Flat", "delete the next stop": the place, or the stop planned last."""
    named = [tok.senses["SITE"].value for tok in rest if tok.has("SITE")]
    others = [tok for tok in rest if not tok.has("SITE", "AT", "TO", "NEXTSTOP") and tok.text not in _STOPS]
    if others or not rest or len(named) > 1:
        return None
    return named[0] if named else "stop"


def in_jest(toks: list[Tok]) -> Intent | None:
    """ "dumped grey... sike", "filled fresh, just kidding": nothing of it is so; alone, of what was told last."""
    core = [tok for tok in toks if not tok.has("COMMA", "STOP", "SEMI")]
    meant = [
        n
        for n, tok in enumerate(core)
        if tok.has("JEST") and (tok.senses["JEST"].form != "end" or 0 < n == len(core) - 1)
    ]
    if not meant:
        return None
    if meant == [0] and len(core) > 2 and core[1].has("AMEND"):
        return None  # "jk, it was 2"
    rest = [tok for n, tok in enumerate(core) if n not in meant and not tok.has("FILLER", "NO", "AMEND", "FIX")]
    return say.NotAReport(why="negation") if rest else back.Undo()


def _but_what_is_left(toks: list[Tok]) -> list[Tok]:
    """Without what stays as it is ("…, leave the dishes") and without who told it ("… that I told you")."""
    for n in range(2, len(toks)):
        stays = toks[n].text in _STAYS and toks[n - 1].has("COMMA", "AND", "BUT", "STOP")
        if stays and not any(tok.has("NUMBER", "FRACTION", "UNIT") for tok in toks[n:]):
            return toks[: n - 1]
    end = len(toks) - 1 if toks and toks[-1].has("STOP") else len(toks)
    for n in range(max(1, end - _LONGEST_TELLING), end):
        if " ".join(tok.text for tok in toks[n:end]) in _TOLD_YOU:
            return toks[:n]
    return toks


def _without_why(toks: list[Tok]) -> list[Tok]:
    """ "scratch the laundry, it was at the laundromat": why it goes."""
    place = next((n for n, tok in enumerate(toks) if n and tok.has("COMMA")), 0)
    why = toks[place + 1 :] if place else []
    given = (
        len(why) > 1
        and why[0].text.split()[0] in _WHY
        and not any(tok.has("NUMBER", "UNIT", "FRACTION") for tok in why)
    )
    return toks[:place] if given else toks


_WHY = ("it", "that", "we", "i", "she", "he", "they", "because")


def _before_why(toks: list[Tok]) -> list[Tok]:
    """ "cross that one out i already told you about it": the order, without why it is given."""
    for n in range(1, len(toks) - 1):
        why = toks[n + 1 :] if toks[n].has("COMMA") else toks[n:]
        given = toks[n].has("COMMA") or why[0].text in _WHY or why[0].has("CANCEL", "TWICETOLD")
        if (
            given
            and why[0].text.split()[0] in (*_WHY, "you", "already", "twice")
            and not any(tok.has(*_TOLD) for tok in why)
        ):
            return toks[:n]
    return toks


_TOLD = ("NUMBER", "UNIT", "FRACTION", "ACT", "TANK", "METER", "PERSON", "QMARK", "IF", "UNDO", "AMEND", "FUTURE")


def _taken_out(core: list[Tok]) -> list[Tok] | None:
    """ "take the shower back out": the verb with its two halves around what it takes; None if these words are no such order."""
    if len(core) < 3 or core[0].text != "take" or not core[1].has(*_UNDOABLE):
        return None
    return core[:2] if " ".join(tok.text for tok in core[2:]) in _OUT_AGAIN else None
