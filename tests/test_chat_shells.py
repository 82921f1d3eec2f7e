"""Tab completion for shells: every option is there, the scripts are sound, and bash offers what it should."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from assistant import options, shells
from assistant.__main__ import main
from tests.terminal import TAB, Pty


@pytest.mark.parametrize("shell", shells.SHELLS)
def test_a_script_knows_every_option_and_has_no_gap(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    """As `--completion` prints it; no placeholder is left."""
    assert main(["--completion", shell]) == 0
    text = capsys.readouterr().out
    for name in (*options.WITH_VALUE, *options.FLAGS):
        assert f"-l {name}" in text if shell == "fish" else f"--{name}" in text
    assert "@" not in text.replace("${", "").replace("[@]", "")
    assert "shower" in text and "dumped" in text


def test_another_shell_is_a_usage_error(capsys: pytest.CaptureFixture[str]) -> None:
    """With the shells that there are."""
    assert main(["--completion", "csh"]) == 2
    assert "bash, zsh and fish" in capsys.readouterr().err


def test_options_are_told_as_the_help_tells_them() -> None:
    """Most options have their line of the help page beside them."""
    told = shells.described()
    assert told["json"] == "one JSON object a turn" and told["db"].startswith("the log")
    assert sum(bool(text) for text in told.values()) >= len(told) - 3


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        (["sho"], "shower"),
        (["dumped", "gr"], "grey"),
        (["--dr"], "--dry-run"),
        (["--completion", "z"], "zsh"),
        (["--", "lau"], "laundry"),
    ],
)
def test_bash_offers_words_and_options(tmp_path: Path, typed: list[str], offered: str) -> None:
    """The function is called as bash calls it at a Tab."""
    script = tmp_path / "ullage.bash"
    script.write_text(shells.script("bash"), encoding="utf-8")
    words = " ".join(f"'{word}'" for word in ["ullage", *typed])
    code = (
        f"source {script}; COMP_WORDS=({words}); COMP_CWORD={len(typed)}; _ullage; printf '%s\\n' \"${{COMPREPLY[@]}}\""
    )
    done = subprocess.run(["bash", "--norc", "-c", code], capture_output=True, text=True, check=True)
    assert offered in done.stdout.split()


SHELLS = {  # how each is begun without anybody's settings, and what has it read the script
    "bash": (["--norc", "--noprofile", "-i"], "source {script}"),
    "zsh": (["-f", "-i"], "autoload -Uz compinit && compinit -D; source {script}"),
    "fish": (["--no-config", "-i"], "source {script}"),
}


@pytest.mark.parametrize("shell", shells.SHELLS)
def test_a_shell_completes_as_its_script_says(tmp_path: Path, shell: str) -> None:
    """In the shell itself, at a terminal: words, options and an option's values at a Tab; nothing of the program is run."""
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed here")
    script = tmp_path / f"ullage.{shell}"
    script.write_text(shells.script(shell), encoding="utf-8")
    (tmp_path / "water.db").touch()
    options, reads = SHELLS[shell]
    home = {"HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path)}
    terminal = Pty(shell, options, columns=100, rows=40, LC_ALL="C.UTF-8", **home)
    try:
        terminal.settle(0.5)
        terminal.line(f"cd {tmp_path}; {reads.format(script=script)}; echo rea''dy")
        terminal.wait("ready")
        for typed, becomes in TABS:
            terminal.keys(f"{CLEAR}ullage {typed}{TAB}")
            terminal.wait(f"ullage {becomes}")
    finally:
        terminal.close()


TABS = (
    ("laund", "laundry"),
    ("dumped gre", "dumped grey"),
    ("--dry", "--dry-run"),
    ("--completion zs", "--completion zsh"),
    ("--db wat", "--db water.db"),
    ("--json statu", "--json status"),
    ("-- laund", "-- laundry"),
)
CLEAR = "\x15"
