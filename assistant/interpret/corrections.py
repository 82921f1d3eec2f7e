"""Amendments: new events that change what earlier ones count for; nothing is ever rewritten."""

from __future__ import annotations

from assistant.interpret import changed, changed_times, in_place, so_much_of_it, use
from assistant.interpret.booked_here import own_entries
from assistant.interpret.by_name import named, told_of
from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.interpret.no_others import only_those, told_together
from assistant.interpret.not_so import not_so
from assistant.interpret.plausible import checked, guard_count
from assistant.interpret.taking_back import just_undone
from assistant.interpret.which_entry import STANDS, all_at_once, differ, lately, named_before, of_whom, those
from assistant.say import times
from assistant.scene import AskBack, Scene
from grammar.intents import (
    Amount,
    Arrive,
    Dump,
    Fill,
    Flow,
    Frost,
    Gear,
    Haul,
    Intent,
    Level,
    Party,
    Pressure,
    ReadMeter,
    Rinse,
    Service,
    Stay,
    Supply,
    Use,
    Valve,
)
from grammar.rejoinders import Amend, Fragment, Undo
from state.entry import Entry
from state.lightclass import replace

_TAKES = ("use", "fill", "haul", "rinse")
"""What water goes through: "it took 12 gal" can be said of these."""


def amend(meaning: Amend, context: Context) -> list[Draft]:
    """The last booked event with some fields changed; of a turn that booked several, the one whose fields fit."""
    live = own_entries(context)
    if not live and meaning.whole is not None and not meaning.sure:
        return _report(meaning.whole, context)  # "grey is half full, my bad": of nothing that was told here
    if meaning.was is not None and meaning.whole is not None:
        return not_so(meaning.whole, meaning.was, context) or _report(meaning.whole, context)
    if not live:
        raise AskBack("There is nothing to correct yet. What happened?", "statement")
    if just_undone(context):  # what it would correct is gone, and the entry before it was not meant
        raise AskBack(
            "That entry was taken back, so there is nothing to change. What happened? Say it in full.", "statement"
        )
    if meaning.of is not None:
        return _of_the_named(meaning, meaning.of, context)
    turn = live[-1].turn
    before = {one.of for one in live if one.kind == "amend"}
    meant = [one.of if one.kind == "amend" else one.id for one in live if one.turn == turn]
    latest = context.as_they_are(meant)
    targets = [latest[id] for id in meant if id in latest]
    share = meaning.change.amount is not None and meaning.change.amount.each
    uses = [one for one in targets if one.kind == "use"]
    if meaning.took and share and uses and len(uses) != 1:
        raise AskBack("Of which of them? Name it, for example: make the shower 3.", "statement")
    if meaning.took and not (uses if share else any(one.kind in _TAKES for one in targets)):
        raise AskBack("What took that? Say it with the amount, for example: shower used 2 gal.", "statement")
    if meaning.took:
        meaning = replace(meaning, change=_as_volume(meaning.change, context))
    if not targets:
        raise AskBack("There is nothing to correct yet. What happened?", "statement")
    if meaning.without:
        return so_much_of_it.without_a_tank(meaning, targets, context)
    if meaning.times is not None:
        one, fields = so_much_of_it.so_many_times(meaning.times, targets, context)
        return [checked(one, fields, context)]
    if meaning.named:
        return _of_that_name(meaning, context)
    if meaning.whose is not None:
        return _of_whose(meaning, targets, context)
    if meaning.was is not None and meaning.was.people:
        targets = of_whom(meaning.was, meaning.change.activity, targets, context)
    if meaning.no_others:
        targets = told_together(meaning.change, targets, context)
    said_at = max(one.heard_at for one in targets)
    which = meaning.change.choice
    if which is not None:
        if not 0 < which <= len(targets) or len(targets) < 2:
            raise AskBack('Which one was that? Name it, for example: "make the shower 3".', "statement")
        targets = [targets[which - 1]]
    if meaning.whole is not None:
        return _around(meaning.whole, targets, context) or _whole(meaning, meaning.whole, targets, context)
    told = meaning.change
    afresh = told.activity is not None and told.amount is not None and not meaning.sure
    if afresh and not (context.now - said_at <= LATELY and any(one.kind == "use" for one in targets)):
        # "that was Keith in the shower, 9 litres" after a dump: nothing of that is corrected
        return use.use(
            Use(activity=told.activity, amount=told.amount, people=told.people, count=told.count, when=told.when),
            context,
        )
    if afresh:
        in_place.guard_deeds(meaning.text, told, targets, context)
    if context.now - said_at > LATELY:
        _guard_old(targets[-1], context)
    if meaning.no_others and (settled := only_those(meaning, targets, context)):
        return settled
    if meaning.every:
        return [checked(one, fields, context) for one, fields in those(meaning, targets, context)]
    done = so_much_of_it.not_to_the_end(meaning, targets, context)
    if done:
        return done
    others = named_before(targets, meaning, context) or all_at_once(targets, told, context)
    if others:
        return [checked(one, fields, context) for one, fields in others]
    settled = only_those(meaning, targets, context) or _measured(targets, told, context)
    if settled:
        return settled
    named = told.activity if told.amount is not None else None
    stands = False
    for target in sorted(targets, key=lambda one: (_other_use(one, named), one.id in before, -one.seq)):
        fields = changed.proposed(target, meaning.change, context)
        if differ(target, fields):
            return [checked(target, fields, context)]
        stands = stands or bool(fields)
    if stands:
        raise AskBack(STANDS, "statement")
    earlier = _of_that_thing(told, context)
    if earlier:
        return earlier
    raise AskBack(
        "I can't see which part of the last entry that changes. Say it in full, or undo and say it again.", "statement"
    )


