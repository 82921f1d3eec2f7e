"""The doors: command line, standard input, files; what they print, what they leave in the log, and how they end."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant import clock, options, pipes, places, show, transcript
from assistant.reply import Reply
from state.log.store import Log
from tests.logbook import ROOT, event, filled, program, turn

NOW = "2026-06-09T08:00:00-06:00"

# ---------------------------------------------------------------- the command line


def test_options_stand_before_or_after_the_words() -> None:
    """And in between; the words are joined by blanks."""
    told = options.read(["--db", "a.db", "shower", "used", "--json", "2", "gal", f"--now={NOW}", "--dry-run"])
    assert (told.words, told.db, told.json, told.dry_run) == ("shower used 2 gal", "a.db", True, True)
    assert told.now == datetime.fromisoformat(NOW)


def test_two_dashes_end_the_options() -> None:
    """What follows are words, whatever they look like; one dash never was an option."""
    assert options.read(["--json", "--", "--db", "gal"]).words == "--db gal"
    assert options.read(["used", "-2", "gal"]).words == "used -2 gal"
    assert options.read(["--"]).words is None


@pytest.mark.parametrize(
    "arguments",
    [
        ["--colour"],
        ["shower", "--gal"],
        ["--db"],
        ["--db="],
        ["--now", "yesterday"],
        ["--now", "2026-02-30T00:00:00Z"],
        ["--now", "0001-01-01T00:00:00+14:00"],
        ["--now", "9999-12-31T23:59:59Z"],
        ["--json=yes"],
        ["--export", "--check"],
        ["--export", "status"],
        ["--replace"],
        ["--same", "--export"],
        ["--import", ""],
    ],
)
def test_a_wrong_command_line_is_a_usage_error(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 2, one sentence on standard error, nothing on standard output, no log made."""
    from assistant.__main__ import main

    assert main(arguments) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert len(printed.err.splitlines()) == 2


def test_a_time_without_offset_is_in_the_own_zone() -> None:
    """As the device has it; with an offset it is kept as written."""
    assert clock.read("2026-06-09T08:00") == datetime(2026, 6, 9, 8).astimezone()
    assert clock.read("2026-06-09T08:00Z").utcoffset() == timedelta(0)
    assert clock.read(" 2026-06-09T08:00+05:45 ").utcoffset() == timedelta(hours=5, minutes=45)


def test_help_names_every_option() -> None:
    """An option that help does not know fails here."""
    for name in (*options.WITH_VALUE, *options.FLAGS):
        assert f"--{name}" in options.HELP


def test_version_and_help_end_well() -> None:
    """Exit 0 and a line that names the program."""
    for option in ("--version", "--help"):
        done = program(option)
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.startswith("ullage")


@pytest.mark.parametrize(
    ("system", "env", "place"),
    [
        ("linux", {"HOME": "/home/ana"}, "/home/ana/.local/share/ullage/water.db"),
        ("linux", {"HOME": "/home/ana", "XDG_DATA_HOME": "/data"}, "/data/ullage/water.db"),
        ("linux", {"HOME": "/home/ana", "XDG_DATA_HOME": "not/absolute"}, "/home/ana/.local/share/ullage/water.db"),
        ("darwin", {"HOME": "/Users/ana"}, "/Users/ana/Library/Application Support/Ullage/water.db"),
        ("win32", {"USERPROFILE": "/ana", "LOCALAPPDATA": "/ana/local"}, "/ana/local/Ullage/water.db"),
        ("linux", {"HOME": "/home/ana", "ULLAGE_DB": "/elsewhere/log.db"}, "/elsewhere/log.db"),
    ],
)
def test_the_log_lies_where_the_platform_keeps_such_things(system: str, env: dict[str, str], place: str) -> None:
    """XDG Base Directory on Linux (a relative path there is to be ignored), the usual folders elsewhere, ULLAGE_DB above all."""
    assert Path(places.default_log(system, env)) == Path(place)


# ---------------------------------------------------------------- turns


