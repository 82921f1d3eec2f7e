"""The practitioner's round: questions about dose, weight, a running rinse, upkeep, lists and places; a rinse begun, gear lost, a
reminder put off, and the owner's own words for reminders and steps.

`ROUND` stands before the general rules of questions.py, so that what names one of these things is not taken for a level or a total.
May import: asked, clause, hear, intents, rejoinders, lexicon, patterns, tokens, settle, chunks.
"""

from __future__ import annotations

from grammar import intents as say
from grammar import rejoinders as back
from grammar.asking.asked import Rules, only, q, rule, site_of, texts
from grammar.frames.deeds import did
from grammar.hearing.hear import hear
from grammar.hearing.tokens import tokens
from grammar.intents import Amount, Ask, Intent
from grammar.lexicon import DETERMINERS, NO_OWN, lexicon
from grammar.patterns import Pattern
from grammar.pieces.chunks import pieces
from grammar.pieces.clause import VOLUMES, Clause
from grammar.pieces.piece_meanings import Length
from grammar.settling.settle import settle

MODALS = frozenset({"can", "could", "may", "should", "might"})


def _tank(clause: Clause) -> str | None:
    return clause.tanks[0] if len(clause.tanks) == 1 and clause.tanks != ("*",) else None


def _amounts(clause: Clause) -> tuple[Amount | None, float | None]:
    """The amount of water and the strength of the bleach, whichever were said."""
    told = [one for one in clause.all("amount") if isinstance(one, Amount)]
    water = next((one for one in told if one.unit in VOLUMES), None)
    percent = next((one.value for one in told if one.unit == "percent"), None)
    if water is None and clause.has("TANK", "TANKWORD", "FULLNESS"):
        water = next((one for one in told if one.unit == "fraction"), None)  # "for half a tank"
    return water, percent


# ---------------------------------------------------------------- questions


@rule("BLEACH DOSE EMERGENCY")
def _dose(clause: Clause) -> Ask | None:
    if q(clause, "how") and clause.has("EMERGENCY") and any("drink" in text for text in texts(clause)):
        return Ask(topic="dose", subject="drinking")
    if clause.has("BLEACH") and _amounts(clause)[1] is not None and _only_the_bleach(clause):
        return Ask(topic="dose", percent=_amounts(clause)[1])
    if not clause.has("BLEACH", "DOSE") or not (clause.has("DOSE") or q(clause, "howmuch", "howmany", "how", "what")):
        return None
    water, percent = _amounts(clause)
    told = [one.value for one in clause.all("amount") if isinstance(one, Amount) and one.unit == "ppm"]
    drinking = clause.has("EMERGENCY") or any("drink" in text for text in texts(clause))
    subject = None
    if drinking:
        subject = "drinking cloudy" if clause.has("CLOUDY") else "drinking"
    elif any(text.startswith("hose") for text in texts(clause)):
        subject = "hose"
    return Ask(
        topic="dose", tank=_tank(clause), amount=water, percent=percent, ppm=told[0] if told else None, subject=subject
    )


def _only_the_bleach(clause: Clause) -> bool:
    """ "6 percent bleach", "the bleach is 8.25 %": how strong it is, and nothing done with it."""
    return all(
        piece.kind == "amount"
        or piece.has(
            "BLEACH",
            "FILLER",
            "IT",
            "BE",
            "HAVE",
            "WITH",
            "SELF",
            "PREP",
            "STOP",
            "ART",
            "SAYS",
            "REPORTED",
            "ISAT",
            "ONE",
        )
        for piece in clause.pieces
    )


@rule("WEIGHT TRIPSQ LIMITOF CARRYQ QWORD")
def _weight(clause: Clause) -> Ask | None:
    if clause.has("TRIPSQ") and q(clause, "howmany") and not _ahead(clause):
        return Ask(topic="weight", subject="tote", tank=_tank(clause))
    asked = clause.has("WEIGHT") or q(clause, "howheavy")
    if (
        clause.value("LIMITOF") in ("cargo", "water_weight")
        and clause.get("amount") is None
        and clause.has("AUX", "QWORD")
    ):
        return Ask(topic="weight", subject="limit")
    if clause.has("CARRYQ") and (asked or clause.has("WATERHERE", "QWORD", "AUX")):
        return Ask(topic="weight", subject="limit")
    if asked and clause.has("LEAVINGQ", "STAYEND", "DEPART") and not clause.has("TOTE"):
        return Ask(topic="weight", subject="departure", tank=_tank(clause))
    return None


