"""What is said without being a report or a question of its own: plans, a stray yes, a bare number, another day after a question."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.interpret.booked_here import own_entries
from assistant.interpret.context import LATELY, Context
from assistant.say import times
from assistant.scene import Answer, AskBack, CannotBe, Scene
from grammar.intents import Amount, Ask, Intent, NotAReport, Pressure, ReadMeter, Stay, Valve
from grammar.reading import Reading
from grammar.rejoinders import Again, Amend, Fragment, No, Yes
from grammar.when import When
from state.lightclass import replace
from state.log.records import Turn

HEARD_AS = {
    "negation": "I heard that it did not happen, so nothing is recorded.",
    "kept": "All right, it stays as it is.",
    "intention": "I heard a plan, so nothing is recorded. Tell me once it's done.",
    "doubt": "I heard a doubt, so nothing is recorded. Tell me once you are sure.",
    "hypothesis": "I heard an if, so nothing is recorded. Ask: what if we skip showers.",
    "over": "That tells of what was, so nothing is recorded. Tell me how it is now, for example: we're back.",
    "question": "That is a question I can't answer, so nothing is recorded. Say help for those I can.",
    "reminder": "I heard a reminder, so nothing is recorded. For a fixed one say: remind me to check the hoses every 90 days.",
    "other_people": "That is somebody else's water, so nothing is recorded.",
    "elsewhere": "That took no water of ours, so nothing is recorded.",
    "reported": "I heard what somebody said, so nothing is recorded. Tell me what happened here.",
    "greeting": "Hello. Tell me what you did with water, or ask; say help for examples.",
    "thanks": "You're welcome.",
    "name": "Good to know, and nothing is recorded. What you tell of yourself is kept without a name; to have it under yours, say it "
    "with your name, for example: Ana showered, 2 gal.",
    "farewell": "Goodbye.",
    "remark": "Nothing to book in that, so nothing is recorded.",
}


def not_a_report(meaning: NotAReport) -> Answer:
    """Understood, and rightly not booked: says so in a sentence."""
    if meaning.why == "visitor":
        raise AskBack(
            "Are they aboard with you? Then say it with a name, for example: Ana showered, 2 gal. Nothing is recorded yet.",
            "statement",
        )
    return Answer(HEARD_AS.get(meaning.why, "Nothing is recorded."), {"topic": "not_a_report", "why": meaning.why})


def did_you_mean(reading: Reading) -> str:
    """The question whether a phrase was meant as it was mended, or as far as it was understood."""
    if not reading.left:
        return f'Did you mean "{reading.as_read}"?'
    left = " or ".join(f'"{one}"' for one in reading.left)
    if reading.denied:
        return f'I heard {left}. Shall I book the rest: "{reading.as_read}"?'
    return f'I don\'t understand {left}. Shall I book the rest: "{reading.as_read}"?'


def yes_or_no(meaning: Yes | No) -> Answer:
    """A yes or no when nothing was asked."""
    if isinstance(meaning, Yes):
        return Answer("There is no open question, so nothing is recorded.")
    return Answer("All right; nothing was changed.")


def follow_up(meaning: Fragment, scene: Scene) -> Ask | None:
    """ "Thursday?" after a question about the future is that question for another day; a tank's name after a status, that tank."""
    if meaning.amount is not None and scene.last.get("topic") == "dose" and meaning.amount.unit == "percent":
        return Ask(
            topic="dose", tank=scene.last.get("tank"), percent=meaning.amount.value
        )  # "7.5 percent": of the bleach
    if meaning.amount is not None or not scene.last:
        return None
    if meaning.activity is not None:
        goes_on = meaning.text.casefold().startswith(("and ", "or "))
        return _otherwise(Fragment(activity=meaning.activity), meaning, scene) if goes_on else None
    days = (meaning.minutes or 0.0) / 1440
    if days >= 1 and meaning == Fragment(minutes=meaning.minutes, longer=meaning.longer, text=meaning.text):
        return _on(days, meaning.longer, scene)
    moment = meaning.until or meaning.when
    if moment is not None and scene.last.get("topic") in ("make_it", "what_if", "runway", "plan"):
        return Ask(again=True, topic=str(scene.last["topic"]), until=moment)
    if len(meaning.tanks) == 1 and scene.last.get("topic") in ("status", "make_it", "runway"):
        return replace(Ask(topic="status"), tank=meaning.tanks[0])
    return None