def test_one_phrase_is_one_turn(db: Path) -> None:
    """Recorded, echoed, exit 0; the next call knows of it."""
    done = program("shower", "used", "2", "gal", "--db", str(db), "--now", NOW)
    assert (done.returncode, done.stderr) == (0, "")
    assert "2 gal" in done.stdout
    with Log.open(db) as log:
        (entry,) = log.entries()
    assert (entry.kind, entry.activity, entry.heard) == ("use", "shower", "shower used 2 gal")
    assert entry.at == datetime.fromisoformat(NOW)
    assert program("undo", "--db", str(db), "--now", NOW).returncode == 0


def test_json_is_one_object_a_turn(db: Path) -> None:
    """The fields of the interface, on one line each."""
    done = program("--json", "--db", str(db), "--now", NOW, stdin="shower used 2 gal\n\nblorp\n")
    first, second = map(json.loads, done.stdout.splitlines())
    assert set(first) == {"heard", "outcome", "recorded", "answer", "cautions", "facts"}
    assert (first["outcome"], first["recorded"][0]["litres"]) == ("recorded", pytest.approx(7.571, abs=0.001))
    assert second["outcome"] == "not_understood"
    assert done.returncode == 1


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ("shower used 2 gal\nstatus\n", 0),
        ("", 0),
        ("blorp\nshower used 2 gal\n", 1),
        ("used -2 gal\n", 1),
        ("shower used 2 gal\nreset\n", 3),
        ("reset\nthe meter\n", 0),
        ("blorp\nreset\n", 1),
    ],
)
def test_the_exit_status_tells_how_it_went(db: Path, said: str, status: int) -> None:
    """0 recorded or answered, 1 something not understood or refused, 3 the last turn ended in a question back."""
    assert program("--db", str(db), "--now", NOW, stdin=said).returncode == status


def test_a_line_may_tell_its_time(db: Path) -> None:
    """Heard at that moment; a line without is heard at --now; what is no time is refused and named."""
    said = "[2026-06-09T07:40-06:00] shower used 2 gal\ndishes used 1 gal\n[2026-02-30T07:40] shower used 3 gal\n"
    done = program("--db", str(db), "--now", NOW, stdin=said)
    assert done.returncode == 1
    assert '"2026-02-30T07:40" is not a time' in done.stdout
    with Log.open(db) as log:
        assert [entry.at.isoformat() for entry in log.entries()] == ["2026-06-09T07:40:00-06:00", NOW]


def test_dry_run_records_nothing_and_makes_no_log(db: Path) -> None:
    """Understood and answered as if."""
    done = program("--dry-run", "--json", "--db", str(db), "shower used 2 gal")
    assert json.loads(done.stdout)["outcome"] == "recorded"
    assert not db.exists()
    filled(db, 1)
    program("--dry-run", "--db", str(db), "shower used 2 gal")
    with Log.open(db) as log:
        assert log.last_seq() == 1


def test_bytes_that_are_no_text_do_no_harm(db: Path) -> None:
    """Invalid UTF-8, a byte-order mark, carriage returns, NUL, a line of a megabyte: a turn each, and the good ones recorded."""
    said = b"\xef\xbb\xbfshower used 2 gal\r\n\xff\xfe\x80 gal\n\0\0\n" + b"gal " * 300_000 + b"\ndishes used 1 gal\n"
    done = program("--json", "--db", str(db), "--now", NOW, stdin=said)
    assert done.stderr == ""
    outcomes = [json.loads(line)["outcome"] for line in done.stdout.splitlines()]
    assert (outcomes[0], outcomes[-1], len(outcomes)) == ("recorded", "recorded", 5)
    assert "recorded" not in outcomes[1:-1]


def test_answers_come_line_by_line(db: Path) -> None:
    """The answer to a line is there before the next line is said."""
    command = [sys.executable, "-m", "assistant", "--db", str(db), "--now", NOW]
    with subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as talk:
        assert talk.stdin and talk.stdout
        for gallons in (2, 3):
            talk.stdin.write(f"shower used {gallons} gal\n")
            talk.stdin.flush()
            assert f"{gallons} gal" in talk.stdout.readline()
        talk.stdin.close()
        assert talk.wait(20) == 0


