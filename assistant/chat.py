"""The chat on a terminal. Only files named `chat…` import prompt_toolkit.

Below the line that is typed stand the gauges, always of this moment: they move with each answer, with time, and when another process
logs. A rinse that was started counts down there and rings. All that is said goes through `live.py`; nothing is decided here.
"""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import sys
from collections.abc import Iterable, Sequence

from prompt_toolkit import PromptSession
from prompt_toolkit.auto_suggest import AutoSuggest, Suggestion
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition, is_done
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.history import History
from prompt_toolkit.layout import ConditionalContainer, FloatContainer, FormattedTextControl, HSplit, Layout, Window
from prompt_toolkit.layout.menus import CompletionsMenu, MultiColumnCompletionsMenu
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.renderer import CPR_Support
from prompt_toolkit.shortcuts import CompleteStyle
from prompt_toolkit.styles import Style

from assistant import begin, chat_keys, completion, gauges, printing
from assistant.dialogue import CANCELLED, dialogue
from assistant.live import Live, left, ticking
from assistant.options import Options
from assistant.printing import PROMPT, Screen
from assistant.reply import Reply
from state.log.faults import LogError

MENUS = (CompletionsMenu, MultiColumnCompletionsMenu)
TICK_SECONDS = 0.5
POLL_EVERY = 2
"""The log is asked every so many ticks whether it has grown."""

RINGS = 3
RING_EVERY_SECONDS = 4.0
SHORTEST_SCREEN = 6
"""With fewer lines than this the gauges make way for the words."""

STYLE = Style.from_dict({
    "rod.fresh": "#2a7f9e", "rod.grey": "#8a8478", "rod.black": "#7a5566", "rod.damp": "#8795a1", "rod.dry": "#8795a1",
    "name": "", "figure": "bold", "figure.tight": "bold underline #c0563c", "unit": "", "note": "#8795a1",
    "alert": "bold", "offer": "", "offer.chosen": "bold underline", "notice": "italic", "auto-suggestion": "#8795a1",
})  # fmt: skip
STYLE_PLAIN = Style.from_dict(
    {"figure.tight": "bold underline", "alert": "bold", "offer.chosen": "underline", "auto-suggestion": "underline"}
)


def run(chosen: Options) -> int:
    """Holds the chat until `bye` or Ctrl-D. Returns the exit status; raises LogError if the log cannot be opened."""
    with begin.conversation(chosen) as talk:
        live = Live(talk, ticking(chosen.now), chosen.dry_run)
        gc.freeze()  # what is loaded by now stays: no pause between a phrase and its answer to look through it all
        try:
            return asyncio.run(Chat(live).hold())
        except KeyboardInterrupt:
            return 0


