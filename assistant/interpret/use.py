"""Reports of use: how many, by whom, how much, measured or typical."""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.interpret.ahead import is_ahead
from assistant.interpret.context import LATELY, Context, Draft, Volume, draft
from assistant.interpret.plausible import guard_use, noun
from assistant.interpret.readings import guard_reading
from assistant.say import times
from assistant.scene import AskBack, CannotBe
from grammar.intents import Amount, Expect, ReadMeter, Use
from grammar.lightclass import replace
from state.entry import Entry
from state.habits import typical
from state.water import routes

DONE_TOGETHER = frozenset(("dishes", "laundry", "cooking", "cleaning", "pets", "outside"))
"""What several people do once between them: "Ana and Joss did the dishes" is one washing-up. Our own choice, no source."""

SHORTEST = 10.0
"""A use of fewer seconds than this is asked about: "3 second shower" is more likely the third. Our own choice, no source. [seconds]"""


def use(meaning: Use, context: Context) -> list[Draft]:
    """One `use` event a person; with readings around it also the `meter` event of the later one."""
    activity = _activity(meaning, context)
    if not meaning.done and meaning.when is not None and is_ahead(meaning, context):
        return _planned(meaning, activity, context)
    if not meaning.done and meaning.when is None and context.world.expected:
        _besides_the_planned(activity, context)
    so_much_of_theirs = activity == "other" and any(meaning.people)
    if (
        meaning.known is not None or (meaning.count or 0) > 1 or so_much_of_theirs
    ):  # loaded only where it may be one told before
        from assistant.interpret.one_told import of_one_told

        put_right = of_one_told(meaning, activity, context)
        if put_right:
            return put_right
    meaning = _no_hours(_from_where_it_stood(meaning, context), context)
    if meaning.before is not None or meaning.after is not None:
        return _measured(meaning, activity, context)
    if meaning.minutes is not None and meaning.amount is None and meaning.minutes * 60 < SHORTEST:
        seconds = f"{meaning.minutes * 60:.3g} seconds"
        context.guard("too-short", f"Only {seconds} for {noun(activity)}: is that right? Or say how much.", "amount")
    if meaning.several and meaning.amount is not None and meaning.count is None:
        raise AskBack(f"How many was that, at {meaning.amount.text.strip()}?", "count")
    if meaning.several and meaning.count is not None:
        raise AskBack(
            f"How many of them were there, at {meaning.count} each? Say it in full, for example: six flushes.",
            "statement",
        )
    amount = meaning.amount
    alone = len(meaning.people) == 1 and any(meaning.people) and meaning.count is None and not meaning.everyone
    if alone and amount is not None and amount.each and amount.value is not None:
        told = f"Who else was it, or how many times, at {amount.text.strip()}?"
        raise AskBack(f"{told} Say it in full, for example: Ana and Max showered, 2 gal each.", "statement")
    at = _some_time_since(activity, context.happened(meaning.when), meaning, context)
    people: tuple[str | None, ...] = tuple(name or None for name in meaning.people) or (None,)  # "": the speaker
    count = (meaning.count or 1) * (context.scene.people if meaning.everyone and not any(meaning.people) else 1)
    if count > 1000:
        raise CannotBe(f"{count} times is more than anyone can do.")
    if (
        count > 1
        and count == len(people)
        and meaning.count is not None
        and not meaning.everyone
        and not (meaning.amount and meaning.amount.each)
    ):
        count = 1  # "Ana and Joss took two showers": one each
        share, once = 1.0 / len(people), False
    else:
        share = 1.0 if len(people) == 1 or (meaning.amount is not None and meaning.amount.each) else 1.0 / len(people)
        once = activity in DONE_TOGETHER
    drafts = []
    for person in people:
        volume = _volume(meaning, activity, person, count, context)
        usual = meaning.amount is None or meaning.amount.value is None
        if volume.litres == 0:
            raise CannotBe("That is no water at all, so nothing was recorded.")
        litres = volume.litres * (1.0 if usual and not once else share)
        guard_use(context, activity, person, count, litres, volume.estimated and meaning.minutes is None)
        drafts.append(
            draft(
                "use",
                at,
                [volume.said],
                activity=activity,
                count=count,
                litres=litres,
                estimated=volume.estimated,
                person=person,
            )
            | ({"minutes": meaning.minutes} if meaning.minutes else {})
        )
    return drafts


