"""The chat, driven in a real pseudo-terminal: keys go in, the screen is read."""

from __future__ import annotations

import math
import re
import signal
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from assistant import open_conversation, options, plain_chat
from tests.talking import Talk, at
from tests.terminal import COLOUR, CTRL_C, CTRL_D, CTRL_R, ENTER, RIGHT, TAB, UP, Terminal

READY = "bye leaves"


def kinds(path: Path) -> list[str]:
    """The kinds of event of a log, in order."""
    with open_conversation(path, read_only=True) as talk:
        talk.refresh()
        return [entry.kind for entry in talk.entries]


def new_log(path: Path) -> Path:
    """The usual rig, and two mornings on which somebody said how much the shower took."""
    talk = Talk(path)
    talk.now = at("07T20:00")
    for day in ("07", "08"):
        talk.say("shower used 2 gal", at(f"{day}T07:30"))
    talk.close()
    return path


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return new_log(tmp_path_factory.mktemp("chat") / "water.db")


@pytest.fixture(scope="module")
def shared(log: Path) -> Iterator[Terminal]:
    """One chat for all tests that leave it as they found it; starting it costs more than they do."""
    terminal = Terminal(log)
    terminal.wait(READY)
    yield terminal
    terminal.close()


@pytest.fixture
def chat(shared: Terminal) -> Iterator[Terminal]:
    shared.wait("fresh ")
    yield shared
    shared.resize(80)
    shared.keys(CTRL_C)
    shared.wait(lambda: shared.typed() == "")


def test_an_answer_stands_under_its_phrase_and_the_gauges_follow(chat: Terminal) -> None:
    """The room of grey in the gauges is less after laundry than before."""

    def room() -> float:
        found = re.search(r"grey .*?room ([\d.]+)", chat.foot())
        return float(found[1]) if found else math.inf

    before = room()
    chat.line("laundry used 9 gal")
    chat.wait("Laundry, 9 gal.")
    chat.wait(lambda: room() < before - 3)


def test_tab_completes_from_the_vocabulary_and_the_names(chat: Terminal) -> None:
    """One Tab fills in what is certain; where several words could follow they are listed at the foot, the chosen one in brackets."""
    chat.keys("we left heron" + TAB)
    chat.wait(lambda: chat.typed() == "we left Heron Bend")
    chat.keys(CTRL_C)
    chat.wait(lambda: chat.typed() == "")
    chat.keys("dum" + TAB)
    chat.wait(lambda: "dumped" in chat.foot() and "dumping" in chat.foot())
    chat.keys(TAB + TAB)
    chat.wait(lambda: "[" in chat.foot() and chat.typed() != "dum")
    chosen = chat.foot().partition("[")[2].partition("]")[0]
    chat.wait(lambda: chat.typed() == chosen)


def test_ctrl_c_cancels_a_line_and_records_nothing(chat: Terminal, log: Path) -> None:
    """A line that was typed and not entered is gone."""
    before = kinds(log)
    chat.keys("dumped grey")
    chat.wait(lambda: chat.typed() == "dumped grey")
    chat.keys(CTRL_C)
    chat.wait(lambda: chat.typed() == "")
    assert kinds(log) == before


def test_a_paste_is_looked_at_first_and_then_heard_line_by_line(chat: Terminal, log: Path) -> None:
    """Nothing of a pasted block is heard before Enter; then each line has its own answer."""
    before = len(kinds(log))
    chat.paste("teeth used 0.5 gal\r\n\r\ncoffee used 0.25 gal\r\n")
    chat.wait("coffee used 0.25 gal")
    chat.read(0.3)
    assert len(kinds(log)) == before
    chat.keys(ENTER)
    chat.wait("Teeth, 0.5 gal.")
    chat.wait("Coffee, 0.25 gal.")
    assert kinds(log)[before:] == ["use", "use"]


def test_the_screen_shows_what_another_process_logged(chat: Terminal, log: Path) -> None:
    """A phrase said on the phone moves the gauges of the open chat, and is named at its foot."""
    with open_conversation(log) as talk:
        talk.say("pets used 1 gal", now=at("09T07:41"))
    chat.wait("logged elsewhere: pets used 1 gal")


@pytest.mark.parametrize("columns", [40, 80, 160, 200, 60])
def test_the_gauges_fit_any_width_and_a_resize_leaves_nothing_behind(chat: Terminal, columns: int) -> None:
    """After a change of width there is one set of gauges, whole, within the width."""

    def whole() -> bool:
        rows = [line for line in chat.lines() if re.search(r"fresh .* left", line)]
        return len(rows) == 1 and re.search(r"black .*room \d", chat.foot()) is not None

    drawn = len(chat.raw)
    chat.resize(columns)
    chat.wait(lambda: len(chat.raw) > drawn)
    chat.wait(whole)
    chat.settle()
    assert whole(), chat.text()
    assert sum("room" in line for line in chat.foot().splitlines()) == (2 if columns < 80 else 1)


