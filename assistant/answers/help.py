"""What can be said, by subject."""

from __future__ import annotations

import re
from datetime import timedelta

from assistant.answers.glossary import meaning
from assistant.answers.trade import ADVICE
from assistant.say import amounts, times
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state import figures_safety as figures
from state.care import dose, frost

SUBJECTS: dict[str, tuple[str, ...]] = {
    "using": ("shower used 2 gal", "two showers, 2 gal each", "Ana washed the dishes, one and a half gallons", "shower from 12.3 to 14.6"),
    "meter": ("meter 41.5", "reset the meter", "meter before the shower 12.3", "the rinse meter reads twelve"),
    "tanks": ("grey is half full", "the sensor says black is two thirds", "filled the fresh tank", "how full is grey"),
    "asking": ("status", "can we make it to Sunday", "how many showers are left", "what if we skip showers", "when do we need to dump"),
    "why": ("why", "how do you know that", "explain grey"),
    "trip": ("at Heron Bend till Sunday, water but no sewer", "staying till Tuesday", "on the pump now", "we left"),
    "people": ("we are four till Monday", "that was Ana", "heading out", "we're back"),
    "plan": ("plan the next two weeks", "next Cedar Flat from Sunday for 4 nights", "two guests from Friday to Sunday", "laundry on Thursday, 8 gal"),
    "dumping": ("what do I do when dumping", "opened the grey valve", "dumped black, then grey"),
    "rinsing": ("how much can I put in black", "how long can I run the rinse", "put 8 gal in black through the rinse port"),
    "tote": ("took 12 gal of grey away in the tote", "the tote holds 15 gal", "what if we tote 15 gal on Friday"),
    "arriving": ("what do I do when we arrive", "next", "regulator is on the spigot"),
    "leaving": ("leaving", "next", "what's left", "put the hose away", 'add "lock the wet bay" to leaving'),
    "upkeep": ("what's due", "changed the water filter", "remind me to check the hoses every 90 days"),
    "clean water": ("how much bleach to sanitise the tank", "sanitised the fresh tank", "note: sulphur smell at this tap"),
    "pressure": ("pressure is 48 psi", "pressure limit 55 psi", "one gallon took 25 seconds"),
    "frost": ("low of 25 tonight",),
    "weight": ("how much does our water weigh", "cargo limit 1500 lb"),
    "history": ("what did we use yesterday", "show the last ten", "who uses the most", "when did we last dump"),
    "pictures": ("show the tanks", "show the forecast", "show this week", "save a picture of the forecast"),
    "correcting": ("undo", "make that 3", "no, it was dishes", "I meant yesterday", "delete the second shower", "same again"),
    "your words": ("when I say suds I mean dishes", "call it rock tumbling", "what did you not understand"),
    "setting up": ("grey tank 36 gal", "a second grey tank called galley, 30 gal", "two people", "use litres"),
}  # fmt: skip

ABOUT = {
    "using": "Say what the water was for, and how much if you know; else the usual amount is booked.",
    "meter": "A reading now and then is enough; what you log in between is a part of it.",
    "tanks": "What you see corrects what I believe, so tell me now and then.",
    "asking": "An answer about the future has its odds, and a no has a way out.",
    "why": "This prints the readings and the arithmetic behind the last number.",
    "trip": "Say where you are, until when, and whether there is water and a sewer.",
    "people": "Who is aboard changes how long the water lasts.",
    "plan": "Stops to come, guests and planned laundry go into every forecast.",
    "dumping": "Black first, then grey, so that grey rinses the hose.",
    "rinsing": "I say how much surely still fits, and count down the minutes in the chat.",
    "tote": "What is carried away leaves room, and its weight is told before you lift it.",
    "arriving": "One step after another; say next, done or skip.",
    "leaving": "One step after another; it is not complete while something is still outside.",
    "upkeep": "Intervals are yours to set, by days or by water through the filter.",
    "clean water": "Bleach by the size of the tank, with what to watch; what you note stays with the site.",
    "pressure": "What is above the limit is answered with the caution first.",
    "frost": "Say the low that is forecast; at freezing I remind you of hose and drains.",
    "weight": "By tank and in all, against a limit if you tell one.",
    "history": "By day, week, person, activity or stay.",
    "pictures": "Drawn as text, or kept as a file to send.",
    "correcting": "The last thing said is the one that is changed; an older entry goes by its name.",
    "your words": "Any word or abbreviation of your own can stand for one of mine.",
    "setting up": "Tell me the sizes once; set up asks for them again.",
}
ALSO = {
    "using": "use usage log logging shower showers bath dishes toilet flush laundry cooking drinking activity activities",
    "meter": "reading readings reset",
    "tanks": "tank level levels full sensor fresh grey gray black fill filling refill refilling topping",
    "asking": "ask question questions forecast odds future runway",
    "why": "explain arithmetic reason",
    "trip": "site sites stay stays hookup hookups pump stop stops",
    "people": "guests person party away",
    "plan": "planning plans itinerary",
    "dumping": "dump valve sewer",
    "rinsing": "rinse countdown",
    "tote": "haul hauling carry carrying",
    "arriving": "arrive arrival hooking",
    "leaving": "leave departure checklist list steps gear",
    "upkeep": "filter maintenance due reminders remind anode",
    "clean water": "bleach sanitise sanitising sanitize sanitizing disinfect chlorine dose taste notes note",
    "pressure": "flow regulator psi",
    "frost": "freeze freezing winter cold",
    "weight": "weigh heavy cargo",
    "history": "past week day yesterday",
    "pictures": "picture show draw svg",
    "correcting": "undo redo correct correction mistake wrong change amend",
    "your words": "teach teaching word words abbreviation abbreviations short names language",
    "setting up": "setup set up rig size sizes capacity units litres gallons settings",
}
"""Other words that lead to a subject."""

