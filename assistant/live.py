"""The conversation as a screen needs it: the gauges of this moment, a running rinse, what others logged.

Knows no terminal and no prompt: the chat and the plain prompt stand on it, and tests drive it by hand. Everything costly is kept
until the log moves or time has passed. May import: `talk`, `gauges`, `completion`, `habit`, `pipes`, `show`, state.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from assistant import clock, completion, gauges, habit, names, pipes, show
from assistant.reply import Reply
from assistant.say import odds, times
from assistant.scene import Scene
from assistant.talk import Conversation
from state.care import rinse
from state.log.store import Turn

REMEMBERED = 500
"""How many turns of the log the history goes back."""

NEAR = 12
"""How many turns back a rinse that runs unbooked is looked for."""

GAUGES_KEEP = timedelta(minutes=1)
NOTE_KEEPS = timedelta(minutes=10)
GHOSTS_KEPT = 50
GOODBYES = frozenset(("bye", "quit", "exit", "good bye", "goodbye", ":q"))
HEARD = ("recorded", "answered")


def ticking(start: datetime | None) -> Callable[[], datetime]:
    """A clock for a chat: the device's, or one that runs on from a pretended moment."""
    if start is None:
        return clock.now
    began = clock.now()
    return lambda: start + (clock.now() - began)


