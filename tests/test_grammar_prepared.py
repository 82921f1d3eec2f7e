"""What is prepared from phrases.lark and words/*.txt: up to date, and read as lark itself would."""

from __future__ import annotations

import random
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from lark import Transformer
from lark.exceptions import LarkError, VisitError

from grammar import prepare
from grammar.hearing.hear import hear
from grammar.hearing.tokens import Tok, tokens
from grammar.lexicon import NO_OWN, Sense, lexicon
from grammar.pieces.chunks import END, STARTS, parser, pieces
from grammar.pieces.piece_meanings import Fed, Meaning, NoPiece
from grammar.prepared import ENGLISH, PARTS, PLACE, RULES, WORDS
from grammar.settling.settle import settle
from grammar.word_files import plural
from tests.logbook import ROOT

LARK = prepare.LARK.read_text(encoding="utf-8")


def test_the_prepared_files_are_up_to_date() -> None:
    """After a change to the words or the rules: python -m grammar.prepare."""
    kept = (
        Path(PLACE).read_text(encoding="utf-8"),
        Path(WORDS).read_bytes(),
        Path(ENGLISH).read_bytes(),
        Path(RULES).read_text(encoding="utf-8"),
        Path(PARTS).read_text(encoding="utf-8"),
    )
    assert kept == prepare.content(), "run: python -m grammar.prepare"


def sample(chance: random.Random, start: str) -> list[Fed]:
    """A random walk along what the table allows, so that most of it is a piece."""
    table = parser()
    states, values = [table.starts[start]], list[Any]()
    fed: list[Fed] = []
    for _ in range(chance.randint(1, 9)):
        kinds = sorted(kind for kind in table.rows[states[-1]] if kind in table.classes)
        if not kinds:
            break
        kind = chance.choice(kinds)
        number = float(chance.randint(1, 30))
        value = {"DAY": "-1", "WEEKDAY": "3", "MONTH": "5", "TIMES": "2"}.get(kind, "this")
        tok = Tok(
            kind.lower(), 0, 1, {kind: Sense(kind, "", value)}, number, 0.5, 3, (7, 30) if kind == "CLOCK" else (2026, 6, 9)
        )  # fmt: skip
        fed.append(Fed(kind, tok))
        try:
            table.feed(states, values, kind, fed[-1])
        except (NoPiece, KeyError, ValueError, AssertionError, TypeError):
            break
    return fed


class LarkMeaning(Meaning, Transformer):  # type: ignore[type-arg, misc]
    """The same meanings, as lark calls them."""


def by_lark(made: Any, start: str, fed: list[Fed]) -> Any:
    """lark's own walk over the same tokens; None if they are no piece."""
    state = made.parse_interactive(start=start)
    try:
        for one in fed:
            state.feed_token(one)
        return state.feed_token(Fed(END, None))
    except VisitError as fault:
        return type(fault.orig_exc).__name__
    except NoPiece:
        return "NoPiece"
    except LarkError:
        return None


def by_table(start: str, fed: list[Fed]) -> Any:
    table = parser()
    states, values = [table.starts[start]], list[Any]()
    try:
        for one in fed:
            if one.type not in table.rows[states[-1]]:
                return None
            table.feed(states, values, one.type, one)
        if END not in table.rows[states[-1]]:
            return None
        return values[-1] if table.feed(states, values, END, None, table.ends[start]) else None
    except NoPiece:
        return "NoPiece"
    except (ValueError, AssertionError, TypeError, KeyError) as fault:
        return type(fault).__name__


@pytest.mark.parametrize("start", STARTS)
def test_the_walk_of_the_table_gives_what_lark_gives(start: str) -> None:
    """500 random runs of tokens a rule: same value, or no piece by both."""
    from lark import Lark

    made = Lark(LARK, parser="lalr", start=list(STARTS), transformer=LarkMeaning())
    chance = random.Random(20260609)
    whole = 0
    for _ in range(500):
        fed = sample(chance, start)
        ours, theirs = by_table(start, fed), by_lark(made, start, fed)
        if ours in (None, "NoPiece") or theirs in (None, "NoPiece"):
            assert (ours in (None, "NoPiece")) == (theirs in (None, "NoPiece")), [one.type for one in fed]
        else:
            whole += 1
            assert repr(ours) == repr(theirs), [one.type for one in fed]
    assert whole >= 8


def examples() -> list[tuple[str, str]]:
    """(rule, example) of the "e.g." lines of phrases.lark, each of the rule that stands next."""
    found = []
    for eg, rule in re.findall(r"// e\.g\. (.+)\n\??(\w+):", LARK):
        found += [(rule, one.strip()) for one in eg.split("|")]
    return found


@pytest.mark.parametrize(("rule", "example"), examples())
def test_each_example_in_the_grammar_is_one_piece_of_its_rule(rule: str, example: str) -> None:
    """The "e.g." lines are what a reader believes; so they run."""
    toks = [
        tok for tok in settle(tokens(hear(example), lexicon(), NO_OWN), lexicon()) if not tok.has("ART") or tok.has("A")
    ]
    found = pieces(toks, example)
    assert len(found) == 1, [(piece.kind, [tok.text for tok in piece.toks]) for piece in found]
    assert rule == found[0].kind or rule in found[0].alt


def test_a_phrase_loads_neither_lark_nor_the_word_files() -> None:
    """The start of a one-shot stays short: a fresh process reads a phrase without lark."""
    code = (
        "import sys; from grammar.read import read; assert read('shower used 2 gal').meanings;"
        "assert not {'lark', 'grammar.word_files', 'grammar.prepare'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT, timeout=60)


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("muddy boot", "muddy boots"), ("dish", "dishes"), ("baking tray", "baking trays"), ("nappy", "nappies"), ("knife", "knives"),
        ("shelf", "shelves"), ("potato", "potatoes"), ("foot", "feet"), ("glass", "glasses"), ("cob of corn", "cobs of corn"), ("scarf", "scarves"),
    ],
)  # fmt: skip
def test_the_plural_of_a_thing_is_made_by_the_rules_of_spelling(one: str, many: str) -> None:
    """A line of words/*.txt whose form ends in "+" stands for the plurals too. Rules and exceptions as any English grammar has them."""
    assert " ".join(plural(tuple(one.split()))) == many


def test_no_line_of_the_vocabulary_stands_for_thousands() -> None:
    """A product of alternatives of one line once came to 330,000 spellings, and every "it" waited for them."""
    assert max(map(len, Path(WORDS).read_bytes().splitlines())) < 1_000_000
    assert Path(WORDS).stat().st_size < 6_000_000
