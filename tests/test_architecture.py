"""Who may import whom, who reads the clock, and what a one-shot loads: the map of DEVELOPERS.md, held by walking the files."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from fnmatch import fnmatch
from importlib import import_module
from pathlib import Path

from assistant.interpret.table import BOOKERS
from grammar import intents, rejoinders
from state.log.fingerprint import FOLDING
from tests.logbook import ROOT

PACKAGES = ("grammar", "state", "assistant")
MAY_IMPORT = {"grammar": {"grammar"}, "state": {"state"}, "assistant": {"assistant", "state", "grammar"}}
OUTSIDE = {
    "lark": {"grammar/"},
    "pydantic": {"state/events.py"},
    "pint": {"state/units.py"},
    "sqlite_utils": {"state/log/migrations.py"},
    "prompt_toolkit": {"assistant/chat.py", "assistant/chat_keys.py"},
}
BELOW = {
    "grammar/hearing": (),
    "grammar/settling": ("hearing",),
    "grammar/pieces": ("hearing",),
    "grammar/frames": ("pieces", "settling", "hearing"),
    "grammar/telling": ("frames", "pieces", "settling", "hearing"),
    "grammar/asking": ("telling", "frames", "pieces", "settling", "hearing"),
    "state/habits": (),
    "state/water": ("habits",),
    "state/log": ("water",),
    "state/used": ("habits",),
    "state/ahead": ("used", "water", "habits"),
    "state/care": ("water", "habits"),
}
"""Each room within a package, and the rooms that it may look into."""
CLOCK_READERS = {"assistant/clock.py"}
DEVICE_TIME = {"state/log/store.py", "state/log/opening.py"}
"""ids carry the device's own time, and waiting for another writer needs a stopwatch; neither is a "now" that a computation sees."""

