"""The command line: which door, which log, which moment. Options may stand before or after the words; `--` ends them.

Is not argparse: words of a phrase and options may be mixed, and a phrase may begin with a dash ("-2"). May import: `clock`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from assistant import clock
from state.lightclass import dataclass

__all__ = ["HELP", "Options", "UsageError", "read"]

HELP = """\
ullage: a conversation about the water aboard.

  ullage                        the chat, on a terminal
  ullage shower used 2 gal      one turn
  ... | ullage                  one turn for each line; a line may begin with its time: [2026-06-09T07:40-06:00] ...

What can be said: ullage help

Options, before or after the words
  --db PATH        the log (else ULLAGE_DB, else the platform's folder for your data)
  --now ISO-TIME   pretend that it is this moment
  --json           one JSON object a turn
  --dry-run        understand and answer, record nothing
  --plain          no drawn screen in the chat: for screen readers and simple terminals
  --speak          answers written out for a speech engine
  --picture FILE   keep what "show", "show the forecast" or "show this week" draws as an SVG picture
  --               what follows are words
  --help           this page
  --version        the program's version; with --json those of all that a script may rely on

Housekeeping, without words
  --export         the whole log as JSON lines
  --csv            with --export: as a table for a spreadsheet, each event as it counts now
  --import FILE    add the events of such a file that the log lacks (-: standard input)
  --same           with --import: what looks logged twice, by two people, is counted once
  --backup PATH    a copy of the log, also while it is in use
  --check          is the log whole?
  --restore PATH   go back to a backup; the log as it was is kept beside it
  --replace        with --restore: also when that leaves events behind
  --salvage NEW    bring what can be read of a damaged log into a new one
  --replay FILE    say the lines of a conversation file, into a log of their own unless --db is given
  --completion SHELL  tab completion for bash, zsh or fish

Exit status: 0 recorded or answered, 1 not understood or refused, 2 wrong command line, 3 a question back, 4 the log failed."""


class UsageError(Exception):
    """The command line itself is wrong: exit status 2."""


WITH_VALUE = ("db", "now", "picture", "import", "backup", "restore", "salvage", "replay", "completion")
FLAGS = ("json", "dry-run", "plain", "speak", "help", "version", "export", "check", "replace", "same", "csv")
JOBS = ("export", "import", "backup", "check", "restore", "salvage", "replay", "completion")


@dataclass(frozen=True)
class Options:
    """`words`: the phrase's words, None if there are none. `job`: a piece of housekeeping with its `value`."""

    words: str | None = None
    db: str | None = None
    now: datetime | None = None
    json: bool = False
    dry_run: bool = False
    help: bool = False
    version: bool = False
    job: str | None = None
    value: str = ""
    replace: bool = False
    same: bool = False
    csv: bool = False
    plain: bool = False
    speak: bool = False
    picture: str | None = None


def read(arguments: Sequence[str]) -> Options:
    """The command line as options. Raises UsageError with a sentence."""
    words: list[str] = []
    found: dict[str, str] = {}
    rest = list(arguments)
    while rest:
        word = rest.pop(0)
        if word == "--":
            words += rest
            break
        if not word.startswith("--"):
            words.append(word)
            continue
        name, equals, value = word[2:].partition("=")
        if name in WITH_VALUE:
            if not equals and not rest:
                raise UsageError(f"--{name} needs a value after it.")
            found[name] = value if equals else rest.pop(0)
        elif name in FLAGS and not equals:
            found[name] = ""
        else:
            raise UsageError(f"{word} is no option. If it belongs to the phrase, put -- before the words.")
    return _made(words, found)


def _made(words: list[str], found: dict[str, str]) -> Options:
    jobs = [name for name in JOBS if name in found]
    if len(jobs) > 1:
        raise UsageError(f"--{jobs[0]} and --{jobs[1]} are two things: do one at a time.")
    if jobs and words:
        raise UsageError(f"--{jobs[0]} goes without words.")
    for name, job in (("replace", "restore"), ("same", "import"), ("csv", "export")):
        if name in found and job not in found:
            raise UsageError(f"--{name} goes only with --{job}.")
    for name in WITH_VALUE:
        if found.get(name) == "":
            raise UsageError(f"--{name} needs a value after it.")
    try:
        now = clock.read(found["now"]) if "now" in found else None
    except ValueError as error:
        raise UsageError(f"--now: {error}") from None
    return Options(
        words=_text(" ".join(words)) if words else None,
        db=found.get("db"),
        now=now,
        json="json" in found,
        dry_run="dry-run" in found,
        help="help" in found,
        version="version" in found,
        job=jobs[0] if jobs else None,
        value=found[jobs[0]] if jobs else "",
        replace="replace" in found,
        same="same" in found,
        csv="csv" in found,
        plain="plain" in found,
        speak="speak" in found,
        picture=found.get("picture"),
    )


def _text(words: str) -> str:
    """Words with bytes that are no UTF-8 replaced."""
    return words.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