class Chat:
    """The screen: one line to type in, the gauges under it."""

    def __init__(self, live: Live) -> None:
        self.live = live
        self.colour = not os.environ.get("NO_COLOR")
        self.unicode = printing.can_unicode(sys.stdout)
        self.alert = ""
        self._rings: list[float] = []
        self.prompt: PromptSession[str] = PromptSession(
            PROMPT,
            history=Heard(live),
            completer=Offers(live),
            auto_suggest=Ghost(live),
            placeholder=self._ghost,
            key_bindings=chat_keys.bindings(self._empty_ghost),
            style=STYLE if self.colour else STYLE_PLAIN,
            color_depth=None if self.colour else ColorDepth.DEPTH_1_BIT,
            complete_style=CompleteStyle.READLINE_LIKE,
            complete_while_typing=False,
            search_ignore_case=True,
            prompt_continuation=lambda width, number, wrapped: "" if wrapped else "  ",
        )
        self._lay_out()

    def _lay_out(self) -> None:
        """The gauges go under the prompt, at the foot of the screen. A terminal that cannot tell where the cursor is gets them too."""
        app = self.prompt.app
        for part in self.prompt.layout.walk():  # what Tab offers stands at the foot, not in a menu over the words
            if isinstance(part, FloatContainer):
                part.floats = [one for one in part.floats if not isinstance(one.content, MENUS)]
        foot = Window(FormattedTextControl(self._foot), dont_extend_height=True, wrap_lines=False, style="class:foot")
        settled = Condition(
            lambda: app.renderer.height_is_known or app.renderer.cpr_support == CPR_Support.NOT_SUPPORTED
        )
        body = HSplit([self.prompt.layout.container, ConditionalContainer(foot, ~is_done & settled)])
        app.layout = self.prompt.layout = Layout(body, focused_element=self.prompt.default_buffer)
        app.renderer.cpr_not_supported_callback = app.invalidate

    # ------------------------------------------------------------ the dialogue

    async def hold(self) -> int:
        ticking_on = asyncio.ensure_future(self._tick())
        talk = dialogue(self.live, self)
        try:
            next(talk)
            while True:
                talk.send(await self._line())
        except StopIteration as done:
            return int(done.value)
        finally:
            ticking_on.cancel()

    async def _line(self) -> str | None:
        self.prompt.app.erase_when_done = False
        try:
            text = await self.prompt.prompt_async()
        except KeyboardInterrupt:
            return CANCELLED
        except EOFError:
            return None
        finally:
            signal.signal(signal.SIGINT, _not_now)
        self._quiet()
        return text

    def opening(self) -> str:
        return "Say what happened, or ask. Tab completes, help lists examples, bye leaves."

    def answer(self, line: str, reply: Reply, several: bool) -> None:
        if several:
            self.tell(f"{PROMPT}{line}")
        print(printing.printed(reply, self._screen(), wrap=True), flush=True)

    def news(self, text: str) -> None:
        """Stands at the foot."""

    def _screen(self) -> Screen:
        return Screen(self.prompt.output.get_size().columns, self.unicode)

    def tell(self, text: str) -> None:
        """The chat's own words, broken between words; a reply comes laid out already."""
        if text:
            print(printing.wrapped(text, self._screen().width), flush=True)

    # ------------------------------------------------------------ time

    async def _tick(self) -> None:
        """Looks after the countdown and the log, and has the screen drawn anew only when something on it has changed."""
        shown: object = None
        loop = asyncio.get_running_loop()
        beat = 0
        while True:
            await asyncio.sleep(TICK_SECONDS)
            beat += 1
            try:
                if beat % POLL_EVERY == 0:
                    self.live.poll()
                ended = self.live.rinse_ended()
                if ended:
                    self.alert = f"The rinse of {ended} has had its time: shut the rinse tap now."
                    self._rings = [loop.time() + n * RING_EVERY_SECONDS for n in range(RINGS)]
                self._ring(loop.time())
                now = self._foot()
            except LogError:
                continue  # said when the next phrase is heard
            if now != shown:
                shown = now
                self.prompt.app.invalidate()

    def _ring(self, time: float) -> None:
        if self._rings and time >= self._rings[0]:
            self._rings.pop(0)
            self.prompt.output.bell()
            self.prompt.output.flush()

    def _quiet(self) -> None:
        self.alert, self._rings = "", []

    # ------------------------------------------------------------ the foot of the screen

    def _foot(self) -> StyleAndTextTuples:
        """The gauges, and under them one line for what is urgent, offered or new."""
        size = self.prompt.output.get_size()
        glyphs = gauges.UNICODE if self.unicode else gauges.ASCII
        rows: list[gauges.Row] = []
        if size.rows >= SHORTEST_SCREEN:
            rows = self.live.rows(size.columns, glyphs)
        extra = self._extra(size.columns)
        if extra:
            rows = [*rows, extra]
        found: StyleAndTextTuples = []
        for n, row in enumerate(rows):
            found += [("", "\n")] if n else []
            found += [(style, text) for style, text in row]
        return found

    def _extra(self, width: int) -> gauges.Row:
        running = self.live.countdown()
        if self.alert:
            return [("class:alert", f"! {self.alert}"[:width])]
        state = self.prompt.default_buffer.complete_state
        if state is not None and len(state.completions) > 1:
            return offered([one.text for one in state.completions], state.complete_index, width)
        if running is not None:
            return [("class:alert", f"rinsing {running.tank}: {left(running)} left"[:width])]
        if self.live.notice:
            return [("class:notice", f"({self.live.notice})"[:width])]
        return []

    def _ghost(self) -> StyleAndTextTuples:
        text = self._empty_ghost("")
        return [("class:auto-suggestion", text)] if text else []

    def _empty_ghost(self, typed: str) -> str:
        """The habit of this hour for an empty line, while nothing else is asked."""
        return self.live.ghost(typed)


def _not_now(number: int, frame: object) -> None:
    """Ctrl-C cancels a line; while one is being answered there is none, and a turn is never broken off half-way."""


def offered(texts: Sequence[str], chosen: int | None, width: int) -> gauges.Row:
    """Completions on one line; the chosen one stands in brackets, and the line begins with it when it would not fit otherwise."""
    shown = [f"[{text}]" if n == chosen else text for n, text in enumerate(texts)]
    first = 0
    if chosen is not None and len("  ".join(shown[: chosen + 1])) > width:
        first = chosen
    row: gauges.Row = []
    for n in range(first, len(shown)):
        text = ("  " if row else "") + shown[n]
        if gauges.length(row) + len(text) > width:
            break
        row.append(("class:offer.chosen" if n == chosen else "class:offer", text))
    return row


class Heard(History):
    """The phrases of the log, by whatever door they came: the history of its owner, kept nowhere else."""

    def __init__(self, live: Live) -> None:
        super().__init__()
        self._live = live

    def load_history_strings(self) -> Iterable[str]:
        """The latest first, without repetition."""
        return list(dict.fromkeys(turn.heard for turn in reversed(self._live.turns) if turn.heard.strip()))

    def store_string(self, string: str) -> None:
        """The log has it already."""


class Offers(Completer):
    def __init__(self, live: Live) -> None:
        self._live = live

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        for offer in completion.offers(document.current_line_before_cursor, self._live.known()):
            yield Completion(offer.text, -offer.back)


class Ghost(AutoSuggest):
    """The rest of a phrase that is usual at this hour."""

    def __init__(self, live: Live) -> None:
        self._live = live

    def get_suggestion(self, buffer: Buffer, document: Document) -> Suggestion | None:
        rest = self._live.ghost(document.text) if document.text.strip() and "\n" not in document.text else ""
        return Suggestion(rest) if rest else None
