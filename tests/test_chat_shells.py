"""Tab completion for shells: every option is there, the scripts are sound, and bash offers what it should."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from assistant import options, shells
from assistant.__main__ import main


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


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_other_shells_can_read_their_script(tmp_path: Path, shell: str) -> None:
    """Where the shell is installed, it parses the script."""
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed here")
    script = tmp_path / f"ullage.{shell}"
    script.write_text(shells.script(shell), encoding="utf-8")
    subprocess.run([shell, "--no-execute", str(script)], check=True, capture_output=True)