def _guard_old(target: Entry, context: Context) -> None:
    """Asks before an entry is changed that is no longer what the talk is about."""
    said = times.exactly(target.at, context.now)
    context.guard("old-entry", f'Do you mean to change "{target.heard}", {said}?', "statement")


def _measured(targets: list[Entry], change: Fragment, context: Context) -> list[Draft]:
    """Another number after "shower from 12.3 to 14.6": the reading after it, which makes another use of it; or, where it is too small for
    a reading, what the use took."""
    pair = _read_around(targets)
    if pair is None or change.amount is None or change.activity is not None or change.meter is not None:
        return []
    one, meter = pair
    volume = context.volume(change.amount)
    if volume.litres < one.from_litres:
        return [checked(one, changed.proposed(one, change, context), context)]
    return _read_after(one, meter, change, context)


def _around(whole: Intent, targets: list[Entry], context: Context) -> list[Draft]:
    """ "no, the meter was 14.8 after", "no, before it was 12.1": another reading on that side of the use that was read so."""
    pair = _read_around(targets)
    if pair is None or not isinstance(whole, ReadMeter) or whole.activity is not None or whole.reading is None:
        return []
    one, meter = pair
    if whole.moment == "after":
        return _read_after(one, meter, Fragment(amount=whole.reading), context)
    if whole.moment != "before":
        return []
    before = context.volume(whole.reading)
    if before.litres > one.to_litres:
        raise AskBack("That is more than the reading after it. Which reading is right?", "amount")
    fields = {"litres": one.to_litres - before.litres, "from_litres": before.litres, "said": [before.said]}
    return [checked(one, fields, context)]


def _read_around(targets: list[Entry]) -> tuple[Entry, Entry] | None:
    """The use that was told by its readings, and the reading after it, if there is one such pair."""
    pairs = [
        (one, meter)
        for one in targets
        for meter in targets
        if one.get("to_litres") is not None and meter.kind == "meter" and abs(meter.litres - one.to_litres) < 0.01
    ]
    return pairs[0] if len(pairs) == 1 else None


def _read_after(one: Entry, meter: Entry, change: Fragment, context: Context) -> list[Draft]:
    fields = changed.proposed(meter, change, context)
    after = fields["litres"]
    use_fields = {"litres": after - one.from_litres, "from_litres": one.from_litres, "to_litres": after}
    return [checked(one, {**use_fields, "said": fields["said"]}, context), checked(meter, fields, context)]


def _of_that_thing(change: Fragment, context: Context) -> list[Draft]:
    """ "no, the meter was 8.6", "no, grey was a third" where something else was booked since: the latest reading of that meter, or level
    of that tank. Nothing if there was none lately."""
    if change.amount is None:
        return []
    tank = context.tank(change.tanks[0]).name if change.tanks else None
    for target in lately(context):
        read = target.kind == "meter" and target.meter == change.meter
        seen = target.kind == "level" and tank is not None and target.tank == tank
        if read or seen:
            fields = changed.proposed(target, change, context)
            if differ(target, fields):
                return [checked(target, fields, context)]
    return []