def _from_where_it_stood(meaning: Use, context: Context) -> Use:
    """ "Shower 3.2 to 6.9" where the meter stood at 3.2: two readings, no range."""
    amount, meter = meaning.amount, context.world.meters.get("inlet")
    if amount is not None and _stands_now(meaning, amount, context):
        context.guard("now-reading", f"Is {amount.text} what the meter says now? Or say how much it took.")
        return replace(meaning, amount=None, after=amount, when=None)
    if amount is None or amount.value is None or amount.high is None or amount.unit is not None or amount.each:
        return meaning
    known = meter is not None and meter.known and meter.litres > 0
    low = context.volume(replace(amount, high=None)).litres
    if meter is None or not known or abs(low - meter.litres) > 0.002 * meter.litres:
        if (
            _finely(amount.value, amount.high)
            or _much_alike(low, amount)
            or _hourly(meaning, amount)
            or _wide(amount.value, amount.high)
        ) and not amount.approx:
            middle = context.scene.exact(context.volume(amount).litres)
            context.guard("fine-range", f"Did it take {amount.text}, so about {middle}? Or say how much.")
        return meaning
    return replace(
        meaning, amount=None, before=replace(amount, high=None), after=replace(amount, value=amount.high, high=None)
    )


def _stands_now(meaning: Use, amount: Amount, context: Context) -> bool:
    """ "meter 10", then "shower done, 12 now": a number without a unit, not less than the meter said a moment ago."""
    meter = context.world.meters["inlet"]
    bare = amount.value is not None and amount.unit is None and amount.high is None and not amount.each
    if not bare or meaning.when is None or not meaning.when.now or not meter.known or meter.at is None:
        return False
    return context.now - meter.at <= LATELY and 0 < meter.litres < context.volume(amount).litres


def _wide(low: float, high: float) -> bool:
    """ "three showers 10 to 16": from one reading to another, perhaps; nobody is so unsure of so much."""
    return low >= WIDE and high >= 1.4 * low


WIDE = 10
"""From so many on, two numbers far apart may be readings. Our own choice, no source."""


def _finely(low: float, high: float) -> bool:
    """Two numbers with decimals, far apart: hardly how somebody tells a range of gallons."""
    return low != int(low) and high != int(high) and (low * 10) % 5 != 0 and high > 1.5 * low


MUCH = 35.0
"""From so much on, a range told without a unit whose ends are near each other is asked about. Our own choice, no source. [litres]"""


def _much_alike(low: float, amount: Amount) -> bool:
    """ "dishes 41 to 42.5": from one reading to the next, more likely than a range of gallons."""
    return low >= MUCH and amount.high is not None and amount.value is not None and amount.high < 1.25 * amount.value


def _hourly(meaning: Use, amount: Amount) -> bool:
    """ "showered between 7 and 8", "dishes 7 to 8 this morning": from one hour to the next, perhaps."""
    both = (amount.value or 0.0, amount.high or 0.0)
    timed = "between" in meaning.text.casefold() or (meaning.when is not None and meaning.when.part is not None)
    return timed and all(value == int(value) and FEW <= value <= 12 for value in both)


FEW = 5
"""Fewer gallons than this are an ordinary use, even where hours could be meant. Our own choice, no source."""


def _no_hours(meaning: Use, context: Context) -> Use:
    """ "showered from 7 to 8": hours, or what the meter read? Asked, unless the meter is named or stands at the first; an amount as the
    reply makes them hours."""
    before, after = meaning.before, meaning.after
    if before is None or after is None or before.value is None or after.value is None:
        return meaning
    named = before.unit or after.unit or "meter" in meaning.text.casefold()
    if named or not all(value == int(value) and 0 < value <= 12 for value in (before.value, after.value)):
        return meaning
    meter = context.world.meters.get("inlet")
    if meter is not None and meter.known and abs(context.volume(before).litres - meter.litres) <= 0.002 * meter.litres:
        return meaning
    if meaning.amount is not None:
        return replace(meaning, before=None, after=None)
    said = f"from {before.value:g} to {after.value:g}"
    context.guard("hours", f"Did the meter go {said}? If those are hours, say how much it took instead.")
    return meaning