def read_after(meaning: Fragment, scene: Scene) -> ReadMeter | None:
    """A bare number that can be the reading after a use whose reading before was told."""
    amount, opened = meaning.amount, scene.world.meters["inlet"].open_before
    if amount is None or amount.value is None or amount.high is not None or opened is None:
        return None
    bare = meaning == Fragment(amount=amount, when=meaning.when, text=meaning.text)
    if not bare or amount.unit not in (None, "gallon", "litre") or not (meaning.when is None or meaning.when.now):
        return None
    after = ReadMeter(reading=amount, moment="after", text=meaning.text)
    return after if Context(scene).volume(amount).litres >= opened[1] else None


_TURNED = frozenset("turned down back dialed dialled set brought backed knocked adjusted screwed".split())


def pressure_after(meaning: Fragment, context: Context) -> Pressure | None:
    """ "turned it down to 50" right after a pressure was told; a number and nothing else may be any reading."""
    amount = meaning.amount
    bare = meaning == Fragment(amount=amount, when=meaning.when, text=meaning.text)
    if not bare or amount is None or amount.value is None or amount.unit not in (None, "psi", "bar"):
        return None
    if _TURNED.isdisjoint(meaning.text.casefold().split()) or not (meaning.when is None or meaning.when.now):
        return None
    last = next(iter(own_entries(context)[-1:]), None)
    lately = last is not None and last.kind == "pressure" and context.now - last.heard_at <= LATELY
    return Pressure(amount=amount, text=meaning.text) if lately or amount.unit is not None else None


AHEAD = frozenset({"make_it", "what_if", "runway", "plan", "showers"})
OF_A_TANK = frozenset({"status", "make_it", "what_if", "runway", "weight", "dose", "rinse_limit"})
OF_A_USE = frozenset({"activity", "showers"})


def asked_otherwise(meaning: Amend, scene: Scene) -> Ask | None:
    """ "sorry, I meant Saturday" right after a question: that question with another day, tank or use. None where what is corrected is
    nothing that the question spoke of, and so must be what was booked before it."""
    words = meaning.text.casefold().replace(",", " ").split()
    if meaning.whole is not None or meaning.named or meaning.took or meaning.whose is not None or "was" in words:
        return None
    return _otherwise(meaning.change, meaning, scene)


def _otherwise(change: Fragment, said: Amend | Fragment, scene: Scene) -> Ask | None:
    """The last question with the one thing changed that is named, if it is a question of such things."""
    topic, moment = str(scene.last.get("topic")), change.until or change.when
    rest = replace(change, when=None, until=None, tanks=(), activity=None, text="")
    if rest != Fragment() or [moment is not None, bool(change.tanks), change.activity is not None].count(True) != 1:
        return None
    again = Ask(topic=topic, again=True, text=said.text)
    if moment is not None and topic in AHEAD and not _behind(moment):
        return replace(again, until=moment)
    if moment is not None and topic == "history":
        return replace(again, when=moment)
    if len(change.tanks) == 1 and topic in OF_A_TANK:
        return replace(again, tank=change.tanks[0])
    return replace(again, activity=change.activity) if change.activity is not None and topic in OF_A_USE else None


LASTING = ("make it to ", "make it till ", "make it til ", "make it until ", "make it through ")


def lasts_till(meaning: Amend) -> Ask | None:
    """ "Make it to Friday", which changes an end that was told just before, and else asks whether it lasts."""
    until = meaning.change.until
    if until is None or meaning.change != Fragment(until=until, text=meaning.change.text):
        return None
    asks = meaning.text.casefold().startswith(LASTING)
    return Ask(topic="make_it", until=until, text=meaning.text) if asks else None


def _behind(moment: When) -> bool:
    """Whether a time lies behind whatever now is: "yesterday", "last night", "an hour ago"."""
    return (moment.day_offset or 0) < 0 or moment.which == "last" or (moment.seconds or 0) < 0