FILES = sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imports(path: Path) -> Iterator[str]:
    """Full names of all that a file imports, anywhere in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports go by full name"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def none_of(found: list[str]) -> None:
    """All that breaks the rule, a line each."""
    assert not found, "\n" + "\n".join(found)


def allowed(name: str, found: str) -> bool:
    top = found.partition(".")[0]
    if top in PACKAGES:
        return top in MAY_IMPORT[name.partition("/")[0]]
    if top in OUTSIDE:
        return any(name.startswith(door) for door in OUTSIDE[top])
    return top in sys.stdlib_module_names


def test_imports_follow_the_map() -> None:
    """grammar knows no state, state knows no words, and each library has one door."""
    none_of(
        [
            f"{name_of(path)} imports {found}"
            for path in FILES
            for found in imports(path)
            if not allowed(name_of(path), found)
        ]
    )


def test_what_computes_does_not_touch_the_log() -> None:
    """Only the room of the log knows the log; all else in state gets its events as arguments."""
    none_of(
        [
            f"{name_of(path)} imports {found}"
            for path in FILES
            if name_of(path).startswith("state/") and not name_of(path).startswith("state/log/")
            for found in imports(path)
            if found.startswith(("sqlite3", "state.log"))
        ]
    )


def test_a_room_looks_only_into_those_below_it() -> None:
    """Rooms within a package are built one on the other; every folder of the two packages is such a room."""
    folders = {name_of(path.parent) for path in FILES if path.parent.parent.name in ("grammar", "state")}
    assert folders == set(BELOW)
    none_of(
        [
            f"{name_of(path)} imports {found}"
            for path in FILES
            if (room := name_of(path.parent)) in BELOW
            for found in imports(path)
            if (other := "/".join(found.split(".")[:2])) in BELOW
            if other != room and other.partition("/")[2] not in BELOW[room]
        ]
    )


def test_no_module_needs_one_that_needs_it() -> None:
    """Imports run one way, those for types and those inside functions too: a room can be read without the ones built on it."""
    names = {name_of(path).removesuffix(".py").removesuffix("/__init__").replace("/", "."): path for path in FILES}
    needs = {
        name: {found if found in names else found.rpartition(".")[0] for found in imports(path)} & names.keys() - {name}
        for name, path in names.items()
    }
    while free := {name for name, others in needs.items() if not others & needs.keys()}:
        needs = {name: others for name, others in needs.items() if name not in free}
    none_of([f"{name} needs {', '.join(sorted(others & needs.keys()))}" for name, others in sorted(needs.items())])


def asks(path: Path) -> Iterator[str]:
    """Calls that read a clock or draw at random, with their line."""
    for node in ast.walk(tree(path)):
        called = ast.unparse(node.func) if isinstance(node, ast.Call) else ""
        clock = called in ("time.time", "time.time_ns", "time.localtime", "time.monotonic") or (
            called.rpartition(".")[2] in ("now", "utcnow", "today") and called != "clock.now"
        )
        if clock or called.startswith(("random.", "secrets.", "uuid.")):
            yield f"{name_of(path)}:{getattr(node, 'lineno', 0)} calls {called}"


def test_the_clock_has_one_door_and_chance_has_none() -> None:
    """No now(), today() or time() outside clock.py, no random numbers anywhere; what is asked twice is answered alike."""
    none_of([found for path in FILES if name_of(path) not in CLOCK_READERS | DEVICE_TIME for found in asks(path)])


def test_events_are_told_apart_by_kind() -> None:
    """Entries of every kind are one class: asking isinstance of an event is always wrong."""
    none_of(
        [
            f"{name_of(path)}:{node.lineno}"
            for path in FILES
            for node in ast.walk(tree(path))
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "isinstance" and "events." in ast.unparse(node)
        ]
    )


def test_a_module_says_what_it_is_and_is_not_too_long() -> None:
    """Files open with a docstring and stay under 400 lines."""
    none_of([f"{name_of(path)} has no docstring" for path in FILES if not ast.get_docstring(tree(path))])
    long = {name_of(path): len(path.read_text(encoding="utf-8").splitlines()) for path in FILES}
    none_of([f"{name} has {lines} lines" for name, lines in long.items() if lines >= 400])


def test_a_start_compiles_no_patterns_but_the_one_that_every_phrase_needs() -> None:
    """A one-shot pays for each; patterns.py compiles what a phrase may match, when it may."""
    none_of(
        [
            f"{name_of(path)}:{node.lineno}"
            for path in FILES
            if name_of(path).startswith("grammar/")
            and name_of(path)
            not in ("grammar/hearing/hear.py", "grammar/neighbour_files.py")  # the latter only to prepare
            for node in tree(path).body
            if any(ast.unparse(part.func) == "re.compile" for part in ast.walk(node) if isinstance(part, ast.Call))
            and not isinstance(node, ast.FunctionDef | ast.ClassDef)
        ]
    )


def test_the_map_of_rooms_names_every_module() -> None:
    """A reader of DEVELOPERS.md finds each file of the three packages in it, by its name or by a pattern of names."""
    rooms = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = [name.split("/")[-1] for name in re.findall(r"`([\w/*]+\.py)`", rooms)]
    mapped = [
        path
        for path in FILES
        if path.name != "__init__.py" and (path.parent.name in PACKAGES or name_of(path.parent) in BELOW)
    ]
    none_of([name_of(path) for path in mapped if not any(fnmatch(path.name, name) for name in named)])


def test_no_page_bears_the_marks_of_a_merge() -> None:
    """Nothing that the tools for code would not stumble over: pages, word files, corpora."""
    pages = [
        path for ending in ("md", "txt", "toml") for path in ROOT.rglob(f"*.{ending}") if ".venv" not in path.parts
    ]
    assert pages
    marks = re.compile(r"^(<{7}|>{7}) ", re.MULTILINE)
    none_of([name_of(path) for path in pages if marks.search(path.read_text(encoding="utf-8"))])


def test_what_is_booked_has_its_interpreter() -> None:
    """The table of meanings names classes and functions that are there."""
    for meaning, place in BOOKERS.items():
        module, _, name = place.partition(".")
        assert issubclass({**vars(intents), **vars(rejoinders)}[meaning], intents.Intent)
        assert callable(getattr(import_module(f"assistant.interpret.{module}"), name)), place


LOADS = """
import sys
import assistant.__main__ as door
assert door.main(sys.argv[1:]) in (0, 1, 3)
print(sorted({"prompt_toolkit", "pint", "sqlite_utils"} & set(sys.modules)))
"""


def test_a_one_shot_loads_no_chat_and_no_units_library(db: Path) -> None:
    """Once the log is there, a phrase starts neither prompt_toolkit nor pint nor sqlite_utils; help starts no grammar."""
    subprocess.run(
        [sys.executable, "-m", "assistant", "--db", str(db), "status"], cwd=ROOT, capture_output=True, check=False
    )
    done = subprocess.run(
        [sys.executable, "-c", LOADS, "--db", str(db), "shower used 2 gal"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[-1] == "[]", done.stdout
    code = "import sys, assistant.__main__ as door; door.main(['--help']); assert not {'grammar', 'state.events', 'lark'} & set(sys.modules)"
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=True)


def test_the_two_copies_of_lightclass_are_one_file() -> None:
    """Neither package may import the other, so each has the tool; it is changed in both or in none."""
    one, other = ((ROOT / package / "lightclass.py").read_bytes() for package in ("state", "grammar"))
    assert one == other


def test_a_kept_world_is_dropped_when_anything_changes_on_which_folding_depends() -> None:
    """fingerprint.FOLDING names every module that reading and folding need, directly or not, and no other."""
    needed, left = set[str](), ["water/fold", "log/history", "log/ordering", "log/rows"]
    while left:
        name = left.pop()
        path = ROOT / "state" / f"{name}.py"
        if name not in needed and path.exists():
            needed.add(name)
            found = [one.split(".")[1:] for one in imports(path) if one.startswith("state.")]
            left += [one[0] for one in found] + ["/".join(one[:2]) for one in found]
    assert set(FOLDING) == needed