def _planned(meaning: Use, activity: str, context: Context) -> list[Draft]:
    """Known future: it shapes the forecast and is booked as a use only once it is reported."""
    if meaning.amount is None and meaning.count is None:  # "Thursday pets": a plan, last week's, or half a phrase
        at = context.scene.future(meaning.when).at if meaning.when is not None else None
        said = f" for {times.full_day(at, context.now)}" if at is not None else ""
        context.guard("planned", f"Is that planned{said}?", "when")
    ahead = Expect(what="use", start=meaning.when, activity=activity, count=meaning.count, amount=meaning.amount)
    from assistant.interpret import trip

    return trip.expect(ahead, context)


def _besides_the_planned(activity: str, context: Context) -> None:
    """ "Laundry on Thursday, 8 gal", then "the laundry is 10 gal", "two loads": the plan told just before may be meant, and nothing is done yet."""
    for one in context.world.expected:
        ahead = one["what"] == "use" and one["activity"] == activity and one["start"] is not None
        if ahead and one["start"] > context.now and context.now - one["said_at"] <= LATELY:
            day = times.full_day(one["start"], context.now)
            text = f"Was that done already, besides {noun(activity)} planned for {day}? To change the plan say no, then: make that …"
            context.guard("besides-plan", text, "yes")


def _activity(meaning: Use, context: Context) -> str:
    if meaning.unknown_activity is not None:
        name = meaning.unknown_activity.strip().casefold()
        if name not in (known.casefold() for known in context.world.activities):
            context.guard("new-activity", f'"{name}" is new to me. Book it under that name?', "activity")
        return name
    if meaning.activity is None:
        if meaning.amount is None or meaning.amount.value is None:
            raise AskBack("How much, and for what?", "amount")
        return "other"
    return meaning.activity


def _volume(meaning: Use, activity: str, person: str | None, count: int, context: Context) -> Volume:
    """The total of one person's part, before sharing among several people."""
    if meaning.like is not None and meaning.like != "usual" and meaning.amount is None:
        return _as_much_as(meaning, activity, person, count, context)
    if meaning.amount is None:
        if activity == "other" or (
            meaning.unknown_activity is not None and not typical.typical(context.world, activity).n
        ):
            raise AskBack("How much water was it?", "amount")
        own = typical.own_mean(context.world, activity, person) if meaning.like == "usual" else None
        each = own if own is not None else typical.typical(context.world, activity, person, meaning.minutes).mean
        return Volume(each * count, True, {"field": "litres", "value": None, "unit": None, "text": "typical"})
    volume = context.volume(meaning.amount, f"How much did {noun(activity)} use")
    return Volume(volume.litres * (count if meaning.amount.each else 1), volume.estimated, volume.said)


def _as_much_as(meaning: Use, activity: str, person: str | None, count: int, context: Context) -> Volume:
    """ "shower same as yesterday": what that one took, by the same person if one is named; asked for where there was none."""
    since, before = _spans(context.now).get(meaning.like or "", (None, context.now))

    def fits(entry: Entry) -> bool:
        ours = entry.kind == "use" and entry.activity == activity and (person is None or entry.person == person)
        return ours and entry.at < before

    lately = () if since is None else context.scene.since(since)  # what is older than that is not read
    other = context.latest(fits) if since is None else next(filter(fits, reversed(lately)), None)
    if other is None:
        told = "" if since is None else f" {meaning.like}"
        raise AskBack(f"I know of no {noun(activity)}{told}. How much was it?", "amount")
    each = other.litres / max(1, other.count)
    return Volume(
        each * count,
        other.estimated,
        {"field": "litres", "value": None, "unit": None, "text": f"same as {meaning.like}"},
    )


def _spans(now: datetime) -> dict[str, tuple[datetime, datetime]]:
    """When what is likened to may have been."""
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    return {
        "yesterday": (midnight - timedelta(days=1), midnight),
        "last night": (midnight - timedelta(hours=8), midnight + timedelta(hours=4)),
        "this morning": (midnight, now),
    }