def _ahead(clause: Clause) -> bool:
    """ "how many tote runs till Sunday", "how many trips do we need": what lies ahead, not what they weigh."""
    needs = any(text.startswith("need") or text == "have to" for text in texts(clause)) and not clause.tanks
    return needs or clause.when is not None or clause.index("until") >= 0 or clause.has("LEAVINGQ", "STAYEND")


@rule("RINSE RINSEPORT")
def _rinse(clause: Clause) -> Ask | None:
    """ "How long is the rinse still running?", which is not "how long can I run it?"."""
    said = texts(clause)
    if not clause.has("RINSE", "RINSEPORT") or said & MODALS:
        return None
    running = clause.has("STILLRUN", "STARTRUN") or said & {"still", "left", "longer", "running"}
    asked = q(clause, "howlong", "howmuch", "when") or clause.has("AUX", "BE", "LEFT")
    return (
        Ask(topic="rinse_limit", subject="running", tank=_tank(clause))
        if running and asked and not clause.get("amount")
        else None
    )


@rule("DUE CALENDAR SERVICE SANITISE")
def _due(clause: Clause) -> Ask | None:
    """The dates as a file; and when an item was last done, which stands with when it is due again."""
    if (clause.has("CALENDAR") and clause.has("DUE", "SHOW")) or any("export" in text for text in texts(clause)):
        return Ask(topic="due", subject="calendar")
    item = clause.value("SERVICE") or ("sanitise" if clause.has("SANITISE") else None)
    if item is not None and q(clause, "when") and texts(clause) & {"last", "did", "was", "were", "have we", "have i"}:
        return Ask(topic="due", subject=item)
    if item is not None and clause.has("LEFT") and q(clause, "howmuch", "howlong"):
        return Ask(topic="due", subject=item)
    if clause.has("DUE") and any(text.startswith(("anything", "is anything")) for text in texts(clause)):
        return Ask(topic="due")
    return None


@rule("FROSTLIST SANITISELIST LOWTEMP QWORD")
def _lists(clause: Clause) -> Ask | None:
    only = [
        piece.toks[0] for piece in clause.pieces if not piece.has("FILLER", "PREP", "ART", "COMMA", "QMARK", "STOP")
    ]
    if clause.has("FROSTLIST") or (len(only) == 1 and only[0].text in ("frost", "freezing", "freeze")):
        return Ask(topic="checklist", subject="freezing")
    if clause.has("SANITISELIST") or (q(clause, "how") and clause.has("SANITISE") and not clause.has("BLEACH", "DOSE")):
        return Ask(topic="checklist", subject="sanitising")
    if (
        q(clause, "how")
        and clause.has("RINSE")
        and clause.has("SELF")
        and clause.get("amount") is None
        and not texts(clause) & {"did", "long", "often", "last"}
    ):
        return Ask(topic="checklist", subject="dumping")
    if q(clause, "how") and clause.word("DUMP", "base") and not texts(clause) & {"did", "long", "often", "many"}:
        return Ask(topic="checklist", subject="dumping")
    return None


def _forgotten(clause: Clause) -> bool:
    """ "are we forgetting anything", "did we forget the hose": what may still be outside."""
    asked = any("forg" in tok.text for tok in clause.words("TODOQ"))
    return asked and all(piece.has("TODOQ", "GEAR", "FILLER", "ART", "QMARK", "AND", "OR") for piece in clause.pieces)