START = ("shower used 2 gal", "meter 41.5", "dumped grey", "can we make it to Sunday", "undo")


DRINKING = (
    "I count water and do not test it, so I can't tell whether it is safe to drink. Ask the site or have it tested; "
    "while in doubt drink other water, or ask me how much bleach for drinking water."
)

SAFE = "I count water, so whether that is safe I can't tell. Go by the maker's manual and the label, and while in doubt leave it."


def _after_sanitising(scene: Scene) -> str | None:
    """While bleach may still be in the tank: how long it stands, and what comes before anybody drinks."""
    at = dose.sanitised_of_late(scene.world, scene.now)
    if at is None:
        return None
    ends = at + timedelta(hours=figures.CONTACT_HOURS.value)
    stands = f"let it stand until {times.exactly(ends, scene.now)}, then flush" if ends > scene.now else "flush"
    return (
        f"Not with bleach in it: {stands} until no tap smells of it and a test strip shows less than "
        f"{figures.DRINKING_LIMIT_MG_PER_LITRE.value:g} mg/L. {DRINKING}"
    )


def frost_to_come(scene: Scene) -> str:
    """What was told of the cold to come; weather I cannot know."""
    cold = frost.ahead(scene.world, scene.now)
    if cold is None:
        return "I have no forecast of my own, and no frost was told. Tell me the low, for example: low of 25 tonight."
    how, low, at = cold
    told = f"You told me a low of {amounts.temperature(low, scene.units)} {times.on(times.moment(at, scene.now))}."
    return f"{told} {'That may come close to freezing' if how == 'near' else 'That freezes a hose'}: say frost for the steps."


def answer(ask: Ask, scene: Scene) -> Answer:
    """A page in short: a few phrases and the subjects; or one subject's sentence and phrases. Aloud, the same in a sentence or two."""
    facts = {"topic": "help", "subjects": list(SUBJECTS)}
    wanted = (ask.subject or "").casefold()
    if wanted == "safe to drink":
        return Answer(_after_sanitising(scene) or DRINKING, {**facts, "subject": wanted})
    if wanted in ADVICE:
        return Answer(ADVICE[wanted], {**facts, "subject": wanted})
    if wanted == "frost to come":
        return Answer(frost_to_come(scene), {**facts, "subject": wanted})
    if wanted == "safe to do":
        return Answer(SAFE, {**facts, "subject": wanted})
    explained = meaning(wanted)
    if explained is not None:
        return Answer(explained, {**facts, "subject": wanted})
    found = subject_of(wanted) if wanted else None
    if found is not None:
        lines = "\n".join(f"  {phrase}" for phrase in SUBJECTS[found])
        spoken = f"{ABOUT[found]} Say for example: {'; or '.join(SUBJECTS[found][:3])}."
        facts |= {"subject": found, "phrases": list(SUBJECTS[found]), "spoken": spoken}
        return Answer(f"{ABOUT[found]} Say for example:\n{lines}", facts)
    missing = f"I have no help with {wanted}. " if wanted else ""
    lines = "\n".join(f"  {phrase}" for phrase in START)
    listed = ", ".join(SUBJECTS)
    facts["spoken"] = (
        f"{missing}Say what happened, or ask: for example, {'; or '.join(START[:4])}. There is help with {listed}."
    )
    return Answer(
        f"{missing}Say what happened, or ask, for example:\n{lines}\nThere is help with {listed}. For example: help dumping",
        facts,
    )


def subject_of(wanted: str) -> str | None:
    """The subject that these words ask about: by its name, by another word for it, or by a phrase of it."""
    words = [word for word in re.findall(r"[a-z]+", wanted) if len(word) > 1]
    for name in SUBJECTS:
        if wanted in (name, name.removesuffix("ing")):
            return name
    for ways in (
        dict(zip(SUBJECTS, (name.split() for name in SUBJECTS), strict=True)),
        {name: text.split() for name, text in ALSO.items()},
    ):
        for word in words:
            found = next((name for name, others in ways.items() if word in others), None)
            if found is not None:
                return found
    return next(
        (
            name
            for name, phrases in SUBJECTS.items()
            if any(word in " ".join(phrases).casefold().split() for word in words)
        ),
        None,
    )