def test_history_has_the_phrases_of_the_log_and_can_be_searched(chat: Terminal) -> None:
    """The up arrow and Ctrl-R find what was said through any door."""
    chat.keys(CTRL_R + "tote holds")
    chat.wait(lambda: "the tote holds 15 gal" in chat.text())
    chat.keys(CTRL_C)
    chat.keys(CTRL_C)
    chat.read(0.2)
    chat.line("status")
    chat.wait("Grey holds")
    chat.keys(UP)
    chat.wait(lambda: chat.typed() == "status")


def test_an_empty_line_shows_what_is_usual_at_this_hour_without_a_figure(chat: Terminal) -> None:
    """Two mornings of showers make the ghost; the right arrow takes it, and the amount is left to say."""
    chat.wait(lambda: chat.typed() == "" and chat.ghost() == "shower used")
    chat.keys(RIGHT + "9")
    chat.wait(lambda: chat.typed() == "shower used 9")


def test_an_open_question_is_not_covered_by_a_ghost_and_idle_time_draws_nothing(chat: Terminal) -> None:
    """The line is empty while an answer is waited for; and a screen on which nothing changes is not drawn again."""
    chat.line("dumped")
    chat.wait("Which one was dumped")
    chat.settle(0.6)
    assert chat.typed() == "" and chat.ghost() == ""
    drawn = len(chat.raw)
    chat.read(1.2)
    assert len(chat.raw) == drawn
    chat.line("never mind")
    chat.wait("nothing was recorded")


def test_a_word_that_is_not_understood_is_marked_in_its_line(chat: Terminal) -> None:
    """The carets stand under the word, in the column where it was typed."""
    chat.line("shower used 3 furlongs")
    chat.wait("^^^^^^^^")
    lines = chat.lines()
    at_marks = next(n for n, line in enumerate(lines) if "^^^^^^^^" in line)
    assert lines[at_marks].index("^") == lines[at_marks - 1].index("furlongs")


def test_a_rinse_counts_down_rings_and_is_quiet_after_a_key(tmp_path: Path) -> None:
    """The time left runs at the foot; at its end the bell rings and the words stay until Enter; then the chat ends with Ctrl-D."""
    path = new_log(tmp_path / "water.db")
    terminal = Terminal(path, now=None)
    terminal.wait(READY)
    with open_conversation(path) as talk:
        from assistant import clock
        from state import events
        from state.log.store import Turn, new_id

        now = clock.now() - timedelta(minutes=1)
        rinse = events.check(
            {
                "id": new_id(),
                "kind": "rinse",
                "at": now,
                "heard_at": now,
                "tank": "black",
                "litres": 4.0,
                "minutes": 1 + 4 / 60,
            }
        )
        talk.log.append(Turn(now, "rinse", "recorded", "", {}), [rinse])
    terminal.wait("rinsing black: 0:0")
    assert b"\x07" not in terminal.raw
    terminal.wait("shut the rinse tap")
    terminal.wait(lambda: b"\x07" in terminal.raw)
    terminal.keys(ENTER)
    terminal.wait(lambda: "shut the rinse tap" not in terminal.text())
    terminal.keys(CTRL_D)
    assert terminal.status() == 0


def test_without_colour_nothing_is_coloured_and_bye_leaves(log: Path) -> None:
    """NO_COLOR is kept to; where the locale is a plain one the gauges are plain characters."""
    terminal = Terminal(log, columns=60, NO_COLOR="1", LC_ALL="C", PYTHONUTF8="1")
    terminal.wait("fresh #")
    terminal.line("status")
    terminal.wait("Grey holds")
    assert not COLOUR.search(terminal.raw)
    assert "█" not in terminal.text()
    terminal.line("bye")
    assert terminal.status() == 0


def test_with_colour_the_gauges_are_coloured(chat: Terminal) -> None:
    """The check above would see a colour if there was one."""
    assert COLOUR.search(chat.raw)


