"""Keeping the log itself: out and in as JSON lines, copies, the way back, a full look, salvage; and replaying a conversation file.

None of it is talk: these are the options without words. May import: state's log modules, `clock`, `options`, `show`, `transcript`.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from assistant import clock, show
from assistant.options import Options
from assistant.places import default_log
from state.lightclass import TYPE_CHECKING
from state.log.faults import LogError, from_system
from state.log.store import Log, Turn, new_id

if TYPE_CHECKING:
    from state.log.twins import Twins

OK, REFUSED, LOG_FAILED = 0, 1, 4


def run(chosen: Options) -> int:
    """Do the piece of housekeeping that was chosen; returns the exit status. Raises LogError."""
    jobs: dict[str, Callable[[Path, Options], int]] = {
        "export": _export,
        "import": _import,
        "backup": _backup,
        "check": _check,
        "restore": _restore,
        "salvage": _salvage,
        "replay": _replay,
    }
    return jobs[chosen.job or ""](Path(chosen.db or default_log()), chosen)


def _say(chosen: Options, text: str, facts: dict[str, object]) -> None:
    print(show.as_json(facts) if chosen.json else show.plain(text), flush=True)


# ---------------------------------------------------------------- out and in


def _export(log: Path, chosen: Options) -> int:
    from state.log.merge import export

    _must_exist(log)
    if chosen.csv:
        return _export_table(log)
    with Log.open(log, read_only=True) as held:
        for line in export(held):
            print(show.safe_json(line))
    sys.stdout.flush()
    return OK


def _export_table(log: Path) -> int:
    from assistant import spreadsheet
    from assistant.talk import open_conversation

    with open_conversation(log, read_only=True) as talk:
        talk.refresh()
        for line in spreadsheet.lines(talk.effective, talk.world.rig.units):
            sys.stdout.write(f"{line}\r\n")
    sys.stdout.flush()
    return OK


def _import(log: Path, chosen: Options) -> int:
    from state.log.history import effective
    from state.log.merge import BadLine, merge
    from state.log.ordering import as_one_log
    from state.log.twins import twins

    lines = _lines_of(chosen.value)
    with Log.open(log) as held:
        try:
            merged = merge(held, lines)
        except BadLine as problem:
            _complain(f"{_name(chosen.value)}, {problem}. Nothing was added.")
            return REFUSED
        pairs = twins(effective(as_one_log(held.entries())), (entry.id for entry in merged.added))
        settled, kept = _settle(held, pairs, chosen)
    left = [pair for pair in pairs if pair.later.id not in {*settled, *kept}]
    question = _ask(log, left, chosen) if left else ""
    text = f"{_count(len(merged.added), 'event')} added, {merged.known} were here already."
    facts: dict[str, object] = {
        "added": len(merged.added),
        "known": merged.known,
        "twins": [[pair.here.id, pair.there.id] for pair in pairs],
        "taken_back": settled,
        **({"question": question} if question else {}),
    }
    _say(chosen, "\n".join([text, *_about_twins(pairs, settled, kept), *([question] if question else [])]), facts)
    return OK


def _ask(log: Path, left: list[Twins], chosen: Options) -> str:
    """Ask about the first pair, as the conversation will about the others; the reply may be the next phrase that is said anywhere."""
    from assistant import doubles
    from assistant.scene import Scene
    from assistant.talk import open_conversation

    now = chosen.now or clock.now()
    with open_conversation(log) as talk:
        open_ones = doubles.Doubles(tuple((pair.here.id, pair.there.id) for pair in left))
        scene = Scene(talk.world, now, talk.past())
        question = doubles.question((left[0].here, left[0].there), len(left) - 1, scene)
        talk.log.append(Turn(now, "import", "asked", question, open_ones.to_memo(now.isoformat())))
    return question


def _lines_of(name: str) -> list[str]:
    try:
        content = sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as error:
        raise from_system(error, name) from error
    return content.decode("utf-8", "replace").removeprefix("\ufeff").split("\n")


def _name(name: str) -> str:
    return "standard input" if name == "-" else name


def _about_twins(pairs: list[Twins], settled: list[str], kept: list[str]) -> list[str]:
    lines = [f"Perhaps logged twice: {_pair(pair)}" for pair in pairs]
    if len(pairs) > len(settled) + len(kept):
        lines.append("Both are counted until you say; --same, with the import, takes the later one of each back.")
    if settled:
        lines.append(
            f"{_count(len(settled), 'of them was', 'of them were')} taken as the same and counted once; undo brings it back."
        )
    return lines


def _pair(pair: Twins) -> str:
    here, there = pair.here, pair.there
    return (
        f'"{here.heard or here.kind}" at {here.at:%Y-%m-%d %H:%M} and "{there.heard or there.kind}" at {there.at:%H:%M}'
    )


def _settle(log: Log, pairs: list[Twins], chosen: Options) -> tuple[list[str], list[str]]:
    """Take back the later one of each pair that is said to be the same, by an event like any other.

    Always the one with the later id, so that two devices that settle the same pair settle it the same way.
    Returns: the ids taken back; the ids of those that were said to be happenings of their own.
    """
    asking = chosen.value != "-" and not chosen.json and sys.stdin is not None and sys.stdin.isatty()
    said = {pair.later.id: chosen.same or (_same(pair) if asking else None) for pair in pairs}
    same = [id for id, verdict in said.items() if verdict]
    if same:
        now = chosen.now or clock.now()
        heard = "the same, logged twice"
        undo = {"id": new_id(), "kind": "undo", "at": now, "heard_at": now, "heard": heard, "of": tuple(same)}
        log.append(Turn(now, heard, "recorded", "Counted once."), [undo])
    return same, [id for id, verdict in said.items() if verdict is False]


def _same(pair: Twins) -> bool | None:
    """None: that was no answer, so it is asked again later."""
    try:
        reply = input(show.plain(f"{_pair(pair)}: one or two? ")).strip().casefold()
    except EOFError:
        return None
    return {"one": True, "1": True, "the same": True, "same": True, "two": False, "2": False, "both": False}.get(reply)


# ---------------------------------------------------------------- copies and the way back


def _backup(log: Path, chosen: Options) -> int:
    from state.log.copies import back_up

    target = Path(chosen.value)
    events = back_up(log, target)
    _say(chosen, f"{_count(events, 'event')} copied to {target}.", {"events": events, "path": str(target)})
    return OK


def _restore(log: Path, chosen: Options) -> int:
    from state.log.copies import restore

    done = restore(log, Path(chosen.value), chosen.now or clock.now(), chosen.replace)
    kept = f" The log as it was is kept as {done.kept}." if done.kept else ""
    facts: dict[str, object] = {"events": done.events, "lost": done.lost, "kept": str(done.kept) if done.kept else None}
    _say(chosen, f"Back to the copy: {_count(done.events, 'event')}.{kept}", facts)
    return OK


def _check(log: Path, chosen: Options) -> int:
    from state.log.copies import rolling
    from state.log.soundness import look

    _must_exist(log)
    seen = look(log)
    whole = f"The log is whole: {_count(seen.events, 'event')} in {_count(seen.turns, 'turn')}."
    lines = [*seen.problems, *([] if seen.problems else [whole]), *seen.notes]
    if seen.problems:
        copies = rolling(log)
        lines.append(
            "Save what can be saved with --salvage NEWFILE"
            + (f", or go back with --restore {copies[0]}." if copies else ".")
        )
    facts: dict[str, object] = {
        "whole": not seen.problems,
        "problems": list(seen.problems),
        "notes": list(seen.notes),
        "events": seen.events,
        "turns": seen.turns,
    }
    _say(chosen, "\n".join(lines), facts)
    return LOG_FAILED if seen.problems else OK


def _salvage(log: Path, chosen: Options) -> int:
    from state.log.salvage import salvage

    new = Path(chosen.value)
    done = salvage(log, new)
    lines = [f"{_count(done.events, 'event')} in {_count(done.turns, 'turn')} came through into {new}."]
    if done.since and done.until:
        lines.append(f"They reach from {done.since:%Y-%m-%d} to {done.until:%Y-%m-%d}.")
    lines += [
        f"Missing: event {first}." if first == last else f"Missing: events {first} to {last}."
        for first, last in done.missing
    ]
    lines.append("What came after the last one, if anything did, cannot be told. The damaged log was left as it is.")
    facts: dict[str, object] = {
        "events": done.events,
        "turns": done.turns,
        "missing": [list(gap) for gap in done.missing],
    }
    _say(chosen, "\n".join(lines), facts)
    return OK


# ---------------------------------------------------------------- replay


def _replay(log: Path, chosen: Options) -> int:
    """Say the lines of a conversation file and print the conversation; into a log of its own unless --db names one."""
    from assistant.transcript import exchanges

    try:
        said = [
            exchange.said for exchange in exchanges(Path(chosen.value).read_text(encoding="utf-8", errors="replace"))
        ]
    except OSError as error:
        raise from_system(error, chosen.value) from error
    if not said:
        _complain(f"{chosen.value} holds no conversation: lines that begin with > in a ```chat block.")
        return REFUSED
    if chosen.db:
        return _replayed(log, said, chosen)
    with tempfile.TemporaryDirectory(prefix="ullage-") as folder:
        return _replayed(Path(folder) / "replay.db", said, chosen)


def _replayed(log: Path, said: Iterable[str], chosen: Options) -> int:
    from assistant import pipes
    from assistant.talk import open_conversation

    with open_conversation(log) as talk:
        for text in said:
            line = pipes.line(text)
            reply = pipes.hear(talk, line, chosen.now, chosen.dry_run)
            if chosen.json:
                print(show.as_json(reply), flush=True)
            else:
                print(show.plain(f"> {text}\n") + show.as_words(reply) + "\n", flush=True)
    return OK


def _must_exist(log: Path) -> None:
    if not log.exists():
        raise LogError("missing", f"There is no log at {log}.", "Name another file with --db.")


def _count(number: int, one: str, more: str = "") -> str:
    return f"{number} {one if number == 1 else more or one + 's'}"


def _complain(text: str) -> None:
    print(show.plain(text), file=sys.stderr, flush=True)
