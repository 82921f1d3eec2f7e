"""Tab completion for bash, zsh and fish: scripts made from the option table and the words people begin with.

A script stands alone: the shell starts no program at a Tab. Words come from the help page and the grammar, so that they cannot drift.
May import: `completion`, `options`.
"""

from __future__ import annotations

import re
from pathlib import Path

from assistant import completion, options

SHELLS = ("bash", "zsh", "fish")
FILES = ("import", "backup", "restore", "salvage", "replay", "db", "picture")
"""Options whose value is a file."""


def script(shell: str) -> str:
    """The completion script for a shell. Raises ValueError for a shell that we have none for."""
    if shell not in SHELLS:
        raise ValueError(f"there is tab completion for {', '.join(SHELLS[:-1])} and {SHELLS[-1]}, not for {shell}")
    text = (Path(__file__).parent / f"ullage.{shell}").read_text(encoding="utf-8")
    return (
        text.replace("@ALL@", " ".join(f"--{name}" for name in described()))
        .replace("@WORDS@", " ".join(words()))
        .replace("@FILES@", "|".join(f"--{name}" for name in FILES))
        .replace("@SHELLS@", " ".join(SHELLS))
        .replace("@TABLE@\n", TABLES.get(shell, _no_table)())
    )


def described() -> dict[str, str]:
    """Every option with its line of the help text."""
    told = {}
    for found in re.finditer(r"^  (--[a-z-]+)(?: [A-Z|-]+)?(?:  +(.*))?$", options.HELP, re.MULTILINE):
        told[found[1][2:]] = found[2] or ""
    names = (*options.WITH_VALUE, *options.FLAGS)
    return {name: told.get(name, "") for name in names}


def words() -> list[str]:
    """Words a phrase begins with or goes on with: those of the help page, then activities and tanks of the vocabulary."""
    found = [word for phrase in completion.examples() for word in phrase.split()]
    found += [word for word in completion.vocabulary()[:150] if " " not in word]
    return list(dict.fromkeys(word for word in found if re.fullmatch(r"[A-Za-z]+(?:-[a-z]+)?", word)))


def _zsh() -> str:
    lines = []
    for name, text in described().items():
        value = f":{name}:{_zsh_value(name)}" if name in options.WITH_VALUE else ""
        lines.append(f"    '--{name}[{_quoted(text)}]{value}' \\\n")
    return "".join(lines)


def _zsh_value(name: str) -> str:
    return "_files" if name in FILES else f"({' '.join(SHELLS)})" if name == "completion" else ""


def _fish() -> str:
    lines = []
    for name, text in described().items():
        value = ""
        if name in options.WITH_VALUE:
            value = " -r -F" if name in FILES else f" -x -a '{' '.join(SHELLS)}'" if name == "completion" else " -x"
        said = f" -d '{_quoted(text)}'" if text else ""
        lines.append(f"complete -c ullage -l {name}{value}{said}\n")
    return "".join(lines)


def _no_table() -> str:
    return ""


TABLES = {"zsh": _zsh, "fish": _fish}


def _quoted(text: str) -> str:
    """Safe within single quotes and zsh's brackets."""
    return re.sub(r"[\[\]\\']", "", text).replace(":", ",")
