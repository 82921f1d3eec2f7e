"""One turn: read, complete, interpret, record, answer. Every door, and `open_conversation`, calls `take_turn` and nothing else.

The order matters: nothing is said to be recorded before the log has it on disk, and a turn that ends in a question, a refusal or a
misunderstanding appends no event at all. If another process appended in the meantime, the turn is taken anew over the new world.
"""

from __future__ import annotations

from datetime import datetime

from assistant import hazards, names, small_talk
from assistant.answers import topics
from assistant.interpret import walk
from assistant.interpret.context import Context, Draft
from assistant.interpret.only_named import ask_of_list, named_only
from assistant.interpret.pending import ALONG, AS_READ, BEHIND, LAPSE, TAKE_BACK, Pending, mine
from assistant.interpret.replies import Completed, Dropped, Unanswered, bare_use, complete, passed_over, shortened
from assistant.interpret.table import books, interpret
from assistant.reply import Outcome, Reply
from assistant.say import beside, echo, room, times
from assistant.scene import Answer, AskBack, CannotBe, Scene
from assistant.standing import Standing
from grammar import when as calendar
from grammar.intents import Ask, Intent, NotAReport, Stay
from grammar.read import read
from grammar.reading import Impossible, NotUnderstood
from grammar.rejoinders import Amend, Fragment, No, Undo, Walk, Yes
from state import checks
from state.entry import Entry
from state.lightclass import TYPE_CHECKING, Any, dataclass, field, replace
from state.log.history import CORRECTIONS, targets
from state.log.store import LogMoved, Turn, new_id

if TYPE_CHECKING:
    from assistant.doubles import Doubles

RETRIES = 4
MEMORY = 12
"""How many turns back the conversation still knows what was asked."""


@dataclass
class _Turn:
    """What one turn works with and comes to."""

    talk: Standing
    text: str
    now: datetime
    dry_run: bool
    scene: Scene
    turns: list[Turn]
    outcome: Outcome = "answered"
    drafts: list[Draft] = field(default_factory=list)
    answers: list[Answer] = field(default_factory=list)
    recorded: tuple[dict[str, Any], ...] = ()
    parts: list[str] = field(default_factory=list)
    memo: dict[str, Any] = field(default_factory=dict)
    facts: dict[str, Any] = field(default_factory=dict)
    cautions: list[str] = field(default_factory=list)
    doubles: Doubles | None = None


def take_turn(talk: Standing, text: str, now: datetime, dry_run: bool = False) -> Reply:
    """Hears one phrase over the log of `talk` at `now`. Raises LogError if the log cannot be read or written."""
    for _ in range(RETRIES):
        try:
            return _once(talk, text, now, dry_run)
        except LogMoved:
            continue
    with talk.log.alone():  # others were quicker each time: now they wait
        return _once(talk, text, now, dry_run)


