"""What can be said, by subject; and what was not understood lately."""

from __future__ import annotations

from assistant.scene import Answer, Scene
from grammar.intents import Ask

SUBJECTS: dict[str, tuple[str, ...]] = {
    "using": ("shower used 2 gal", "two showers, 2 gal each", "Ana washed the dishes, one and a half gallons", "shower from 12.3 to 14.6"),
    "meter": ("meter 41.5", "reset the meter", "the rinse meter reads twelve"),
    "tanks": ("grey is half full", "dumped grey", "filled the fresh tank", "took 12 gal of grey away in the tote"),
    "asking": ("status", "can we make it to Sunday", "how many showers are left", "what if we skip showers", "why"),
    "trip": ("at Heron Bend till Sunday, water but no sewer", "staying till Tuesday", "next Cedar Flat from Sunday for four nights", "we left"),
    "people": ("we are four till Monday", "heading out", "we're back"),
    "dumping": ("what do I do when dumping", "opened the grey valve", "dumped black, then grey", "how much can I put in black"),
    "leaving": ("leaving", "next", "what's left", "put the hose away", "regulator is on the spigot"),
    "upkeep": ("what's due", "changed the water filter", "how much bleach to sanitise the tank", "remind me to check the hoses every 90 days"),
    "correcting": ("undo", "make that 3", "no, it was dishes", "I meant yesterday", "same again"),
    "setting up": ("grey tank 36 gal", "the tote holds 15 gal", "two people", "use litres"),
    "history": ("what did we use yesterday", "show the last ten", "who uses the most", "when did we last dump"),
    "pictures": ("show the tanks", "show the forecast", "show this week"),
    "plan": ("plan the next two weeks", "where should we dump", "two guests from Friday to Sunday", "laundry on Thursday, 8 gal"),
}  # fmt: skip


def answer(ask: Ask, scene: Scene) -> Answer:
    """A page in short: the subjects with one phrase each, or one subject's phrases."""
    subject = (ask.subject or "").casefold()
    found = next((name for name in SUBJECTS if subject and (subject in name or name in subject)), None)
    facts = {"topic": "help", "subjects": list(SUBJECTS)}
    if found is not None:
        lines = "\n".join(f"  {phrase}" for phrase in SUBJECTS[found])
        return Answer(f"For {found}, say for example:\n{lines}", {**facts, "phrases": list(SUBJECTS[found])})
    lines = "\n".join(f"  {name:11} {phrases[0]}" for name, phrases in SUBJECTS.items())
    return Answer(f"Say what happened or ask, in your own words:\n{lines}\nFor more: help dumping, help asking…", facts)