def _of_the_named(meaning: Amend, of: Undo, context: Context) -> list[Draft]:
    """ "Bo's shower on Saturday was two gallons, not five": that entry, wherever it was told, and no new one."""
    if meaning.whole is not None and len(told_of(of, context)) < max(of.nth or 1, 1):  # it is told for the first time
        return _report(meaning.whole, context)
    target = named(of, context, to="change")
    if meaning.change.amount is not None:
        guard_count(target, meaning.change.amount)
    fields = changed.proposed(target, _as_volume(meaning.change, context), context)
    if not differ(target, fields):
        raise AskBack(STANDS, "statement")
    return [checked(target, fields, context)]


def _of_that_name(meaning: Amend, context: Context) -> list[Draft]:
    """ "the cooking was 2 litres, not 1": the latest use of that activity has another amount; if there was none lately, it is a report."""
    change = meaning.change
    for target in lately(context):
        if target.kind == "use" and target.activity == change.activity:
            fields = changed.proposed(target, replace(change, activity=None), context)
            if differ(target, fields):
                return [checked(target, fields, context)]
            raise AskBack(STANDS, "statement")
    return use.use(Use(activity=change.activity, amount=change.amount), context)


def _of_whose(meaning: Amend, targets: list[Entry], context: Context) -> list[Draft]:
    """ "theo's was 3", "mine was 8": the use of that person in the last turn has another amount, or they did the same besides."""
    uses = [one for one in targets if one.kind == "use"]
    if not uses or context.now - max(one.heard_at for one in uses) > LATELY:
        raise AskBack("What was that for? Say it with the amount, for example: shower used 2 gal.", "statement")
    who = (meaning.whose or "").casefold()
    if who in ("he", "she"):
        return _of_the_one_named(meaning, uses, context)
    alone = any(one.person is None for one in uses)
    if not meaning.sure and alone and (not who or uses[-1].activity in use.DONE_TOGETHER):
        raise AskBack("What was that for? Say it with the amount, for example: shower used 2 gal.", "statement")
    for target in reversed(uses):
        if (target.person or "").casefold() == who:
            fields = changed.proposed(target, _as_volume(meaning.change, context), context)
            if differ(target, fields):
                return [checked(target, fields, context)]
            if fields:
                raise AskBack(STANDS, "statement")
    for target in lately(context) if who else ():
        if target.kind == "use" and target.activity == uses[-1].activity and (target.person or "").casefold() == who:
            fields = changed.proposed(target, _as_volume(meaning.change, context), context)
            return [checked(target, fields, context)] if differ(target, fields) else []
    if meaning.text.casefold().split()[:1] in (["no"], ["no,"]):  # and it denies what somebody else did
        raise AskBack(
            f"Nothing like that was told of {meaning.whose or 'you'}. What happened? Say it in full.", "statement"
        )
    people = (meaning.whose,) if meaning.whose else ()
    return use.use(Use(activity=uses[-1].activity, amount=meaning.change.amount, people=people), context)


def _as_volume(change: Fragment, context: Context) -> Fragment:
    """What was used, taken or was so much is water: no count of showers."""
    amount = change.amount
    if amount is None or amount.unit is not None or amount.value is None:
        return change
    return replace(change, amount=replace(amount, unit=context.unit(amount)))


def _of_the_one_named(meaning: Amend, uses: list[Entry], context: Context) -> list[Draft]:
    """ "he took three" after "Joss showered": of whoever the last turn named, if it named one and only one."""
    theirs = [one for one in uses if one.person]
    if len(theirs) != 1:
        raise AskBack("Who was that? Say it with the name, for example: Joss showered, 2 gal.", "statement")
    fields = changed.proposed(theirs[0], _as_volume(meaning.change, context), context)
    if not differ(theirs[0], fields):
        raise AskBack(STANDS, "statement")
    return [checked(theirs[0], fields, context)]


def added(meaning: Fragment, context: Context, just_booked: bool) -> list[Draft]:
    """ "no sewer", "till Friday" after an arrival or a plan: what was left open in it. `just_booked`: the turn before booked something, so that
    a day is about that. Nothing if there is no such event."""
    live = own_entries(context) if meaning.of_a_site() and (just_booked or meaning.until is None) else []
    kinds = changed_times.WITH_END if meaning.until is not None else ("arrive", "stop")
    ids = [one.of if one.kind == "amend" else one.id for one in live]
    latest = context.as_they_are(ids)
    fitting = (latest[id] for id in reversed(ids) if id in latest and latest[id].kind in kinds)
    target = next((one for one in fitting if one.get("what") in (None, "party", "absence")), None)
    here = bool(context.drafts) and meaning.until is None  # told beside what is done there
    target = context.latest(lambda one: one.kind == "arrive") if here else target
    if target is None or (not here and context.now - target.heard_at > LATELY):
        return []
    fields = changed.proposed(target, meaning, context)
    return [checked(target, fields, context)] if differ(target, fields) else []