def _once(talk: Standing, text: str, now: datetime, dry_run: bool) -> Reply:
    talk.refresh()
    turns = talk.log.turns(last=MEMORY)
    scene = Scene(talk.world, now, talk.past(), _last_asked(turns))
    turn = _Turn(talk, text, now, dry_run, scene, turns)
    pending = _pending(turns, now)
    known = names.names_of(talk.world)
    reading = read(text, known)
    if turns and "twins" in turns[-1].memo and _settles_double(turn, reading):
        return _close(turn)
    if isinstance(reading, NotUnderstood):
        _not_understood(turn, reading, pending)
    elif isinstance(reading, Impossible):
        turn.outcome, turn.parts = "refused", [reading.message, reading.hint]
    else:
        gone_on = bool(turns) and turns[-1].outcome == "not_understood"
        completed = complete(pending, reading, text, known, gone_on) if pending is not None else None
        if isinstance(completed, Dropped) and pending is not None and pending.slot.startswith(ALONG):
            behind = mine(now, BEHIND, *beside.left_there(pending.phrase))
            turn.outcome, turn.parts, turn.memo["pending"] = "asked", [behind.question], behind.to_memo()
        elif isinstance(completed, Dropped):
            kept = pending is not None and pending.slot.startswith(TAKE_BACK)
            turn.parts = ["All right, it stays." if kept else "All right, nothing was recorded."]
        elif isinstance(completed, Unanswered):
            assert pending is not None
            turn.outcome, turn.parts, turn.memo["pending"] = "asked", [completed.question], pending.to_memo()
        elif isinstance(completed, Completed):
            _carry_out(turn, completed.meanings, completed.pending)
        elif reading.confirm:
            fresh = Pending(
                reading.as_read, now, slot=f"{AS_READ}?{AS_READ}:0", question=small_talk.did_you_mean(reading)
            )
            turn.outcome, turn.parts, turn.memo["pending"] = "asked", [fresh.question], fresh.to_memo()
        else:
            told = [one for one in reading.meanings if not isinstance(one, Yes)]
            _carry_out(turn, told or list(reading.meanings), Pending(text, now))
            if reading.left and turn.outcome == "recorded":
                turn.parts.append("Not booked: " + ", ".join(f'"{one}"' for one in reading.left) + ".")
            if pending is not None and turn.outcome == "recorded" and passed_over(pending, told, known):
                turn.parts.append(f'Still not booked: "{shortened(pending.phrase)}".')
            aside = _explains(reading.meanings) or any(one.facts.get("running") for one in turn.answers)
            if turn.outcome == "answered" and pending is not None and aside:
                turn.memo["pending"] = pending.to_memo()
    return _close(turn)


def _settles_double(turn: _Turn, reading: object) -> bool:
    """Takes the words as the reply to whether something was told twice, if that was asked last and they are one."""
    from assistant import doubles

    found = turn.talk.recall.found
    turn.doubles, pair = doubles.still_open(doubles.open_in(turn.turns), found)
    said = doubles.reply(reading, turn.doubles, pair, turn.turns, turn.now)
    if not said or pair is None:
        return False
    if said == "which":
        turn.outcome, turn.parts = "asked", [doubles.question(pair, len(turn.doubles.pairs) - 1, turn.scene)]
        return True
    turn.doubles = doubles.settled(turn.doubles)
    if said == "one":
        turn.drafts = [{"kind": "undo", "at": turn.now, "of": max(one.id for one in pair)}]
        _record(turn)
        turn.parts[:1] = ["Counted once."]
    else:
        turn.answers.append(Answer("Both are counted."))
    return True


def _explains(meanings: tuple[Intent, ...]) -> bool:
    """Asking why, or for help, leaves a pending question standing."""
    return all(isinstance(one, Ask) and one.topic in ("explain", "help") for one in meanings)


def _pending(turns: list[Turn], now: datetime) -> Pending | None:
    memo = turns[-1].memo.get("pending") if turns else None
    if memo is None:
        return None
    pending = Pending.from_memo(memo)
    return None if pending.lapsed(now) else pending


def _last_asked(turns: list[Turn]) -> dict[str, Any]:
    """The memo of the latest turn that answered something or booked something, for "why" and "what about Thursday"."""
    last = next((turn for turn in reversed(turns) if "about" in turn.memo), None)
    if last is None:
        return {}
    said = {"phrase": last.heard} if last.outcome in ("recorded", "answered") else {}
    return {**said, **last.memo["about"]}


def _not_understood(turn: _Turn, reading: NotUnderstood, pending: Pending | None) -> None:
    turn.outcome = "not_understood"
    turn.parts = [reading.message, f"Try: {reading.hint}" if reading.hint else ""]
    turn.facts = {"reference": reading.reference, "words": [turn.text[a:b] for a, b in reading.words]}
    if pending is not None:
        turn.memo["pending"] = pending.to_memo()


