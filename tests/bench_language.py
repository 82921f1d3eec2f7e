"""How well phrases are understood when a phone mishears them, what is made of nonsense, and how fast. Run by hand:

    pytest -m bench tests/bench_language.py -s

ULLAGE_PHRASES=FILE measures another file of phrases too; ULLAGE_SEEDS=N draws the noise so many times (default 3).
"""

from __future__ import annotations

import os
import random
import time
from collections import Counter
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from assistant import open_conversation
from grammar.intents import Names
from grammar.read import read
from tests.noise import fair, noisy
from tests.phrasebook import CORPUS, RIG_NOW, lay_rig, load, quick_folder, run_all, table, told
from tests.talking import at

pytestmark = pytest.mark.bench

RIGHT, FALSE = 0.92, 0.003
NAMES = Names(people=("Ana", "Joss"), sites=("Heron Bend", "Cedar Flat"))


def files() -> list[Path]:
    other = os.environ.get("ULLAGE_PHRASES")
    return [CORPUS, *([Path(other)] if other else [])]


@pytest.mark.parametrize("path", files(), ids=lambda path: path.stem)
def test_noisy_phrases_are_understood_or_asked_about(path: Path) -> None:
    """At least 92 % right and at most 0.3 % booked wrongly, of the phrases on which noise is fair; failures are printed."""
    seeds = range(int(os.environ.get("ULLAGE_SEEDS", "3")))
    cases = [
        {**case, "say": noisy(case, seed), "tags": [*case["tags"], f"seed {seed}"]}
        for seed in seeds
        for case in load(path)
        if fair(case)
    ]
    verdicts = run_all(cases)
    print(f"\n{path.name}, {len(seeds)} seeds of noise\n{table(verdicts)}")
    wrong = [told(verdict) for verdict in verdicts if verdict.kind in ("false", "crash")]
    print("\n".join(wrong))
    missed = [told(verdict) for verdict in verdicts if verdict.kind in ("outcome", "answer")]
    print(f"not understood, asked without need or answered otherwise: {len(missed)}, of which 40:")
    print("\n".join(missed[:: max(1, len(missed) // 40)]))
    count = Counter(verdict.kind for verdict in verdicts)
    right, false = count["right"] / len(verdicts), len(wrong) / len(verdicts)
    print(f"noise: {right:.4f} right, {false:.4f} false")
    assert right >= RIGHT and false <= FALSE


def vocabulary() -> list[str]:
    """Words that the phrases use, each as often as it is used."""
    return [word for case in load() for word in case["say"].replace(",", " ").replace("?", " ").split()]


def test_word_salad_is_hardly_ever_booked() -> None:
    """Words of the vocabulary in random order: nothing raises; how many are booked is printed with examples, to be read by eye."""
    chance, words = random.Random(20260609), vocabulary()
    booked: list[tuple[str, str]] = []
    outcomes: Counter[str] = Counter()
    total = int(os.environ.get("ULLAGE_SALAD", "4000"))
    with quick_folder() as folder:
        log = lay_rig(folder / "salad.db")
        with open_conversation(log) as talk:
            for _ in range(total):
                said = " ".join(chance.choice(words) for _ in range(chance.randint(2, 8)))
                reply = talk.say(said, now=at("09T08:00"), dry_run=True)
                outcomes[reply.outcome] += 1
                if reply.outcome == "recorded":
                    booked.append((said, reply.answer))
    print(f"\n{total} salads: {dict(outcomes)}")
    print("\n".join(f"  {said!r} -> {answer}" for said, answer in booked[:150]))
    assert len(booked) <= 0.02 * total


def test_salad_is_read_without_an_exception() -> None:
    """100,000 random phrases of the vocabulary through the reader alone: none raises."""
    chance, words = random.Random(1), vocabulary()
    total = int(os.environ.get("ULLAGE_READ", "100000"))
    began = time.perf_counter()
    kinds: Counter[str] = Counter()
    for _ in range(total):
        kinds[type(read(" ".join(chance.choices(words, k=chance.randint(1, 9))), NAMES)).__name__] += 1
    print(f"\n{total} phrases read in {time.perf_counter() - began:.0f} s: {dict(kinds)}")
    assert sum(kinds.values()) == total


# ------------------------------------------------------------------------------------------------ speed


def per_phrase(reader: Callable[[str], Any], said: list[str], repeat: int = 3) -> float:
    """Seconds a phrase, warm: the best of some passes after one to warm up."""
    passes = []
    for _ in range(repeat + 1):
        began = time.perf_counter()
        for one in said:
            reader(one)
        passes.append((time.perf_counter() - began) / len(said))
    return min(passes[1:])


def test_reading_is_twenty_times_faster_than_general_readers() -> None:
    """A whole phrase against dateparser for its time alone and a quantity extractor for its amount alone, warm, on the same phrases."""
    dateparser = pytest.importorskip("dateparser")
    from dateparser.search import search_dates

    said = [
        case["say"]
        for case in load()
        if {"use", "time"} & set(case["tags"]) and "recorded" in case["expect"]["outcome"]
    ][:60]
    ours = per_phrase(lambda text: read(text, NAMES), said)
    now = datetime.fromisoformat(RIG_NOW).replace(tzinfo=None)
    dates = per_phrase(
        lambda text: search_dates(text, languages=["en"], settings={"RELATIVE_BASE": now}), said[:30], repeat=1
    )
    only_time = per_phrase(
        lambda text: dateparser.parse(text, languages=["en"], settings={"RELATIVE_BASE": now}),
        ["yesterday evening", "an hour ago", "last night", "at 7"],
    )
    print(f"\nours {1e3 * ours:.2f} ms a phrase; dateparser.search {1e3 * dates:.1f} ms ({dates / ours:.0f} times)")
    print(f"dateparser.parse of a time alone {1e3 * only_time:.2f} ms")
    try:
        from quantulum3 import parser
    except ImportError:
        parser = None
    if parser is not None:
        amounts = per_phrase(parser.parse, said, repeat=1)
        print(f"quantulum3 {1e3 * amounts:.1f} ms ({amounts / ours:.0f} times)")
    assert dates >= 20 * ours


def test_reading_is_linear_in_length() -> None:
    """2,000 characters answer in under 50 ms once warm, and twice the length takes at most about three times the time."""
    for text in (
        "shower used 2 gal and dishes 1.5 and ",
        "blorp fnord ",
        "2 ",
        "the grey tank is ",
        "um uh ",
        "and ",
        "two and a half ",
        "?" * 7 + " ",
    ):
        times = []
        for size in (1000, 2000, 4000):
            said = (text * (size // len(text) + 1))[:size]
            read(said, NAMES)
            times.append(min(per_phrase(lambda words: read(words, NAMES), [said], repeat=2) for _ in range(2)))
        print(f"{text!r}: " + ", ".join(f"{1e3 * one:.1f} ms" for one in times))
        assert times[1] < 0.050, text