def why_not_understood(heard: str, answer: str) -> Answer:
    """ "Why?" after words that were not understood, or could not be: what was said of them."""
    reason = answer.partition("\n")[0].strip()
    return Answer(f'Of "{heard}": {reason} Say help for what I understand.', {"topic": "explain"})


def stays_on(meaning: Fragment) -> Stay | None:
    """The stay that "one more night" or "two more nights, so Monday now" may be about."""
    nights, until = (meaning.minutes or 0.0) / 1440, meaning.until or meaning.when
    bare = Fragment(
        when=meaning.when, until=meaning.until, minutes=meaning.minutes, longer=meaning.longer, text=meaning.text
    )
    if not meaning.longer or nights < 1 or nights != round(nights) or meaning != bare:
        return None
    if until is not None:
        return Stay(until=until, text=meaning.text) if until.has_day else None
    return Stay(nights=nights, longer=True, text=meaning.text)


def _on(days: float, longer: bool, scene: Scene) -> Ask | None:
    """ "Another week", "three days" after a question about the future."""
    if scene.last.get("topic") not in ("make_it", "what_if", "runway", "plan"):
        return None
    return Ask(again=True, topic=str(scene.last["topic"]), nights=days, subject="longer" if longer else None)


def ask_about_fragment(meaning: Fragment, scene: Scene) -> None:
    """A bare amount, name or day: asks what it is. Always raises (AskBack or CannotBe)."""
    amount: Amount | None = meaning.amount
    if amount is not None and amount.value is not None and amount.value < 0:
        raise CannotBe("An amount can't be less than nothing, so nothing was recorded.")
    if amount is not None and len(meaning.tanks) == 1 and amount.unit not in ("fraction", "percent"):
        tank = meaning.tanks[0]
        if amount.value is None:  # "grey, but not all of it"
            raise AskBack(f"How full is {tank} now? Say: {tank} is at …", "statement")
        raise AskBack(
            f"Does {tank} hold {amount.text or amount.value} in all, or is that what's in it? Say: {tank} holds …, or: {tank} is at …"
            + (", or: put … in fresh" if tank == "fresh" else ""),
            "statement",
        )
    if amount is not None and amount.unit is None:
        raise AskBack(
            f"Is {amount.text or amount.value} what the meter says? Or tell me what it was for.", "what", ["meter"]
        )
    if amount is not None:
        raise AskBack(f"{times.begun(amount.text or 'that')} for what?", "what")
    if meaning.tanks or meaning.every:
        names = " and ".join(meaning.tanks) or "the tanks"
        raise AskBack(f"What about {names}: dumped, or how full?", "statement")
    if meaning.people:
        raise AskBack(f"What did {meaning.people[0]} do?", "statement")
    raise AskBack("What about it? Say help to see what I understand.", "statement")


def valve_told(meaning: Fragment, context: Context) -> Valve | None:
    """ "close the grey valve": an order to oneself, of which is asked whether it is done; None if it is of no one tank."""
    rest = replace(meaning, open=None, tanks=(), text="")
    if rest != Fragment() or len(meaning.tanks) != 1 or meaning.open is None:
        return None
    state = "open" if meaning.open else "closed"
    context.guard("valve-order", f"Is the {meaning.tanks[0]} valve {state} now?", "yes", ["yes", "no"])
    return Valve(tank=meaning.tanks[0], open=meaning.open, text=meaning.text)


def and_that_tank(meaning: Intent, text: str, turns: Sequence[Turn], context: Context) -> Again | None:
    """ "and black" right after "dumped grey" tells of black what was told of grey; with a question mark it asks."""
    if not isinstance(meaning, Ask) or not meaning.again or meaning.tank is None or meaning.until is not None:
        return None
    if not turns or turns[-1].outcome != "recorded" or "?" in text or not text.casefold().startswith("and "):
        return None
    last = context.latest(lambda entry: entry.kind not in ("meter", "use"))
    same = last is not None and last.kind == "dump" and last.tank != meaning.tank and last.heard == turns[-1].heard
    return Again(tanks=(meaning.tank,), text=meaning.text) if same else None