def _carry_out(turn: _Turn, meanings: list[Intent], pending: Pending) -> None:
    """Interprets every meaning of the phrase; all of it is recorded, or none."""
    times = calendar.in_order([one.when for one in meanings], turn.now)
    for place, (meaning, when) in enumerate(zip(meanings, times, strict=True)):
        meaning = meaning if when is meaning.when else replace(meaning, when=when)
        context = Context(turn.scene, turn.talk.recall, pending.confirmed, place, turn.drafts, alone=len(meanings) == 1)
        try:
            if not place:
                ask_of_list(meanings, context)
            _one(turn, meaning, context)
            turn.cautions.extend(context.warnings)
        except AskBack as question:
            turn.outcome, turn.drafts = "asked", []
            turn.parts, turn.answers, turn.memo = [question.text], [], dict(question.memo)
            turn.cautions = list(question.cautions)
            waiting = replace(
                pending, place=place, slot=question.slot, choices=question.choices, question=question.text
            )
            turn.memo["pending"] = waiting.to_memo()
            return
        except CannotBe as problem:
            turn.outcome, turn.drafts, turn.answers = "refused", [], []
            turn.parts = [str(problem)]
            return
        except OverflowError:
            turn.outcome, turn.drafts, turn.answers = "refused", [], []
            turn.parts = ["That is further off than any calendar reaches, so nothing was recorded."]
            return
    if turn.drafts:
        _record(turn)
    asks = [meaning for meaning in meanings if isinstance(meaning, Ask)]
    if asks and turn.recorded:
        _answer_after(turn, asks)


def _one(turn: _Turn, meaning: Intent, context: Context) -> None:
    meaning = walk.all_in(walk.as_walking(meaning, turn.text, turn.scene), context)
    if isinstance(meaning, Amend):
        meaning = _as_asked(turn, meaning, context) or meaning
    if books(meaning):
        turn.drafts.extend(interpret(meaning, context))
        if walk.ends_today(turn.drafts, turn.now):
            turn.answers.append(
                topics.answer(Ask(topic="checklist", subject="leaving"), turn.scene, turn.talk, turn.text)
            )
    elif isinstance(meaning, Walk):
        drafts, answer = walk.step_on(meaning, context)
        turn.drafts.extend(drafts)
        turn.answers.append(answer)
    elif (same := small_talk.and_that_tank(meaning, turn.text, turn.turns, context)) is not None:
        turn.drafts.extend(interpret(same, context))
    elif isinstance(meaning, Ask):
        failed = turn.turns[-1] if turn.turns and turn.turns[-1].outcome in ("not_understood", "refused") else None
        if failed is not None and meaning.topic == "explain" and meaning.tank is None:
            turn.answers.append(small_talk.why_not_understood(failed.heard, failed.answer))
        else:
            turn.answers.append(topics.answer(meaning, turn.scene, turn.talk, turn.text))
    elif isinstance(meaning, NotAReport):
        turn.answers.append(small_talk.not_a_report(meaning))
    elif isinstance(meaning, No) and _takes_back(turn, meaning):
        turn.drafts.extend(interpret(Undo(text=meaning.text), context))
    elif isinstance(meaning, (Yes, No)):
        _yes_or_no(turn, meaning)
    elif isinstance(meaning, Fragment):
        follow_up = small_talk.follow_up(meaning, turn.scene)
        added = _added(turn, meaning, context) if meaning.of_a_site() else []
        read_after = small_talk.read_after(meaning, turn.scene) or small_talk.pressure_after(meaning, context)
        if read_after is not None:
            turn.drafts.extend(interpret(read_after, context))
        elif added or (turn.drafts and meaning.of_a_site()):  # "grey valve open, we have sewer"
            turn.drafts.extend(added)
        elif measured := _measured(meaning, context):
            turn.drafts.extend(measured)
        elif (valve := small_talk.valve_told(meaning, context)) is not None:
            turn.drafts.extend(interpret(valve, context))
        elif follow_up is not None:
            turn.answers.append(topics.answer(follow_up, turn.scene, turn.talk, turn.text))
        elif (named := bare_use(meaning)) is not None:
            turn.drafts.extend(named_only(named, context))
        elif (stay := small_talk.stays_on(meaning)) is not None:
            turn.drafts.extend(_stays_on(stay, context))
        else:
            small_talk.ask_about_fragment(meaning, turn.scene)