class Live:
    """One open conversation with what a screen keeps of it."""

    def __init__(self, talk: Conversation, moment: Callable[[], datetime] = clock.now, dry_run: bool = False) -> None:
        self.talk, self.moment, self.dry_run = talk, moment, dry_run
        talk.refresh()
        self._seq = talk.log.last_seq()
        self._turns: list[Turn] = talk.log.turns(last=REMEMBERED)
        self._gauges: tuple[datetime, list[gauges.Gauge], str] | None = None
        self._note: tuple[datetime, str] | None = None
        self._known: completion.Known | None = None
        self._said: list[habit.Said] | None = None
        self._ghosts: dict[tuple[str, datetime], str] = {}
        self._drawn: tuple[tuple[object, ...], list[gauges.Row]] | None = None
        self._rinse: rinse.Running | None = None
        self.notice = ""
        """What another process has logged meanwhile, until the next phrase is said."""

    # ------------------------------------------------------------ turns

    @property
    def is_new(self) -> bool:
        """Nothing was ever said on this log, and no tank is known."""
        return not self._turns and not self._seq and not self.talk.world.rig.tanks

    @property
    def units(self) -> str:
        """The units of a rig that is known; "" while nothing has been told."""
        return "" if self.is_new else self.talk.world.rig.units

    @property
    def turns(self) -> list[Turn]:
        return self._turns

    def say(self, text: str) -> Reply:
        """Hears one line, which may begin with its time. Raises LogError."""
        reply = pipes.hear(self.talk, pipes.line(text), self.moment(), self.dry_run)
        self.notice = ""
        if reply.outcome in HEARD or not self.dry_run:
            self._turns = [*self._turns[-REMEMBERED:], Turn(self.moment(), text, reply.outcome, reply.answer, {})]
        self._take_in()
        return reply

    def poll(self) -> bool:
        """True if another process has appended to the log since; its last words become the notice. Raises LogError."""
        if self.talk.log.last_seq() == self._seq:
            return False
        self._take_in()
        latest = self.talk.log.turns(last=1)
        self._turns = self.talk.log.turns(last=REMEMBERED)
        self.notice = f"logged elsewhere: {show.plain(latest[-1].heard)}" if latest else "the log has grown"
        return True

    def _take_in(self) -> None:
        """What was appended, by this turn or by somebody else, becomes the world that the screen shows."""
        self.talk.refresh()
        self._seq = self.talk.log.last_seq()
        self._gauges = self._note = self._known = self._said = self._drawn = None
        self._ghosts = {}
        self._rinse = rinse.running(self.talk.world, self.moment()) or self._told_rinse()

    def _told_rinse(self) -> rinse.Running | None:
        """A rinse started by the clock while its flow is still asked for: it runs, though nothing of it is booked."""
        about = (turn.memo["about"] for turn in reversed(self.talk.log.turns(last=NEAR)) if "about" in turn.memo)
        last: dict[str, object] = next(about, {})
        if "rinse_run" not in last:
            return None
        from assistant.answers.rinse import told_run

        return told_run(last, self.moment())

    # ------------------------------------------------------------ what is on the screen all the time

    def rows(self, width: int, glyphs: gauges.Glyphs = gauges.UNICODE) -> list[gauges.Row]:
        """The gauges of this moment in at most `width` columns."""
        found, unit = self._current()
        note = self.note()
        by = (found, width, glyphs, note)
        if self._drawn is None or self._drawn[0] != by:
            self._drawn = by, gauges.rows(found, unit, width, glyphs, note)
        return self._drawn[1]

    def in_words(self) -> str:
        """The gauges for a screen reader; "" while no tank is known."""
        found, unit = self._current()
        return gauges.words(found, unit)

    def _current(self) -> tuple[list[gauges.Gauge], str]:
        now = self.moment()
        if self._gauges is None or now - self._gauges[0] > GAUGES_KEEP:
            self._gauges = (now, *gauges.gauges_of(self._scene(now).belief, self.talk.world))
        return self._gauges[1], self._gauges[2]

    def note(self) -> str:
        """ "till Sunday at 11:00: likely, 82 %" for a stay whose end is known."""
        now, until = self.moment(), self.talk.world.stay.until
        if until is None or until <= now or not self.talk.world.rig.tanks:
            return ""
        if self._note is None or now - self._note[0] > NOTE_KEEPS:
            from state.ahead import forecast

            chance = forecast.make_it(self.talk.world, now, until).probability
            self._note = (now, f"till {times.exactly(until, now)}: {odds.said(chance)}")
        return self._note[1]

    def _scene(self, now: datetime) -> Scene:
        return Scene(self.talk.world, now, self.talk.past())

    # ------------------------------------------------------------ the rinse

    def countdown(self) -> rinse.Running | None:
        """The rinse that runs now, with what is left of it."""
        running = self._rinse
        if running is None:
            return None
        left = running.until - self.moment()
        return rinse.Running(running.tank, running.since, running.until, left) if left > timedelta(0) else None

    def rinse_ended(self) -> str:
        """The tank whose rinse has come to its end since this was last asked; "" if none has."""
        if self._rinse is None or self.countdown() is not None:
            return ""
        tank, self._rinse = self._rinse.tank, None
        return tank

    # ------------------------------------------------------------ while a line is typed

    def known(self) -> completion.Known:
        if self._known is None:
            said = (turn.heard for turn in reversed(self._turns) if turn.outcome in HEARD and "\n" not in turn.heard)
            self._known = completion.known(names.names_of(self.talk.world), said)
        return self._known

    def ghost(self, typed: str) -> str:
        """What usually follows at this hour; nothing on an empty line while a question is open."""
        if not typed and self._turns and self._turns[-1].outcome == "asked":
            return ""
        if self._said is None:
            self._said = [habit.Said(turn.heard_at, turn.heard) for turn in self._turns if turn.outcome in HEARD]
        now = self.moment().replace(
            second=0, microsecond=0
        )  # a habit does not change within the minute; the screen asks at every key
        if (typed, now) not in self._ghosts:
            self._ghosts = dict(list(self._ghosts.items())[-GHOSTS_KEPT:])
            self._ghosts[typed, now] = habit.ghost(typed, self._said, now)
        return self._ghosts[typed, now]


def left(running: rinse.Running) -> str:
    """ "3:12", rounded up to the second so that it ends at 0:00."""
    seconds = -(-int(running.left.total_seconds() * 1000) // 1000)
    return f"{seconds // 60}:{seconds % 60:02d}"


def is_goodbye(text: str) -> bool:
    return text.strip().casefold().rstrip(".!") in GOODBYES


def said_lines(text: str) -> list[str]:
    """What was entered, as the lines to be heard one by one; blank ones are passed over."""
    return [line.strip() for line in text.splitlines() if line.strip()]
