"""Questions of the trade whose answer is the same in every rig: a valve left open, waste on the ground, frost, a dry tap, the wrong bleach.

They ask for no number, and half of their words are no vocabulary of ours, so they are told by their words, and only where the whole is
short and nothing is measured. May import: intents, mood, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok
from grammar.intents import Ask
from grammar.telling.mood import is_question

_LONGEST = 16  # tokens
_NOT_OURS = ("OTHER", "REPORTED", "NUMBER", "UNIT", "FRACTION", "UNTIL", "WEEKDAY")
_MAY = frozenset(
    "can could should may must ok okay fine alright right bad wise safe harm allowed legal need better shall do".split()
)
_HOSES = frozenset(
    "hose hoses pipe pipes line lines tap taps spigot plumbing valve valves tank tanks water drain drains filter pump".split()
)
_FROZE = frozenset("froze frozen freeze freezes freezing iced icy".split())
_TAKE_IN = frozenset("disconnect unhook unscrew drain take bring pull stow".split())
_KEEP = frozenset("keep stop prevent protect avoid save".split())
_THAW = frozenset("thaw thawing unfreeze defrost".split())
_HEAT = frozenset("torch blowtorch flame lighter heatgun hairdryer dryer".split())
_GROUND = frozenset(
    "ground grass dirt gravel bushes woods ditch field road roadside lake river creek stream desert outside".split()
)
_WASTE = ("TANK", "TANKS", "TANKWORD", "WATER", "WATERHERE")
_STILL = frozenset("no not nothing".split())
_LEAVE = frozenset("leave keep run stay left leaving keeping".split())


def ask_trade(toks: Sequence[Tok]) -> Ask | None:
    """The question of the trade that a phrase asks; None if it asks none."""
    if len(toks) > _LONGEST or any(tok.has(*_NOT_OURS) for tok in toks):
        return None
    words = [word for tok in toks for word in tok.text.replace("-", " ").split()]
    if not words:
        return None
    asks = (
        is_question(toks)
        or toks[-1].has("QMARK")
        or words[0] in ("is", "should", "can", "may", "how", "what", "do", "am")
    )
    said = set(words)
    subject = (
        _by_words(said, asks)
        or _open(toks, said, asks)
        or _on_the_ground(toks, said, asks)
        or _frost(toks, words, said, asks)
        or _no_water(toks, words, said, asks)
    )
    return Ask(topic="help", subject=subject) if subject is not None else None


class _Rule:
    """A question told by its words alone: one of each group stands there, and none of `never`; `only_asked`: "may" and "ok" are not enough."""

    def __init__(self, subject: str, groups: tuple[str, ...], never: str = "", only_asked: bool = True) -> None:
        self.subject, self.only_asked = subject, only_asked
        self.groups, self.never = [frozenset(group.split()) for group in groups], frozenset(never.split())

    def takes(self, said: set[str], asks: bool) -> bool:
        """Whether it is asked by these words."""
        return (
            not any(said.isdisjoint(group) for group in self.groups)
            and said.isdisjoint(self.never)
            and (asks or (not self.only_asked and not said.isdisjoint(_MAY)))
        )


_HOSE = "hose hoses"
_WASTE_WORK = "rinse rinsing flush flushing backflush black sewer waste dump dumping sewage cassette tote sludge"
_CAN = "can could may should ok okay fine safe alright do which what use share using"
_TABLE = (
    _Rule(
        "mixed bleach", ("bleach chlorine", "mix mixed mixing vinegar acid citric ammonia descaler"), only_asked=False
    ),
    _Rule(
        "the wrong bleach",
        (
            "bleach chlorine",
            "pool spa splashless splash scented lavender lemon perfumed fragranced thick thickened gel colour color",
        ),
        only_asked=False,
    ),
    _Rule(
        "the hose for waste",
        (_HOSE, "drinking potable fresh white clean same which what kind sort garden one", _WASTE_WORK, _CAN),
        "long minutes much many gallons litres gallon where did when kink kinked froze frozen",
    ),
    _Rule(
        "black before grey",
        ("black", "grey", "first before order sequence", "dump empty drain dumping emptying open pull comes goes go"),
        "full",
    ),
    _Rule(
        "black before grey",
        ("first order sequence", "dump empty drain dumping emptying", "which what"),
        "full fresh did",
    ),
    _Rule(
        "the order at the spigot",
        (
            "regulator filter gauge softener",
            "where order before after first",
            "go goes put belong belongs fit come comes order first",
        ),
        "did is was left done change changed due",
    ),
    _Rule(
        "fouled sensors",
        (
            "sensor sensors probes panel gauges",
            "clean cleaning lie lies lying wrong off stuck fix inaccurate unreliable trust mend dirty why",
        ),
        "show shows see shower",
    ),
    _Rule(
        "frost to come",
        ("freeze freezing frost", "is will going does"),
        "hose hoses pipes pipe line lines tank tanks tap pump if what how",
    ),
)


def _by_words(said: set[str], asks: bool) -> str | None:
    """The first of the table whose words are all there: "can I use scented bleach", "which hose for the black rinse"."""
    return next((one.subject for one in _TABLE if one.takes(said, asks)), None)


def _open(toks: Sequence[Tok], said: set[str], asks: bool) -> str | None:
    """ "is it ok to leave the black valve open", "should we keep the grey open while we're here"."""
    valve = any(tok.has("VALVE", "TANK") for tok in toks)
    if not (asks and valve and {"open", "opened"} & said and said & _LEAVE and said & _MAY):
        return None
    tanks = {tok.senses["TANK"].value for tok in toks if tok.has("TANK")}
    return {"black": "the black valve left open", "grey": "the grey valve left open"}.get(
        tanks.pop() if len(tanks) == 1 else "black"
    )


def _on_the_ground(toks: Sequence[Tok], said: set[str], asks: bool) -> str | None:
    """ "can I just dump the grey on the ground", "is it legal to drain grey in the woods"."""
    if not (
        asks
        and said & _GROUND
        and said & _MAY
        and any(
            tok.has("DUMP", "OPEN", "RUN", "PUT", "AWAYTO", "TAKEAWAY") or tok.text in ("go", "go on", "run")
            for tok in toks
        )
    ):
        return None
    tanks = {tok.senses["TANK"].value for tok in toks if tok.has("TANK")}
    if not tanks and not any(tok.has(*_WASTE) for tok in toks):
        return None
    return "fresh on the ground" if tanks == {"fresh"} else "waste on the ground"


def _frost(toks: Sequence[Tok], words: Sequence[str], said: set[str], asks: bool) -> str | None:
    """ "how do I keep the hose from freezing", "the hose froze", "can I use a torch to thaw it"."""
    if said & _THAW or (asks and said & _HEAT and said & (_HOSES | {"it", "this"})):
        return "thawing" if asks or said & _HOSES else None
    things, cold = said & _HOSES, said & (_FROZE | {"frost", "frozen"})
    if cold and things and said & {"froze", "frozen", "iced"} and not said & (_STILL | {"if", "when"}):
        told = any(
            tok.has("SWITCH", "PUMP", "HOOKUP", "DUMP", "FILL", "ACT", "STOW", "UNIT") and tok.text not in _HOSES
            for tok in toks
        )
        if told and not asks:
            return None  # "the hose froze so we're on the pump"
        return "thawing"  # "the hose froze", "what do I do, the pipes are frozen"
    if not asks:
        return None
    if cold and things and words[:2] == ["what", "happens"]:
        return "against frost"  # "what happens if the hose freezes"
    if cold and (said & _KEEP or ({"do", "about"} <= said and words[0] in ("what", "how"))):
        return "against frost"
    stays = said & {"leave", "keep"} and said & {"on", "out", "connected", "hooked"}
    goes = said & _TAKE_IN  # "should I disconnect the hose tonight"
    night = said & {"overnight", "night", "tonight"} or cold
    return "against frost" if {"hose", "hoses", "spigot"} & said and (stays or goes) and night and said & _MAY else None


_DRY = ("no water", "nothing", "not any water", "hardly any water", "no flow")
_FEW = 8  # words
_RUNS = frozenset("comes coming come runs running out from at".split())


def _no_water(toks: Sequence[Tok], words: Sequence[str], said: set[str], asks: bool) -> str | None:
    """ "no water comes out of the tap", "why is there no water at the tap"."""
    if {"pump", "switched", "until", "when", "if"} & said or any(tok.has("SITE", "ARRIVE", "SUPPLY") for tok in toks):
        return None
    told = " ".join(words)
    dry = any(one in told for one in _DRY)
    if dry and {"water", "pressure"} <= said and len(words) < _FEW:
        return "a dry tap"  # "there's no water pressure"
    out = {"tap", "taps", "faucet", "faucets", "sink", "shower"} & said and said & _RUNS
    return "a dry tap" if dry and out and (asks or "out" in said or "from" in said) else None