def _measured(meaning: Fragment, context: Context) -> list[Draft]:
    if meaning.amount is None:
        return []
    from assistant.interpret.one_told import so_much_of_the_last

    return so_much_of_the_last(meaning, context)


def _stays_on(stay: Stay, context: Context) -> list[Draft]:
    """ "one more night": said of the stay, most likely, so its new end is asked about."""
    drafts = interpret(stay, context)
    context.guard("only-longer", f"Do you stay until {times.exactly(drafts[0]['until'], context.now)}?")
    return drafts


def _added(turn: _Turn, meaning: Fragment, context: Context) -> list[Draft]:
    """What "no sewer" or "till Friday" adds to the arrival before it."""
    from assistant.interpret.corrections import added

    last = turn.turns[-1] if turn.turns else None
    return added(meaning, context, last is not None and last.outcome == "recorded")


def _takes_back(turn: _Turn, meaning: No) -> bool:
    """ "cancel that", "forget that last one" right after something was booked takes it back; "never mind" may mean anything."""
    words = [word for word in meaning.text.casefold().replace(",", " ").split() if word not in ("no", "oh", "please")]
    meant = words[:1] in (["cancel"], ["forget"], ["ignore"], ["disregard"]) and not {"that", "last"}.isdisjoint(words)
    return meaning.cancel and meant and _just_booked(turn)


def _as_asked(turn: _Turn, meaning: Amend, context: Context) -> Ask | None:
    """What looks like a correction of an entry, but is a question: the one before it put otherwise, or "make it to Friday"."""
    if _just_answered(turn):
        found = small_talk.asked_otherwise(meaning, turn.scene)
        if found is not None:
            return found
    lasts = small_talk.lasts_till(meaning)
    if lasts is None:
        return None
    from assistant.interpret.corrections import tells_an_end

    return None if _just_booked(turn) and tells_an_end(context) else lasts


def _just_answered(turn: _Turn) -> bool:
    """Whether the turn before was a question that was answered, and not long ago."""
    last = turn.turns[-1] if turn.turns else None
    asked = last is not None and last.outcome == "answered" and "about" in last.memo
    return last is not None and asked and turn.now - last.heard_at <= LAPSE


def _just_booked(turn: _Turn) -> bool:
    last = turn.turns[-1] if turn.turns else None
    return last is not None and last.outcome == "recorded" and turn.now - last.heard_at <= LAPSE


def _yes_or_no(turn: _Turn, meaning: Yes | No) -> None:
    """A yes or no where nothing was asked; a no to what has just been booked is asked about, since it may mean: take it back."""
    last = turn.turns[-1] if turn.turns else None
    if isinstance(meaning, No) and last is not None and _just_booked(turn):
        asked = mine(turn.now, TAKE_BACK, "undo", f'Take back "{last.heard}"?')
        turn.outcome, turn.parts, turn.memo["pending"] = "asked", [asked.question], asked.to_memo()
        return
    turn.answers.append(small_talk.yes_or_no(meaning))


def _answer_after(turn: _Turn, asks: list[Ask]) -> None:
    """A statement with a question: the question is answered over the world in which the statement is already true."""
    turn.answers = []
    for ask in asks:
        try:
            turn.answers.append(topics.answer(ask, turn.scene, turn.talk, turn.text))
        except (AskBack, CannotBe) as problem:
            turn.answers.append(Answer(str(problem)))