def test_a_reader_that_goes_away_is_no_error(db: Path) -> None:
    """`ullage | head -1`: quiet."""
    command = (
        f'yes status | head -200 | "{sys.executable}" -m assistant --db "{db}" 2>"{db.parent.parent}/err" | head -1'
    )
    done = subprocess.run(["bash", "-c", command], cwd=ROOT, capture_output=True, timeout=60, check=False)
    assert len(done.stdout.splitlines()) == 1
    assert (db.parent.parent / "err").read_text() == ""


def test_without_the_chat_a_terminal_gets_a_plain_prompt(db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where prompt_toolkit is missing, the conversation still works; bye ends it."""
    main, side = pty.openpty()
    code = (
        "import sys\nsys.modules['assistant.chat'] = None\nfrom assistant.__main__ import main\n"
        f"sys.exit(main(['--db', {str(db)!r}, '--now', {NOW!r}]))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], cwd=ROOT, stdin=side, stdout=subprocess.PIPE, text=True
    ) as talk:
        os.write(main, b"shower used 2 gal\nbye\n")
        printed, _ = talk.communicate(timeout=30)
    os.close(main)
    os.close(side)
    assert talk.returncode == 0
    assert "2 gal" in printed


# ---------------------------------------------------------------- what reaches the terminal

UNSAFE = "\x1b[31m\x07\x9b\x00\x7f\u202e\u2066\u200b\u2028\ufeff\ud800"


@given(st.text() | st.text(alphabet=UNSAFE + "ab \n"))
def test_nothing_that_a_terminal_obeys_is_printed(text: str) -> None:
    """Control and escape characters, text-turning marks, halves of characters; in words and in JSON."""
    reply = Reply(text, "answered", answer=text, cautions=(text + "!",), facts={text: text})
    for printed in (show.as_words(reply).replace("\n", ""), show.as_json(reply)):
        assert not set(printed) & (set(UNSAFE) - set("[31m"))
        assert printed.isprintable() or not any(ord(letter) < 32 or 127 <= ord(letter) < 160 for letter in printed)
    assert json.loads(show.as_json(reply))["answer"] == text


def test_a_note_cannot_clear_the_screen(db: Path) -> None:
    """Neither when it is said nor when it comes in from elsewhere and is shown."""
    note = "note: \x1b[2J\x1b]0;owned\x07 \u202e gnp.exe"
    done = program(note.replace("\x00", ""), "--db", str(db), "--now", NOW)
    with Log.open(db) as log:
        log.append(turn(), [event("note", text="\x1b[2Jflood")])
    shown = program("--db", str(db), "--now", NOW, stdin="show the last ten\nhistory\nnotes\n").stdout + done.stdout
    assert not set(shown) & set("\x1b\x07\u202e")
    assert "\x1b" not in program("--export", "--db", str(db)).stdout


def test_cautions_stand_under_the_answer_once() -> None:
    """One that the answer holds already is not said twice."""
    assert (
        show.as_words(Reply("x", "answered", answer="Mind the valve.", cautions=("Mind the valve.", "Gloves.")))
        == "Mind the valve.\nGloves."
    )


# ---------------------------------------------------------------- housekeeping


def test_export_and_import_through_the_door(db: Path, tmp_path: Path) -> None:
    """Out of one log into another, twice: the same lines."""
    filled(db, 3, each=2)
    lines = program("--export", "--db", str(db)).stdout
    assert [json.loads(line)["kind"] for line in lines.splitlines()] == ["use"] * 6
    other = tmp_path / "other.db"
    for _ in range(2):
        assert program("--import", "-", "--db", str(other), stdin=lines).returncode == 0
    assert program("--export", "--db", str(other)).stdout == lines


def test_backup_check_restore_and_salvage_through_the_door(db: Path, tmp_path: Path) -> None:
    """A copy, a look, a loss, a way back."""
    filled(db)
    copy = tmp_path / "copy.db"
    assert program("--backup", str(copy), "--db", str(db)).returncode == 0
    assert "whole: 3 events" in program("--check", "--db", str(copy)).stdout
    with Log.open(db) as log:
        log.append(turn(), [event()])
    done = program("--restore", str(copy), "--db", str(db))
    assert done.returncode == 4
    assert "1 events that the copy lacks" in done.stderr.replace("event that", "events that")
    assert program("--restore", str(copy), "--replace", "--db", str(db)).returncode == 0
    assert json.loads(program("--check", "--json", "--db", str(db)).stdout)["events"] == 3
    assert len(list(db.parent.glob("water.db.before-*"))) == 1
    data = db.read_bytes()
    db.write_bytes(data[: len(data) // 4096 // 2 * 4096])
    assert program("--check", "--db", str(db)).returncode == 4
    assert program("status", "--db", str(db)).returncode == 4
    assert program("--restore", str(copy), "--db", str(db)).returncode == 0
    assert program("--check", "--db", str(db)).returncode == 0


def test_housekeeping_without_a_log_says_so(db: Path) -> None:
    """Exit 4; none is made."""
    for job in (["--export"], ["--check"], ["--backup", "x.db"], ["--salvage", "x.db"]):
        done = program(*job, "--db", str(db))
        assert (done.returncode, done.stdout) == (4, "")
        assert "no log" in done.stderr
    assert not db.exists()


# ---------------------------------------------------------------- conversation files

FILE = """\
# A week
Prose > [not said].

```chat
> [2026-06-09T07:40-06:00] shower used 2 gal
old answer

with a gap

> status
```

```sh
> not said either
```
```chat
> undo
older
```
"""


def test_only_chat_blocks_are_said() -> None:
    """Lines marked in prose or other blocks are not."""
    found = transcript.exchanges(FILE)
    assert [(one.number, one.said) for one in found] == [
        (5, "[2026-06-09T07:40-06:00] shower used 2 gal"),
        (10, "status"),
        (17, "undo"),
    ]
    assert found[0].answer == ("old answer", "", "with a gap")
    assert found[1].answer == ()


def test_rewriting_changes_nothing_but_the_answers() -> None:
    """The gap after an answer stays; so do prose and said lines; a second time changes nothing."""
    new = transcript.rewritten(FILE, ["one", "two\nlines", ""])
    assert new == FILE.replace("old answer\n\nwith a gap", "one").replace(
        "> status\n", "> status\ntwo\nlines\n"
    ).replace("older\n", "")
    assert transcript.rewritten(new, ["one", "two\nlines", ""]) == new
    assert [one.answer for one in transcript.exchanges(new)] == [("one",), ("two", "lines"), ()]


def test_replay_prints_the_conversation_on_a_log_of_its_own(db: Path, tmp_path: Path) -> None:
    """The user's own log is not touched unless it is named."""
    script = tmp_path / "talk.md"
    script.write_text("```chat\n> [2026-06-09T07:40-06:00] shower used 2 gal\n```\n")
    done = program("--replay", str(script), env={"ULLAGE_DB": str(db)})
    assert done.returncode == 0
    assert done.stdout.startswith("> [2026-06-09T07:40-06:00] shower used 2 gal\n")
    assert "2 gal" in done.stdout.splitlines()[1]
    assert not db.exists()
    program("--replay", str(script), "--db", str(db))
    with Log.open(db) as log:
        assert log.entries()[0].at == datetime(2026, 6, 9, 13, 40, tzinfo=UTC)


def test_lines_of_a_stream_keep_their_order_and_their_ends() -> None:
    """The last line needs no line end; blank ones are passed over."""
    import io

    found = list(pipes.lines(io.BytesIO(b"one\n\n  \n[2026-06-09T07:40Z]two\r\nthree")))
    assert [line.text for line in found] == ["one", "two", "three"]
    assert found[1].at == datetime(2026, 6, 9, 7, 40, tzinfo=UTC)


@pytest.mark.parametrize("start", ["[", "[1", " ", "[]", "[2026-06-09T07:40Z]", "[1]["])
def test_a_long_line_takes_no_longer_than_its_length(start: str) -> None:
    """Brackets that never close, blanks without end: 60,000 letters are looked at in well under a tenth of a second."""
    for letter in ("1", "[", " ", "]"):
        begun = time.process_time()
        pipes.line(start + letter * 60_000)
        assert time.process_time() - begun < 0.1


def test_brackets_that_hold_no_time_are_words() -> None:
    """Only what has a digit is taken for a time, and then it must be one."""
    assert pipes.line("[aside] status").text == "[aside] status"
    assert pipes.line("[aside] status").problem == ""
    assert pipes.line("[2 gal] status").problem
