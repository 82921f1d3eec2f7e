"""Coverage-guided fuzzing of the three doors of fuzzing.py, with atheris (extra `studies`).

    python -m tests.fuzz_atheris read|import|say SECONDS FOLDER     go on for so long; FOLDER holds what was found between runs
    python -m tests.fuzz_atheris --keep FOLDER [COUNT]              shrink FOLDER to what reaches the most, and keep COUNT of each in corpus/fuzz

A finding ends the run with its bytes in FOLDER/NAME-finding-*. Put them into corpus/fuzz/NAME.jsonl with the mend.
"""

from __future__ import annotations

import json
import shlex
import subprocess
import sys
from pathlib import Path

KEPT = Path(__file__).resolve().parent / "corpus" / "fuzz"
NAMES = ("read", "import", "say")
LONGEST = {"read": 400, "import": 2000, "say": 400}
SLOWEST = 20  # seconds for one input


def hunt(name: str, arguments: list[str]) -> None:
    """Run libFuzzer over a target, with the program's own modules instrumented; does not return."""
    import atheris

    with atheris.instrument_imports(include=["assistant", "grammar", "state"]):
        from tests.fuzzing import TARGETS, vocabulary
    if arguments[-1].startswith("-"):  # libFuzzer's own second process, which was told everything
        atheris.Setup([sys.argv[0], *arguments], TARGETS[name])
        atheris.Fuzz()
    folder = Path(arguments[-1])
    words = folder.parent / "words.dict"
    words.write_text("".join(f'"{word}"\n' for word in vocabulary() if word.isascii() and word.isalnum()))
    again = folder.parent / f"run-{name}"  # libFuzzer starts itself anew to shrink what was found
    again.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m tests.fuzz_atheris {name} "$@"\n')
    again.chmod(0o755)
    own = [f"-dict={words}", f"-max_len={LONGEST[name]}", f"-timeout={SLOWEST}", "-rss_limit_mb=2048"]
    atheris.Setup([str(again), *own, *arguments], TARGETS[name])
    atheris.Fuzz()


def seed(name: str, folder: Path) -> None:
    """Begin with what is kept. (Nothing of the program is loaded yet: it has to be instrumented on the way in.)"""
    folder.mkdir(parents=True, exist_ok=True)
    if (KEPT / f"{name}.jsonl").exists():
        for place, line in enumerate((KEPT / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()):
            (folder / f"kept-{place}").write_bytes(json.loads(line).encode("latin-1"))


def keep(folder: Path, count: int) -> None:
    """Of what was found, that which together reaches everything, the shortest `count` of each target."""
    KEPT.mkdir(parents=True, exist_ok=True)
    for name in NAMES:
        least = folder / f"{name}-least"
        least.mkdir(exist_ok=True)
        command = [sys.executable, "-m", "tests.fuzz_atheris", name, "-merge=1", str(least), str(folder / name)]
        subprocess.run(command, check=True)
        print(f"{name}: {write(name, least, count)}")


def write(name: str, least: Path, count: int) -> str:
    """Keep that many of them, of every length, as a line of JSON each."""
    found = sorted((path.read_bytes() for path in least.iterdir()), key=lambda raw: (len(raw), raw))
    found = found[:: max(1, -(-len(found) // count))]
    text = "".join(json.dumps(raw.decode("latin-1")) + "\n" for raw in found)
    (KEPT / f"{name}.jsonl").write_text(text, encoding="utf-8")
    return f"{len(found)} kept, {len(text)} bytes"


def main() -> None:
    name, *rest = sys.argv[1:]
    if name == "--keep":
        keep(Path(rest[0]), int(rest[1]) if len(rest) > 1 else 150)
    elif rest[0].startswith("-"):
        hunt(name, rest)
    else:
        folder = Path(rest[1]) / name
        seed(name, folder)
        hunt(name, [f"-max_total_time={rest[0]}", f"-artifact_prefix={rest[1]}/{name}-finding-", str(folder)])


if __name__ == "__main__":
    main()