def _record(turn: _Turn) -> None:
    """Makes the turn's events and says what they change; they are acknowledged only once `_close` has appended them."""
    talk = turn.talk
    made = [checks.check({"id": new_id(), "heard_at": turn.now, "heard": turn.text, **draft}) for draft in turn.drafts]
    entries = [Entry(fields, seq=talk.seq + 1 + place) for place, fields in enumerate(made)]
    old = talk.recall.found({id for entry in entries if entry.kind in CORRECTIONS for id in targets(entry)})
    before = turn.scene.belief if room.compares(echo.meant(entries, old), turn.scene) else None
    after = talk.imagine(entries)
    scene = Scene(after, turn.now, talk.past(entries), turn.scene.last)
    said = echo.echo(entries, before, scene, old)
    turn.outcome, turn.recorded, turn.scene = "recorded", tuple(made), scene
    told = echo.told_now(entries, old)
    turn.parts = [said.text, beside.beside(told, scene), beside.again(told, turn.turns, turn.text, scene)]
    turn.memo["about"] = walk.about(echo.meant(entries, old), said.tank)
    along = beside.along(entries, scene)
    if along is not None:  # recorded, and yet a question stands: a bare yes stows what came along
        turn.memo["pending"] = mine(turn.now, ALONG, *along).to_memo()
    turn.cautions.extend([*hazards.after_events(told, scene), *hazards.of_the_site(entries, scene)])


def _ask_of_doubles(turn: _Turn, open_ones: Doubles) -> None:
    """What may have been told twice is asked about along with an answer that asks nothing itself, and remembered until it is settled."""
    from assistant import doubles

    left, pair = doubles.still_open(open_ones, turn.talk.recall.found)
    again = turn.outcome == "asked" and left.now_asked and "pending" not in turn.memo
    replied = left.pairs != doubles.open_in(turn.turns).pairs
    free = turn.outcome in ("recorded", "answered") and "pending" not in turn.memo
    asks = pair is not None and (again or (free and (replied or doubles.is_due(left, turn.now))))
    if asks and pair is not None and not again:
        turn.parts.append(doubles.question(pair, len(left.pairs) - 1, turn.scene))
    missed = left.now_asked and turn.outcome == "not_understood" and "pending" not in turn.memo
    turn.memo |= left.to_memo(turn.now.isoformat() if asks or missed else None)


def _close(turn: _Turn) -> Reply:
    """Writes the turn down and makes the reply."""
    for answer in turn.answers:
        turn.parts.append(answer.text)
        turn.cautions.extend(answer.cautions)
        turn.facts = {**turn.facts, **answer.facts}
        if answer.memo:
            turn.memo["about"] = answer.memo
    if turn.outcome in ("recorded", "answered"):
        earlier = next((one.memo["upkeep_shown"] for one in reversed(turn.turns) if "upkeep_shown" in one.memo), None)
        line, shown_at = beside.once_a_day(turn.scene, earlier)
        if turn.facts.get("topic") != "due":  # there it has been told already, or it is a calendar file
            turn.parts.append(line)
        if shown_at is not None:
            turn.memo["upkeep_shown"] = shown_at
    if turn.doubles is not None:
        _ask_of_doubles(turn, turn.doubles)
    text = (
        " ".join(part for part in turn.parts if part)
        if turn.outcome == "recorded"
        else "\n".join(part for part in turn.parts if part)
    )
    shown, keys = hazards.not_lately(turn.cautions, turn.turns, turn.now)
    if keys:
        turn.memo["cautions"] = keys
    if not turn.dry_run and not turn.talk.log.read_only:
        record = Turn(turn.now, turn.text, turn.outcome, text, turn.memo)
        booked = turn.talk.log.append(record, turn.recorded, seen_seq=turn.talk.seq if turn.recorded else None)
        turn.talk.confirm(booked)
    recorded = tuple(echo.as_recorded(fields) for fields in turn.recorded)
    return Reply(turn.text, turn.outcome, recorded, text, tuple(shown), turn.facts)
