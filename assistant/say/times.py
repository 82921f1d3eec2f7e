"""Moments as a person says them: the day's name nearby, the date where it could be mistaken."""

from __future__ import annotations

from datetime import datetime, timedelta

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")  # fmt: skip


def clock(at: datetime) -> str:
    """ "7:40", "noon", "midnight"; 24-hour, so that a speech engine cannot trip over am and pm."""
    if at.minute == 0 and at.hour in (0, 12):
        return "noon" if at.hour else "midnight"
    return f"{at.hour}:{at.minute:02d}"


def part(at: datetime) -> str:
    """Part of the day: early morning, morning, midday, afternoon, evening, night."""
    for until, name in ((5, "night"), (11, "morning"), (14, "midday"), (18, "afternoon"), (21, "evening")):
        if at.hour < until:
            return name
    return "night"


def date(at: datetime, now: datetime) -> str:
    """ "14 June", with the year where it is another one."""
    text = f"{at.day} {MONTHS[at.month - 1]}"
    return text if at.year == now.year else f"{text} {at.year}"


def day(at: datetime, now: datetime) -> str:
    """ "today", "tomorrow", "yesterday", "Sunday" within the next six days, else "Sunday 21 June"."""
    at = at.astimezone(now.tzinfo)
    apart = (at.date() - now.date()).days
    if apart in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[apart + 1]
    name = DAYS[at.weekday()]
    return name if 0 < apart < 7 else f"{name} {date(at, now)}"


def full_day(at: datetime, now: datetime) -> str:
    """The day with its date: "Sunday 14 June"."""
    at = at.astimezone(now.tzinfo)
    return f"{DAYS[at.weekday()]} {date(at, now)}"


def moment(at: datetime, now: datetime) -> str:
    """A rough moment of the future or past: "this evening", "tomorrow morning", "Sunday around midday", "the morning of Sunday 21 June",
    two weeks away "Sunday 28 June"."""
    at = at.astimezone(now.tzinfo)
    name = part(at)
    if name == "night" and at.hour < 5:
        at, name = at - timedelta(days=1), "night"
    apart = (at.date() - now.date()).days
    if apart >= 14:
        return f"{DAYS[at.weekday()]} {date(at, now)}"
    said = day(at, now)
    if said == "today":
        return "tonight" if name == "night" else "around midday" if name == "midday" else f"this {name}"
    if said[-1].isdigit() or " " in said:  # with its date, which stands last
        return f"around midday on {said}" if name == "midday" else f"the {name} of {said}"
    return f"{said} around midday" if name == "midday" else f"{said} {name}"


def on(said: str) -> str:
    """A moment as it follows a verb: "on Sunday evening", "on the morning of Sunday 21 June", "tomorrow", "around midday on Sunday 21 June"."""
    return f"on {said}" if said.split()[0] in (*DAYS, "the") else said


def by(at: datetime, now: datetime) -> str:
    """ "by this evening", "by tomorrow midday": the latest moment, as rough as it is."""
    return f"by {moment(at, now).replace('around ', '')}"


def exactly(at: datetime, now: datetime) -> str:
    """ "today at 7:40", "Friday at 10:00", "Friday 19 June at 10:00"."""
    return f"{day(at, now)} at {clock(at.astimezone(now.tzinfo))}"


def happened(at: datetime, now: datetime) -> str:
    """The moment of something done, to follow a verb: "yesterday at 7:40", "on Sunday 7 June at noon"."""
    return on(exactly(at, now))


def begun(text: str) -> str:
    """The text as a sentence begins."""
    return text[:1].upper() + text[1:]


def named(said: str) -> str:
    """A time as somebody typed it, its days and months written as names: "on sunday" is "on Sunday"."""
    return " ".join(_NAMES.get(word.casefold(), word) for word in said.split(" "))


_NAMES = {name.casefold(): name for name in (*DAYS, *MONTHS) if name not in ("March", "May")}


def listed(items: list[str], last: str = "and") -> str:
    """ "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"
