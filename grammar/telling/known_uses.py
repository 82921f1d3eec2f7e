"""Uses that are told as if they were known already: "the dishes were 2", "about 8 gallons for the bath", "the shower was Ana"; and those
that are expressly more ("another shower"); and how a correction names the use it is of.

Told right after such a use they may be about that one; whether one was told is not known here. May import: intents, patterns, rejoinders.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.patterns import Pattern
from grammar.when import When

_WAS_SO_MUCH = Pattern(("was", "were"), r"[a-z ']*\b(?:was|were)\b")
_FOR_THAT = Pattern(
    (" for ", " in "),
    r"(?:(?:that|it) (?:was|took|used) |took |used |just |only |about |around |roughly |maybe |like )*[\w.,/½¼¾-]+(?: [\w.,/-]+){0,4} "
    r"(?:for|in) (?:the|that|his|her|their) \w+(?: \w+)?",
)
_WAS_ONE_THING = Pattern(("was", "were"), r"(?s:.*)\b(?:was|were) (?:(?:on|at|in the) )?\S+$")
_MORE = frozenset(("more", "another", "extra", "other"))


def known_uses(made: Sequence[Intent]) -> list[Intent]:
    """The meanings, such uses marked; one of several that are counted up is a correction of that one."""
    return [_one_of_them(one) or _marked(one) if isinstance(one, say.Use) else one for one in made]


_PLACES = {"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4}
_PLACE = Pattern(
    tuple(_PLACES), rf"(?s:.*)\b(?:the|that|my|our) (?P<place>{'|'.join(_PLACES)}) (?!one\b|time\b|thing\b)\w"
)
_OF_SEVERAL = Pattern(
    tuple(_PLACES),
    rf"(?:(?:no|sorry|oh|wait|the)[, ]+)*(?P<place>{'|'.join(_PLACES)}) of (?:the |my |our |those )?(?:two|three|four) (?s:.*)",
)


def _one_of_them(use: say.Use) -> back.Amend | None:
    """ "the first of the two showers was 4 gallons"."""
    found = _OF_SEVERAL.match(use.text.casefold())
    if found is None or use.activity is None or use.amount is None or use.amount.value is None or use.people:
        return None
    of = back.Undo(what=use.activity, nth=_PLACES[found["place"]], when=use.when)
    return back.Amend(change=back.Fragment(amount=use.amount), of=of, text=use.text)


def _marked(use: say.Use) -> say.Use:
    said = use.text.casefold()
    more = not _MORE.isdisjoint(said.split())
    told = use.amount is not None and use.amount.value is not None
    if more or use.activity is None or use.done:  # "I had a bath, it was hot" tells a deed of its own
        return replace(use, more=True) if more else use
    if (told or use.minutes is not None) and _WAS_SO_MUCH.match(said):
        return replace(use, known="amount")
    if told and use.count is None and not use.people and _FOR_THAT.fullmatch(said):
        return replace(use, known="perhaps")
    return replace(use, known="other") if use.amount is None and _WAS_ONE_THING.match(said) else use


_WHOSE = Pattern(("was", "were"), r"(?s:.*)\b(?:was|were) (?:actually |really )?(?P<name>\w+?)(?:['’]?s?)[.!]?$")
_RATHER = Pattern(("actually", "correction"), r"(?s:.*)\b(?:actually|correction)\b")


def _named_use(use: say.Use, said: str) -> Intent:
    """A use told so that it is one of those on record, if there is such a one: "the first shower was 4", "the shower at seven was Bob's",
    "Nell's flushes were three", "dishes used 3 actually"."""
    told = use.amount is not None and use.amount.value is not None
    if use.activity is None or use.more:
        return use
    place = _PLACE.match(said)
    if place is not None and told and use.known == "amount" and not use.people:
        day = use.when or When(text="today", day_offset=0)
        of = back.Undo(what=use.activity, nth=_PLACES[place["place"]], when=day)
        return back.Amend(change=back.Fragment(amount=use.amount), of=of, whole=use, sure=False, text=use.text)
    whose = _WHOSE.match(said) if use.known == "other" and len(use.people) == 1 and use.when is not None else None
    if whose is not None and use.people[0].casefold() == whose["name"]:
        of = back.Undo(what=use.activity, when=use.when)
        return back.Amend(change=back.Fragment(people=use.people), of=of, whole=use, sure=False, text=use.text)
    counted = use.count is not None and use.amount is None and use.when is None and _WAS_SO_MUCH.match(said)
    rather = (told or use.count is not None) and use.when is None and _RATHER.match(said)
    return replace(use, known="amount") if use.known is None and (counted or rather) else use


_BY_NAME = Pattern(("the ", "that ", "my ", "our "), r"(?s:.*)\b(?:the|that|my|our)\s+(?!was\b|is\b|a\b)\w")
_THAT_WAS = Pattern(
    ("it", "that"),
    r"(?s:.*)\b(?:(?:it|that)(?: was|'s| is)|(?:make|change) (?:it|that)(?: to)?) (?:the|a|an|my|our)\b",
)


_ONLY = Pattern(("only", "just"), r"(?:(?:no|nope|nah|wait|sorry|actually|oh|it was|that was)[, ]+)*(?:only|just) \w")
_ONLY_DID = Pattern(
    ("only",), r"(?:(?:no|nope|nah|wait|sorry|actually|oh)[, ]+)*(?:i|we) only \w+ (?:once|twice|\w+ times)$"
)
_JUST_WHO = Pattern(("only", "just"), r"(?:only|just) \w+[.!]?$")


def of_which(meanings: Sequence[Intent], text: str) -> tuple[Intent, ...]:
    """The meanings, corrections with how they name what they are of; and what is said to be all there was ("only one shower")."""
    made = tuple(_of_which(one) if isinstance(one, back.Amend) else one for one in meanings)
    said = text.strip().casefold()
    if len(made) == 1 and isinstance(made[0], say.Use):
        made = (_named_use(made[0], said),)
    if len(made) != 1 or not (_ONLY.match(said) or _ONLY_DID.match(said)):
        return made
    one = made[0]
    if isinstance(one, back.Amend) and (one.change.people or one.change.activity) and one.change.amount is None:
        return (replace(one, no_others=True),)
    if isinstance(one, say.Use) and one.amount is None and one.when is None and one.known is None:
        return (replace(one, known="only"),)
    return (replace(one, bare=True),) if isinstance(one, say.Party) and _JUST_WHO.match(said) else made


def _of_which(amend: back.Amend) -> back.Amend:
    place, change = _PLACE.match(amend.text.casefold()), amend.change
    if place is not None and amend.of is None and change.activity is not None and change.amount is not None:
        of = back.Undo(what=change.activity, nth=_PLACES[place["place"]], when=change.when)
        return replace(amend, of=of, change=replace(change, activity=None, when=None), sure=True, named=False)
    named, was = _BY_NAME.match(amend.text) is not None, _THAT_WAS.match(amend.text) is not None
    return replace(amend, by_name=named, that_was=was) if named or was else amend


USED = ("used", "took", "needed", "spent")


def used_too(one: say.Use, last: say.Use) -> bool:
    """Whether it begins with its amount, as what the one before it took: "…, and 1 gal to shave"."""
    amount = one.amount.text.casefold() if one.amount is not None and one.amount.value is not None else None
    head = one.text.casefold().removeprefix("about ").removeprefix("another ")
    measured = amount is not None and last.amount is not None and last.amount.value is not None
    return bool(measured and last.people and not one.people and not one.everyone and head.startswith(amount or " "))
