"""What the reader passes over without trying it would have given nothing: on all phrases of the corpus, whole and in part, and on salad."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from grammar.asking import asking
from grammar.asking.ahead import AHEAD
from grammar.asking.asked import Rules
from grammar.asking.asking import question
from grammar.asking.questions import TOPICS
from grammar.asking.round_questions import ROUND
from grammar.hearing.hear import hear
from grammar.hearing.heard import even_out
from grammar.hearing.tense import done_after_all
from grammar.hearing.tokens import Tok, tokens
from grammar.lexicon import NO_OWN, lexicon
from grammar.pieces.clause import FRAMES, Clause, Growing, _plain, calls_of
from grammar.settling.settle import settle
from grammar.telling.statements import clause_of
from tests.phrasebook import load

SAID = [case["say"] for case in load()][::2]


def settled(text: str) -> list[Tok]:
    words, _ = done_after_all(even_out(hear(text)))
    return settle(tokens(words, lexicon(), NO_OWN), lexicon())


def parts(salads: int = 2000) -> Iterator[tuple[str, list[Tok]]]:
    """Each phrase, its head or its tail cut off anywhere, and words of the phrases in any order."""
    chance = random.Random(20261129)
    for text in SAID:
        toks = settled(text)
        cut = chance.randint(0, len(toks))
        yield from ((text, some) for some in (toks, toks[:cut], toks[cut:]) if some)
    words = [word for text in SAID for word in text.replace(",", " ").replace("?", " ?").split()]
    for _ in range(salads):
        text = " ".join(chance.choices(words, k=chance.randint(1, 8)))
        yield text, settled(text)


@pytest.fixture(scope="module")
def some() -> list[tuple[str, list[Tok], Clause]]:
    return [(text, toks, clause) for text, toks in parts() if toks and (clause := clause_of(text, toks)).pieces]


@pytest.mark.parametrize("rules", [TOPICS, ROUND, AHEAD], ids=["topics", "round", "ahead"])
def test_a_rule_gives_nothing_where_nothing_calls_it_up(
    rules: Rules, some: list[tuple[str, list[Tok], Clause]]
) -> None:
    """A rule of questions is asked only where the clause holds one of its cues."""
    for text, _, clause in some:
        for one in rules.rules:
            if not clause.holds(one.cues):
                assert one.ask(clause) is None, (text, one.ask)


def test_a_change_of_habits_is_asked_about_only_in_words_that_call_it_up(
    some: list[tuple[str, list[Tok], Clause]], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = [question(text, list(toks)) for text, toks, _ in some]
    every = frozenset(cls for text, toks, _ in some for tok in toks for cls in tok.senses)
    monkeypatch.setattr(asking, "_ALTERS", every)
    for before, (text, toks, _) in zip(found, some, strict=True):
        assert question(text, list(toks)) == before, text


def test_a_frame_that_a_word_calls_up_in_any_form_is_not_asked_once_more(
    some: list[tuple[str, list[Tok], Clause]],
) -> None:
    """Where its bit is set, its cues hold."""
    seen = 0
    for text, _, clause in some:
        growing = Growing()
        for piece in clause.pieces:
            growing.add(piece, calls_of(piece))
        for place, frame in enumerate(FRAMES):
            if growing.cued & _plain() & 1 << place:
                seen += 1
                assert frame.cued(growing.clause), (text, frame.name)
    assert seen > 1000