@rule("GEARQ TODOQ WHEREAT ABOARDQ NOTESQ KNOWABOUT SHOW QWORD PRESSURE LIMITOF TASTEQ SITE")
def _places(clause: Clause) -> Ask | None:
    """What is remembered of here or of a named place."""
    site = site_of(clause)
    if clause.has("GEARQ") or _forgotten(clause):
        return Ask(topic="history", subject="gear")
    if clause.has("ABOARDQ") and only(clause, "ABOARDQ"):
        return Ask(topic="history", subject="aboard")
    of_more = any(tok.has("STATUS") or tok.text.startswith(("when", "what time")) for tok in clause.words("WHEREAT"))
    bare = only(clause, "WHEREAT") or not of_more
    if clause.has("WHEREAT") and bare:  # "where are we", but not "where are we with the water"
        return Ask(topic="history", subject="where")
    if clause.has("NOTESQ"):
        return Ask(topic="history", subject="notes", site=site)
    asked = (
        q(clause, "what", "how", "howfull", "when") or clause.has("SHOW", "KNOWABOUT") or clause.pieces[0].has("AUX")
    )
    if asked and clause.value("LIMITOF") == "pressure" and clause.get("amount") is None:
        return Ask(topic="history", subject="pressure", site=site)
    if asked and clause.has("PRESSURE") and clause.get("amount") is None and not clause.has("LIMITOF", "RINSE"):
        return Ask(topic="history", subject="pressure", site=site)
    if asked and clause.has("TASTEQ"):
        return Ask(topic="history", subject="taste", site=site)
    if (
        site is not None
        and (clause.has("KNOWABOUT") or (q(clause, "how") and not clause.has("USE")))
        and not clause.has("ACT", "TANK")
    ):
        return Ask(topic="history", subject="site", site=site)
    return None


ROUND = Rules("OTHER REPORTED NEWACT", _dose, _weight, _rinse, _due, _lists, _places)


def ask_round(clause: Clause) -> Ask | None:
    """The question of the round that a clause asks; None if it is none, or if a word of it is unknown or of somebody else."""
    return ROUND.first(clause)


# ---------------------------------------------------------------- own words, kept as they stand

_LEAD = r"^\s*(?:(?:um|uh|ok|okay|please|hey|so|hi|ullage|oh|and|(?:can|could|would|will)\s+you)[\s,]+)*"
_TAIL = r"(?:\s*,?\s*(?:please|(?:would|will|could|can)\s+(?:you|ya)|for\s+(?:me|us)|thanks|thank\s+you|ta|cheers|love|mate))*\s*[.!?]*\s*$"
_OF_LISTS = ("leaving", "arriving", "dumping", "sanitising", "freezing", "departure", "arrival")
_LISTS = rf"(?P<list>{'|'.join(_OF_LISTS)})(?:\s+(?:list|checklist))?"
_SAME = {"departure": "leaving", "arrival": "arriving"}
_ME = r"(?:remind|nag|bug|pester|nudge|poke|prompt|tell|ping)\s+(?:me|us)"
_REMIND = Pattern(
    ("every",),
    _LEAD + rf"(?:{_ME}\s+(?:to|about)|set\s+a\s+reminder\s+to)\s+"
    r"(?P<item>.+?)[\s,]+(?P<every>every\s+.+?)" + _TAIL,
)
_EVERY_FIRST = Pattern(
    ("every",),
    _LEAD + r"(?P<every>every\s+\S+(?:\s+\S+)?\s+(?:days?|weeks?|months?|years?))\s*,?\s+"
    r"(?P<item>(?:check|inspect|clean|look\s+at|oil|grease|tighten)\b.+?)" + _TAIL,
)
_REMIND_EVERY = Pattern(
    ("every",),
    _LEAD
    + rf"(?:(?P<every>every\s+\S+(?:\s+\S+)?\s+(?:days?|weeks?|months?|years?))\s*,?\s+{_ME}\s+(?:to|about)\s+(?P<item>.+?)"
    rf"|{_ME}\s+(?P<every2>every\s+\S+(?:\s+\S+)?\s+(?:days?|weeks?|months?|years?))\s*[,:]?\s*(?:to|about|re)?[\s:]\s*(?P<item2>.+?))"
    + _TAIL,
)
_DROP_STEP = Pattern(
    _OF_LISTS,
    _LEAD
    + r"(?:take|remove|drop|delete)\s+[\"'“]?(?P<step>.+?)[\"'”]?\s+(?:out\s+of|from|off)\s+(?:the\s+|my\s+|our\s+)?"
    + _LISTS
    + _TAIL,
)
_STEP_PLACED = Pattern(
    _OF_LISTS,
    _LEAD
    + r"(?:add|put)\s+[\"'“]?(?P<step>.+?)[\"'”]?\s+(?P<where>before|after)\s+(?P<other>.+?)\s+(?:to|on|in)\s+(?:the\s+|my\s+|our\s+)?"
    + _LISTS
    + _TAIL,
)
_WALK_ITEM = Pattern(
    ("done", "finished", "skip"),
    _LEAD
    + r"(?:i\s+am\s+|we\s+are\s+|i'm\s+|we're\s+)?(?P<word>done\s+with|finished\s+with|skip|skipped)\s+(?P<item>(?:the|my|our)\s+.+?)\s*[.!]?\s*$",
)
_VERBS = frozenset(
    {"check", "change", "replace", "inspect", "clean", "service", "renew", "test", "flush", "swap", "do"}
)