@pytest.mark.parametrize(("options", "term"), [((), "dumb"), (("--plain",), "xterm-256color")])
def test_a_simple_terminal_and_a_screen_reader_get_plain_lines(log: Path, options: tuple[str, ...], term: str) -> None:
    """No drawing, no cursor is moved, the gauges come in words, pictures too; Ctrl-C cancels, Ctrl-D leaves."""
    terminal = Terminal(log, *options, columns=60, TERM=term)
    terminal.wait("room for")
    assert "fresh" in terminal.text() and "█" not in terminal.text()
    terminal.line("show the tanks")
    terminal.wait("Black: room")
    assert "▒" not in terminal.text()
    moved = terminal.raw.replace(b"\x1b[?2004h", b"").replace(b"\x1b[?2004l", b"")
    assert b"\x1b" not in moved
    terminal.at_once()
    terminal.keys("dumped grey" + CTRL_C)
    terminal.settle()
    terminal.keys(CTRL_D)
    assert terminal.status() == 0
    assert kinds(log).count("dump") == 2


@pytest.mark.parametrize("option", ["--plain", "--dry-run"])
def test_ctrl_c_while_a_phrase_is_answered_breaks_nothing_off(log: Path, option: str) -> None:
    """Pressed again and again while lines are being heard, it neither ends the chat nor loses an answer that was begun."""
    terminal = Terminal(log, option)
    terminal.wait("room for" if option == "--plain" else READY)
    terminal.at_once()
    for _ in range(8):
        terminal.line("status")
        terminal.keys(CTRL_C)
    terminal.settle(0.5)
    terminal.line("how much bleach to sanitise the tank")
    terminal.wait("bleach")
    terminal.line("bye")
    assert terminal.status() == 0


def _interrupted_on_the_way_out() -> str:
    """What `input` does when Ctrl-C comes, and comes again while the first is on its way out of the interpreter's line editor."""
    try:
        signal.raise_signal(signal.SIGINT)
    except KeyboardInterrupt as first:
        signal.raise_signal(signal.SIGINT)
        raise SystemError("returned a result with an exception set") from first
    raise AssertionError("Ctrl-C did nothing at an open line")


def test_a_second_ctrl_c_on_the_heels_of_the_first_cancels_the_line_and_no_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The interpreter turns it into an error of its own, which once ended the chat."""
    path = new_log(tmp_path / "water.db")
    lines = iter([_interrupted_on_the_way_out, lambda: "pets used 1 gal", _interrupted_on_the_way_out, lambda: "bye"])
    monkeypatch.setattr("builtins.input", lambda prompt: next(lines)())
    before = signal.getsignal(signal.SIGINT)
    try:
        assert plain_chat.run(options.read(["--db", str(path), "--plain", "--now", "2026-06-09T07:40-06:00"])) == 0
    finally:
        signal.signal(signal.SIGINT, before)
    assert kinds(path).count("use") == 3
    assert "Pets, 1 gal." in capsys.readouterr().out


def test_an_error_of_the_line_editor_that_no_ctrl_c_explains_is_not_swallowed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(prompt: str) -> str:
        raise SystemError("of its own accord")

    monkeypatch.setattr("builtins.input", broken)
    before = signal.getsignal(signal.SIGINT)
    try:
        with pytest.raises(SystemError, match="of its own accord"):
            plain_chat.run(options.read(["--db", str(new_log(tmp_path / "water.db")), "--plain"]))
    finally:
        signal.signal(signal.SIGINT, before)


def test_a_newcomer_sets_up_in_four_questions_and_logs_a_shower(tmp_path: Path) -> None:
    """Units guessed from the locale, sizes and people asked, each recorded as if it had been said; then the first shower."""
    path = tmp_path / "water.db"
    terminal = Terminal(path, columns=40)
    terminal.wait("1 of 4")
    terminal.line("")
    terminal.wait("2 of 4")
    terminal.line("40")
    terminal.wait("3 of 4")
    terminal.line("36 and 30")
    terminal.wait("4 of 4")
    terminal.line("two")
    terminal.wait("shower used 2 gal")
    terminal.line("shower used 2 gal")
    terminal.wait("Shower, 2 gal.")
    assert kinds(path) == ["rig", "rig", "rig", "rig", "party", "use"]
    assert all(len(line) < 40 for line in terminal.lines() if not line.startswith(("fresh", "black"))), terminal.text()
    terminal.line("bye")
    assert terminal.status() == 0


def test_the_plain_chat_tells_what_another_process_logged(tmp_path: Path) -> None:
    """Nothing moves on its screen, so it is said before the next answer."""
    path = new_log(tmp_path / "water.db")
    terminal = Terminal(path, "--plain")
    terminal.wait("room for")
    with open_conversation(path) as talk:
        talk.say("pets used 1 gal", now=at("09T07:41"))
    terminal.line("status")
    terminal.wait("(logged elsewhere: pets used 1 gal)")
    terminal.wait("Grey holds")
    terminal.line("bye")
    assert terminal.status() == 0