def tells_an_end(context: Context) -> bool:
    """Whether the last turn here told of something with an end to it, which "make it till Friday" may change."""
    live = own_entries(context)
    latest = [one for one in live if one.turn == live[-1].turn] if live else []
    return any(one.kind in ("stay", "arrive", "party", "away", "stop", "expect", "amend") for one in latest)


def _other_use(target: Entry, named: str | None) -> bool:
    """ "no, dishes was 2" goes for the dishes of a turn, not for what was said last in it."""
    return named is not None and not (target.kind == "use" and target.activity == named)


def _report(whole: Intent, context: Context) -> list[Draft]:
    from assistant.interpret.table import interpret

    return interpret(whole, context)


def _whole(meaning: Amend, whole: Intent, targets: list[Entry], context: Context) -> list[Draft]:
    """ "no, I dumped black": an amendment where the kind is the same, else the old taken back and the new booked. "wait, we are back"
    after a shower corrects nothing: it is a report of its own."""
    last = targets[-1]
    if isinstance(whole, Party) and last.get("what") == "party":  # guests to come: so many, and no word on today
        fields = changed.proposed(
            last, Fragment(amount=Amount(whole.people, changed.IN_ALL), until=whole.until), context
        )
        if not differ(last, fields):
            raise AskBack(STANDS, "statement")
        return [checked(last, fields, context)]
    alike = last.kind == ("meter" if isinstance(whole, ReadMeter) else type(whole).__name__.casefold())
    if alike and getattr(whole, "tank", "none") is None:
        whole = replace(whole, tank=last.get("tank"))  # type: ignore[call-arg]
    world = context.world_at(context.now, without=last) if alike else context.world
    scene = Scene(world, context.now, context.scene.past, context.scene.last)
    told = replace(whole, more=True) if isinstance(whole, Use) else whole  # that it is not besides has been said
    made = _report(told, replace(context, scene=scene))
    late = context.now - max(one.heard_at for one in targets) > LATELY
    other = not {one["kind"] for one in made} & {one.kind for one in targets}
    if (other and (late or not meaning.sure)) or (late and not meaning.sure):
        return made
    if late:
        _guard_old(targets[-1], context)
    meant = _meant(whole, made, targets)
    if meant is not None:
        old, new = meant.fields(), made[0]
        if not meaning.sure:
            in_place.guard_another_deed(whole, meant, new, context)
        fields = {name: value for name, value in new.items() if name not in ("kind",) and old.get(name) != value}
        if whole.when is None:
            fields.pop("at", None)
        if not isinstance(whole, Use | Dump | Level):  # what was not said anew stays as it was
            fields = {name: value for name, value in fields.items() if value is not None}
        if isinstance(whole, Use):
            in_place.but_what_was_not_said(whole, meaning.text, fields)
        if fields:
            return [checked(meant, fields, context)]
    if len(targets) > 1:  # which of them was wrong was not said, and nothing that was right may go with it
        raise AskBack("Which entry of the last does that correct? Name it, or undo and say them again.", "statement")
    return [draft("undo", context.now, of=targets[0].id), *made]


_AMENDED = (
    ReadMeter
    | Use
    | Dump
    | Level
    | Party
    | Stay
    | Arrive
    | Haul
    | Fill
    | Rinse
    | Pressure
    | Supply
    | Service
    | Gear
    | Valve
    | Flow
    | Frost
)


def _meant(whole: Intent, made: list[Draft], targets: list[Entry]) -> Entry | None:
    """The one of the last entries that a full statement is put in place of: the only one of its kind, or the only one that is of the same
    person, activity or tank."""
    if not isinstance(whole, _AMENDED) or len(made) != 1:
        return None
    fit = [one for one in targets if one.kind == made[0]["kind"]]
    for name in ("person", "activity", "tank", "item"):
        said = made[0].get(name)
        if len(fit) > 1 and said is not None and (name, said) != ("activity", "other"):
            same = [one for one in fit if str(one.get(name)).casefold() == str(said).casefold()]
            fit = same or fit
    return fit[0] if len(fit) == 1 else None