def own_words(text: str) -> Intent | None:
    """A reminder of the owner's own, a step put at a place or taken out; None for reminders of items that have a name already."""
    if found := _STEP_PLACED.match(text):
        where = {found["where"].casefold(): found["other"].strip()}
        return say.Step(
            list=_list(found["list"]), step=found["step"].strip(), before=where.get("before"), after=where.get("after")
        )
    if found := _DROP_STEP.match(text):
        return say.Step(list=_list(found["list"]), step=found["step"].strip(), drop=True)
    if (found := _WALK_ITEM.match(text)) and not _is_activity(found["item"]):
        return back.Walk(
            word="skip" if found["word"].casefold().startswith("skip") else "done", item=found["item"].strip()
        )
    found = _REMIND.match(text) or _EVERY_FIRST.match(text)
    other = _REMIND_EVERY.match(text) if found is None else None
    said, often = (found["item"], found["every"]) if found is not None else ("", "")
    if other is not None:
        said, often = other["item"] or other["item2"], other["every"] or other["every2"]
    if not said or _has_a_name(said):
        return None
    every = _every(often)
    item = said.strip().strip("\"'“”")
    if isinstance(every, Length) and every.unit not in ("second", "minute", "hour") and every.number > 0:
        return say.Upkeep(item=item, every_days=every.seconds / 86400)
    if isinstance(every, Amount) and every.unit in VOLUMES:
        return say.Upkeep(item=item, every=every)
    return None


def _list(word: str) -> str:
    return _SAME.get(word.casefold(), word.casefold())


def _has_a_name(item: str) -> bool:
    """Whether the words, less a verb of upkeep, are one of the usual items: those are read with the other statements."""
    words = [word.text for word in hear(item) if word.kind == "word" and word.text not in DETERMINERS]
    while words and words[0] in _VERBS:
        words = words[1:]
    if words[:1] in (["sanitise"], ["sanitize"], ["disinfect"]):
        return True
    return any(sense.cls == "SERVICE" for sense in lexicon().spellings.get(tuple(words), ()))


def _is_activity(item: str) -> bool:
    """Whether the words name a use of water ("done with the dishes" is one); what is gear as well ("the chocks") is a step's."""
    toks = tokens(hear(item), lexicon(), NO_OWN)
    return any(tok.has("ACT", "ACTS", "TANK", "TANKS") and not tok.has("GEAR") for tok in toks)


def _every(words: str) -> object:
    """The interval of "every 90 days", "every two months", "every 500 gallons"."""
    found = pieces(settle(tokens(hear(words), lexicon(), NO_OWN), lexicon()), words)
    return found[0].value if len(found) == 1 and found[0].kind == "every" else None


def stops_at(clause: Clause) -> bool:
    """ "At what reading do I stop", "what may the rinse meter say when I shut it off": nothing else is watched on a meter till it is stopped."""
    stops = any(
        tok.text.split()[0] in ("stop", "stopping", "shut", "turn")
        for tok in (piece.toks[0] for piece in clause.pieces if piece.kind == "word")
    )
    return (
        stops
        and clause.has("METER", "RINSE", "RINSEPORT", "RINSEOFF")
        and not did(clause)
        and not clause.has("FILL", "DEPART", "SITE")
    )