def _some_time_since(activity: str, at: datetime, meaning: Use, context: Context) -> datetime:
    """ "Five flushes since yesterday evening": not all of them then, but over the time since; where the tank that they ran to has been emptied
    or looked at meanwhile, since that, so that none of them is lost."""
    if meaning.when is None or not meaning.when.since or at >= context.now:
        return at
    known = context.world.since.get(routes.target(context.world.rig, activity) or "")
    begun = known if known is not None and at < known <= context.now else at
    return begun + (context.now - begun) / 2


def _measured(meaning: Use, activity: str, context: Context) -> list[Draft]:
    """Readings before and after, said together or one now and one earlier."""
    at = context.happened(meaning.when)
    state = context.world_at(at).meters["inlet"]
    first, last = meaning.before, meaning.after
    if first is not None and last is not None and (first.unit is None) != (last.unit is None):
        # "31 litres before and 38.5 after": the unit is told once, of both
        first, last = replace(first, unit=first.unit or last.unit), replace(last, unit=last.unit or first.unit)
    before = context.volume(first, "What did the meter read") if first else None
    after = context.volume(last, "What did the meter read") if last else None
    if after is None:
        assert before is not None
        flags = guard_reading(context, "inlet", before.litres, at)
        return [draft("meter", at, [before.said], meter="inlet", litres=before.litres, before=activity) | flags]
    read = next((one for one in reversed(context.drafts) if one["kind"] == "meter" and one["meter"] == "inlet"), None)
    start = before.litres if before is not None else state.open_before[1] if state.open_before else None
    if before is None and read is not None and (meaning.when is None or at == read["at"]):
        start = read["litres"]  # "12 after shower, 13 after dishes": from one to the next
    if start is None and state.known and state.at is not None and at - state.at <= LATELY:
        told = any(one.kind == "use" and one.at > state.at for one in context.scene.since(state.at))
        start = None if told else state.litres  # "shower to 11.1" goes on from the last reading
    if start is None:
        raise AskBack("What did the meter read before?", "amount")
    if after.litres < start:
        raise AskBack(
            "The reading after is lower than the one before, so nothing was recorded. What were the two readings?",
            "readings",
        )
    flags = guard_reading(context, "inlet", after.litres, at)
    litres = after.litres - start
    person = meaning.people[0] if len(meaning.people) == 1 else None
    guard_use(context, activity, person, meaning.count or 1, litres, False)
    return [
        draft(
            "use", at, [after.said], activity=activity, count=meaning.count or 1, litres=litres, estimated=False, person=person,
            from_litres=start, to_litres=after.litres,
        ),
        draft("meter", at, [after.said], meter="inlet", litres=after.litres) | flags,
    ]  # fmt: skip


def moment_reading(meaning: ReadMeter, context: Context) -> list[Draft]:
    """ "meter before the shower 12.3" opens a use, "meter after the shower 14.6" closes it."""
    opened = context.world.meters["inlet"].open_before
    activity = meaning.activity or (opened[0] if opened else "other")
    reading: Amount | None = meaning.reading
    if meaning.moment == "before":
        return use(Use(activity=activity, people=meaning.people, before=reading, when=meaning.when), context)
    if opened is not None and reading is not None:
        from assistant.interpret.between import told_between

        measured = told_between(activity, opened[1], reading, context)
        if measured:
            return measured
    count, people = _as_opened(activity, context) if opened is not None and not meaning.people else (None, ())
    made = Use(activity=activity, count=count, people=meaning.people or people, after=reading, when=meaning.when)
    return use(made, context)


def _as_opened(activity: str, context: Context) -> tuple[int | None, tuple[str, ...]]:
    """How many, and whose, the use was whose reading before was told: "meter 10 before two showers", "meter 10 before Ana's shower"."""
    last = context.lately_told(lambda entry: entry.kind == "meter")
    if last is None or last.get("before") != activity:
        return None, ()
    from assistant.names import names_of
    from grammar.read import read

    told = read(last.heard, names_of(context.world))
    for one in getattr(told, "meanings", ()):
        if isinstance(one, Use | ReadMeter) and one.activity == activity and len(one.people) < 2:
            return (one.count if isinstance(one, Use) else None), one.people
    return None, ()
