"""The doors: a terminal, one phrase on the command line, lines of standard input, and housekeeping.

Each door hands its words to `turn.py` and prints what comes back; nothing else happens here. What is not needed is not loaded: a
one-shot on a phone starts neither the chat nor the housekeeping. Exit status: the interface's (`--help` tells it).
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterable, Sequence
from contextlib import suppress

from assistant import options, pipes, printing, show
from assistant.reply import Reply
from state.log.faults import LogError

OK, NOT_UNDERSTOOD, USAGE, ASKED, LOG_FAILED = range(5)


class Status:
    """The exit status that the turns so far add up to."""

    def __init__(self) -> None:
        self.refused = self.asked = False

    def take(self, reply: Reply) -> None:
        self.refused = self.refused or reply.outcome in ("not_understood", "refused")
        self.asked = reply.outcome == "asked"

    def code(self) -> int:
        return NOT_UNDERSTOOD if self.refused else ASKED if self.asked else OK


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the program. Returns the exit status."""
    _speak_safely()
    try:
        chosen = options.read(sys.argv[1:] if arguments is None else arguments)
    except options.UsageError as error:
        _complain(f"{error}\nSee: ullage --help")
        return USAGE
    try:
        return _run(chosen)
    except LogError as error:
        _complain(str(error))
        return LOG_FAILED
    except BrokenPipeError:  # whoever reads has gone: be quiet, also when Python closes the pipe at the end
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    except KeyboardInterrupt:
        _complain("")
        return 130


def run() -> None:
    """The program as installed: `main`, and out. After a one-shot the interpreter is not taken apart piece by piece: all is on disk and
    printed by then, and that would take a tenth of the whole. What the terminal was set to is put back, so the chat ends the long way."""
    status = main()
    if "prompt_toolkit" in sys.modules:
        sys.exit(status)
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError, AttributeError):
            stream.flush()
    os._exit(status)


def _run(chosen: options.Options) -> int:
    if chosen.help:
        _print(options.HELP)
        return OK
    if chosen.version:
        from assistant.version import version, versions

        _print(show.as_json(versions()) if chosen.json else f"ullage {version()}")
        return OK
    if chosen.job == "completion":
        return _completion(chosen.value)
    if chosen.job:
        from assistant import housekeeping

        return housekeeping.run(chosen)
    if chosen.words is not None:
        return _say_all(chosen, [pipes.Line(chosen.words)])
    if chosen.picture is not None:
        return _say_all(chosen, [pipes.Line("show the tanks")])
    if sys.stdin is None:
        return OK
    if sys.stdin.isatty() and not chosen.json:
        return _chat(chosen)
    return _say_all(chosen, pipes.lines(sys.stdin.buffer))


def _say_all(chosen: options.Options, said: Iterable[pipes.Line]) -> int:
    from assistant import begin

    status = Status()
    screen = printing.screen_of(sys.stdout, plain=chosen.plain, speak=chosen.speak)
    with begin.conversation(chosen) as talk:
        for place, line in enumerate(said):
            reply = pipes.hear(talk, line, chosen.now, chosen.dry_run)
            if not place:
                gc.freeze()  # what is loaded by now stays: the collector need not look through it again and again
            status.take(reply)
            _print(show.as_json(reply) if chosen.json else printing.printed(reply, screen))
            if chosen.picture is not None:
                try:
                    printing.keep_picture(reply, chosen.picture)
                except printing.NoPicture as problem:
                    _complain(str(problem))
                    return USAGE
    return status.code()


def _completion(shell: str) -> int:
    from assistant import shells

    try:
        _print(shells.script(shell).rstrip("\n"))
    except ValueError as problem:
        _complain(f"--completion: {problem}.")
        return USAGE
    return OK


def _chat(chosen: options.Options) -> int:
    """The chat; plain lines where nothing can be drawn, or where the library that draws is missing."""
    from assistant import plain_chat

    if chosen.plain or chosen.speak or not plain_chat.can_draw():
        return plain_chat.run(chosen)
    try:
        from assistant import chat
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] != "prompt_toolkit":
            raise
        return plain_chat.run(chosen)
    return chat.run(chosen)


def _print(text: str) -> None:
    print(text, flush=True)


def _complain(text: str) -> None:
    print(show.plain(text), file=sys.stderr, flush=True)


def _speak_safely() -> None:
    """A character that the terminal's encoding lacks is replaced, never an error."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


if __name__ == "__main__":
    run()
