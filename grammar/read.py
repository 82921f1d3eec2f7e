"""A phrase into typed meanings, or into what was not understood of it. The only door of this package; never raises.

Order: words (hear) → tokens (tokens, settle) → mood (mood) → pieces (chunks, phrases.lark) → clauses (the cheapest division of the
phrase that some frame reads whole). Misspellings are tried last and kept only if a whole reading follows from exactly one.
May import: everything in grammar.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

from grammar import intents as say
from grammar import rig_frames, trip_frames, water_frames  # noqa: F401  (they enter their frames in the table)
from grammar.chunks import Piece, pieces
from grammar.clause import FRAMES, Clause, readings
from grammar.hear import LONGEST, Word, hear
from grammar.intents import Ask, Impossible, Intent, Names, NotAReport, NotUnderstood, Reading, Repair
from grammar.lexicon import Sense, lexicon
from grammar.mood import is_question, mood
from grammar.questions import ask, split_if, what_if
from grammar.repair import candidates, misheard
from grammar.replies import again, fragment, whole_reply
from grammar.round import ask_round, own_words
from grammar.settle import settle
from grammar.shown import ask_shown
from grammar.tokens import Tok, tokens
from grammar.verbatim import verbatim
from grammar.why_not import impossible, not_understood

Result = Reading | NotUnderstood | Impossible
Own = Mapping[tuple[str, ...], tuple[Sense, ...]]

LONGEST_CLAUSE = 16
MOST_REPAIRS = 4


def read(text: str, names: Names | None = None) -> Result:
    """What a phrase means.

    Args:
        text: the words as typed or dictated.
        names: the names of this rig.
    Returns: the meanings, all of the phrase; or why there are none. Never raises.
    """
    try:
        return _read(text, names or Names())
    except Exception:  # a phrase must never bring the conversation down
        return NotUnderstood("unreadable", "I could not read that, so nothing was recorded.")


def _read(text: str, names: Names) -> Result:
    if len(text) > LONGEST:
        return NotUnderstood(
            "too-long", f"That is longer than {LONGEST} characters, so nothing was recorded. Please say it in parts."
        )
    literal = own_words(text) or verbatim(text)
    if literal is not None:
        return Reading((replace(literal, text=text.strip()),), as_read=text)
    words = misheard(hear(text))
    own = _own(names)
    understood = _attempt(text, words, own)
    if understood is not None:
        return _checked(understood, text)
    repaired = _repaired(text, words, own)
    if repaired is not None:
        return _checked(repaired, text) if isinstance(repaired, Reading) else repaired
    last = _attempt(text, words, own, hold_back=False, new_activity=True)
    if last is not None:
        return _checked(last, text)
    return not_understood(text, settle(tokens(words, lexicon(), own), lexicon()))


def _checked(reading: Reading, text: str) -> Result:
    return impossible(reading) or reading


def _own(names: Names) -> Own:
    """The spellings of this rig's own names."""
    found: dict[tuple[str, ...], tuple[Sense, ...]] = {}

    def enter(name: str, sense: Sense) -> None:
        key = tuple(word.text for word in hear(name) if word.kind == "word")
        if key:
            found[key] = (*found.get(key, ()), sense)

    for person in names.people:
        enter(person, Sense("PERSON", "", person))
    for site in names.sites:
        enter(site, Sense("SITE", "", site))
    for tank in names.tanks:
        enter(tank, Sense("TANK", "", tank.casefold()))
        enter(f"{tank} tank", Sense("TANK", "tank", tank.casefold()))
    for name in names.activities:
        enter(name, Sense("ACT", "noun", name))
    for item in names.items:
        enter(item, Sense("SERVICE", "", item))
        enter(item, Sense("GEAR", "", item))
    for word, means in names.taught:
        for sense in lexicon().spellings.get(tuple(means.casefold().split()), (Sense("ACT", "noun", means),)):
            enter(word, sense)
    return found


# ---------------------------------------------------------------- one set of words


def _attempt(
    text: str, words: Sequence[Word], own: Own, hold_back: bool = True, new_activity: bool = False
) -> Reading | None:
    """A whole reading of these words, if there is one. `hold_back`: words that may be misspellings are not taken as names yet."""
    toks = tokens(words, lexicon(), own)
    doubtful = {tok.text for tok in toks if not tok.known and candidates(tok.text)} if hold_back else frozenset()
    meanings = _meanings(text, settle(toks, lexicon(), doubtful, new_activity))
    if not meanings:
        return None
    return Reading(tuple(meanings), as_read=_as_read(words))


def _as_read(words: Sequence[Word]) -> str:
    return (
        " ".join(dict.fromkeys([word.text for word in words]))
        if False
        else " ".join(word.text for word in words).replace(" 's", "'s").replace(" ,", ",")
    )


def _meanings(text: str, toks: list[Tok]) -> list[Intent] | None:
    if not toks:
        return None
    reply = whole_reply(toks)
    if reply is not None:
        return [replace(reply, text=text.strip())]
    taken_back = _undo(text, toks)
    if taken_back is not None:
        return [taken_back]
    amended = _amend(text, toks)
    if amended is not None:
        return amended
    parts = _sentences(toks)
    found: list[Intent] = []
    for part in parts:
        meaning = _sentence(text, part, alone=len(parts) == 1)
        if meaning is None:
            return None
        found.extend(meaning)
    return _settled(found)


def _settled(found: list[Intent]) -> list[Intent] | None:
    """Statements and questions may stand together; what is no report spoils the whole."""
    if len(found) > 1 and any(isinstance(one, NotAReport) for one in found):
        return [next(one for one in found if isinstance(one, NotAReport))]
    if len(found) > 1 and any(isinstance(one, say.Fragment) for one in found):
        return None
    return found


def _sentences(toks: Sequence[Tok]) -> list[list[Tok]]:
    """Parts between full stops and question marks; a mark stays with what it ends."""
    parts: list[list[Tok]] = [[]]
    for tok in toks:
        if tok.has("STOP", "SEMI", "QMARK") and tok.text in ".;!?":
            if tok.has("QMARK"):
                parts[-1].append(tok)
            parts.append([])
        else:
            parts[-1].append(tok)
    kept = [
        part
        for part in parts
        if any(
            not tok.has("FILLER", "COMMA", "QMARK", "ART") or tok.has("SELF", "YES", "NO", "AGAIN", "WALK")
            for tok in part
        )
    ]
    return kept or ([list(toks)] if toks else [])


def _sentence(text: str, toks: list[Tok], alone: bool) -> list[Intent] | None:
    toks, logged = _forgot_to_log(toks)
    if not toks:
        return None
    split = _statement_and_question(text, toks)
    if split is not None:
        return split
    asked = _question(text, toks)
    if asked is not None and (not logged):
        return asked
    made = [] if _blocked(toks) else _statements(text, toks)
    if made:
        return made
    why = mood(toks)
    coming = _coming(text, toks) if why == "intention" else None
    if coming is not None:
        return coming
    if why is not None:
        return _not_a_report(text, toks, why)
    clause = Clause(_pieces(text, toks))
    if alone and clause.pieces:
        same = again(clause)
        if same is not None:
            return [replace(same, text=text.strip())]
        piece = fragment(clause)
        if piece is not None:
            return [replace(piece, text=text.strip())]
    return None


def _blocked(toks: Sequence[Tok]) -> bool:
    return mood(toks) is not None


def _forgot_to_log(toks: list[Tok]) -> tuple[list[Tok], bool]:
    """ "forgot to log my shower" reports the shower: the words about logging go."""
    kept = [tok for tok in toks if not tok.has("FORGOTLOG")]
    return kept, len(kept) != len(toks)


def _pieces(text: str, toks: Sequence[Tok]) -> list[Piece]:
    """The pieces of tokens without what carries nothing."""
    kept = [tok for tok in toks if not (_light(tok))]
    return _self_corrected(pieces(kept, text))


def _light(tok: Tok) -> bool:
    return tok.known and (tok.senses.keys() <= {"FILLER", "ART"} or tok.has("POSS"))


def _self_corrected(found: list[Piece]) -> list[Piece]:
    """ "two no three gallons": of two pieces of one kind with a word of correction between them, the later counts."""
    kept: list[Piece] = []
    i = 0
    while i < len(found):
        piece = found[i]
        if piece.has("FIX") and kept and i + 1 < len(found):
            j = i + 1
            while j < len(found) and found[j].has("FIX", "COMMA"):
                j += 1
            back = next((k for k in range(len(kept) - 1, max(-1, len(kept) - 3), -1) if not kept[k].has("COMMA")), None)
            if j < len(found) and back is not None and _same_sort(kept[back], found[j]):
                del kept[back:]
                i = j
                continue
        kept.append(piece)
        i += 1
    return kept


def _same_sort(one: Piece, other: Piece) -> bool:
    if one.kind != other.kind:
        return False
    return one.kind != "word" or (one.has("ACT") and other.has("ACT"))


# ---------------------------------------------------------------- statements


def _statements(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """The cheapest division of the tokens into clauses that frames read whole."""
    parts = _pieces(text, toks)
    size = len(parts)
    if not size or size > 600:
        return None
    best: list[tuple[float, list[Intent]] | None] = [None] * (size + 1)
    best[0] = (0.0, [])
    for i in range(size):
        here = best[i]
        if here is None:
            continue
        if _joiner(parts[i]) or _empty(parts[i]):
            _better(best, i + 1, here[0] + 0.01, here[1])
        if _joiner(parts[i]) and not parts[i].has("NEXTSTOP"):
            continue
        joined = i == 0 or parts[i - 1].has("AND", "THEN", "COMMA", "BUT") or _empty(parts[i - 1])
        for j in range(i + 1, min(size, i + LONGEST_CLAUSE) + 1):
            made = [] if _joiner(parts[j - 1]) else readings(Clause(parts[i:j]), FRAMES)
            if not made:
                continue
            rank, meanings = made[0]
            if len(made) > 1 and made[1][0] == rank and made[1][1] != meanings:
                continue
            inner = sum(3.0 for piece in parts[i + 1 : j - 1] if piece.has("AND", "THEN", "BUT")) + sum(
                1.0 for piece in parts[i + 1 : j - 1] if piece.has("COMMA")
            )
            cost = here[0] + 10 + (0 if joined else 6) + inner - 0.1 * rank
            named = [replace(one, text=text[parts[i].start : parts[j - 1].end]) for one in meanings]
            _better(best, j, cost, here[1] + named)
    final = best[size]
    if final is None or not final[1]:
        return None
    return _shared_time(final[1], parts)


def _joiner(piece: Piece) -> bool:
    return piece.has("AND", "THEN", "COMMA", "BUT", "COLON")


def _empty(piece: Piece) -> bool:
    return piece.kind == "word" and piece.toks[0].has("FILLER", "SELF")


def _better(best: list[tuple[float, list[Intent]] | None], place: int, cost: float, meanings: list[Intent]) -> None:
    now = best[place]
    if now is None or cost < now[0]:
        best[place] = (cost, meanings)


def _shared_time(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """A time at the very start of the phrase goes for all its clauses that have none of their own."""
    first = made[0].when
    lead = next((piece for piece in parts if not _empty(piece)), None)
    if first is None or len(made) == 1 or lead is None or lead.kind != "when":
        return made
    return [one if one.when is not None else replace(one, when=first) for one in made]


# ---------------------------------------------------------------- questions and what is no report


def _question(text: str, toks: list[Tok]) -> list[Intent] | None:
    if any(tok.has("IF") for tok in toks) or _with_guests(toks):
        halves = split_if(toks) or ([], list(toks))
        if not any(tok.has("OTHER", "REPORTED") for tok in toks):
            main = Clause(_pieces(text, halves[0]))
            found = what_if(main, [Clause(_pieces(text, halves[1]))])
            if found is not None:
                return [replace(found, text=text.strip())]
        return None
    clause = Clause(_pieces(text, toks))
    if not clause.pieces:
        clause = Clause(pieces(toks, text))
    if any(tok.has("OTHER", "REPORTED") for tok in toks) and not any(tok.has("QWORD") for tok in toks[:2]):
        return None
    of_round = ask_shown(clause) or ask_round(clause)
    if of_round is not None:
        return [replace(of_round, text=text.strip())]
    polar = is_question(toks)
    found = ask(clause)
    if found is None:
        return None
    if polar or (
        found.topic in ("explain", "help", "checklist", "history", "status", "make_it", "plan", "due", "runway")
        and _bare(clause, found)
    ):
        return [replace(found, text=text.strip())]
    return None


def _bare(clause: Clause, found: Ask) -> bool:
    """A question without its sign: only words that make one, no statement in it."""
    if found.topic in ("explain", "help", "checklist", "dose"):
        return True
    if found.topic == "runway":
        return clause.has("DAYSLEFT") and not clause.has("ACT")
    if found.topic == "make_it":
        return found.again or clause.pieces[0].has("MAKEIT", "AUX")
    if found.topic == "plan":
        return clause.has("PLANQ") and not clause.has("FUTURE")
    if found.topic == "due":
        return clause.pieces[0].has("DUE") or clause.pieces[-1].has("DUE")
    if found.topic == "status":
        return clause.has("STATUS") and clause.get("amount") is None and not clause.has("DUMP", "FULLNESS")
    return clause.has("SHOW") or all(
        piece.kind == "when" or piece.has("HISTORY", "FILLER", "PREP", "AND") for piece in clause.pieces
    )


def _with_guests(toks: Sequence[Tok]) -> bool:
    core = [tok for tok in toks if not tok.has("FILLER")]
    return (
        bool(core)
        and core[0].text in ("with", "without")
        and (any(tok.has("GUESTS") for tok in core) or core[0].text == "without")
    )


def _statement_and_question(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "dumped grey, how are we doing": a report, then a question."""
    for i in range(1, len(toks)):
        if (
            toks[i].has("QWORD", "AUX", "STATUS")
            and toks[i - 1].has("COMMA", "AND", "THEN", "FILLER")
            and is_question(toks[i:])
        ):
            if _blocked(toks[: i - 1]):
                continue
            made, asked = _statements(text, toks[:i]), _question(text, toks[i:])
            if made and asked:
                return made + asked
    return None


def _not_a_report(text: str, toks: Sequence[Tok], why: str) -> list[Intent] | None:
    """Understood as no report only if it speaks of our things and every word is known."""
    ours = any(
        tok.has(
            "ACT",
            "DUMP",
            "FILL",
            "TANK",
            "TANKS",
            "METER",
            "RINSE",
            "HAUL",
            "USE",
            "RESET",
            "UNIT",
            "VALVE",
            "STAY",
            "PUT",
            "TOTE",
        )
        for tok in toks
    )
    if not ours or (any(not tok.known for tok in toks) and why not in ("other_people", "reported")):
        return None
    return [NotAReport(why=why, text=text.strip())]


def _coming(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """ "we'll be away Saturday": an absence or a party to come, stated as settled with "will" and a day."""
    will = [tok for tok in toks if tok.has("FUTURE")]
    if len(will) != 1 or will[0].text not in ("will", "going to") or any(tok.has("NEG", "ABOUT") for tok in toks):
        return None
    made = _statements(text, [tok for tok in toks if tok is not will[0]])
    if not made or len(made) != 1:
        return None
    one = made[0]
    if isinstance(one, say.Away) and (one.when is not None or one.until is not None):
        return [say.Expect(what="absence", start=one.when, until=one.until, text=text.strip())]
    if isinstance(one, say.Party) and one.when is not None:
        return [say.Expect(what="party", start=one.when, until=one.until, people=one.people, text=text.strip())]
    return [replace(one, text=text.strip())] if isinstance(one, say.Expect | say.Stop) else None


# ---------------------------------------------------------------- corrections


def _undo(text: str, toks: list[Tok]) -> Intent | None:
    """ "undo the last two", "delete the dishes"."""
    core = [
        tok
        for tok in toks
        if not tok.has("COMMA", "STOP") and (not tok.has("FILLER", "ART") or tok.has("UNDO", "WHICH"))
    ]
    if len(core) < 2 or not core[0].has("UNDO"):
        return None
    rest = [tok for tok in core[1:] if not tok.has("WHICH", "ONE", "UNDO", "HISTORY", "PREP")]
    if len(rest) == 1 and rest[0].number is not None and rest[0].number == int(rest[0].number) and rest[0].number >= 1:
        return say.Undo(count=int(rest[0].number), text=text.strip())
    if len(rest) == 1 and rest[0].has("ACT", "DUMP", "FILL", "METER", "LEVELWORD", "HAUL", "RINSE"):
        return say.Undo(what=next(one.value for one in rest[0].senses.values()), text=text.strip())
    return None


def _amend(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "make that 3", "no, dishes", "actually it was black": a change of what was said last."""
    core = list(toks)
    while core and core[0].has("FILLER", "COMMA") and not core[0].has("AMEND", "NO"):
        core = core[1:]
    taken = 0
    while taken < len(core) and (
        core[taken].has("AMEND") or (taken and core[taken].has("COMMA", "FILLER", "NO", "BE", "IT"))
    ):
        taken += 1
    if not taken and core and core[0].has("NO") and len(core) > 1 and core[1].has("COMMA"):
        taken = 2
        while taken < len(core) and (core[taken].has("AMEND") or core[taken].has("COMMA")):
            taken += 1
    if not taken or taken == len(core):
        return None
    if core[0].text in ("was",) and is_question(core):
        return None
    rest = core[taken:]
    if mood(rest) is not None and not rest[0].has("NEG"):
        return None
    clause = Clause(_pieces(text, rest))
    change = fragment(clause) if clause.pieces else None
    if change is not None:
        return [say.Amend(change=change, text=text.strip())]
    made = _statements(text, rest)
    return [say.Amend(whole=made[0], text=text.strip())] if made and len(made) == 1 else None


# ---------------------------------------------------------------- misspellings


def _repaired(text: str, words: Sequence[Word], own: Own) -> Result | None:
    """Readings after mending unknown words; one meaning is taken, two are a question back."""
    toks = tokens(words, lexicon(), own)
    unknown = {tok.text for tok in toks if not tok.known and tok.text.isalpha() and tok.text not in lexicon().english}
    places = [
        (i, candidates(word.text)) for i, word in enumerate(words) if word.text in unknown and candidates(word.text)
    ]
    if not places or len(places) > MOST_REPAIRS:
        return None
    found: list[tuple[Reading, int]] = []
    for choice in itertools.islice(itertools.product(*[options for _, options in places]), 24):
        mended = list(words)
        for (i, _), (meant, _) in zip(places, choice, strict=True):
            mended[i] = replace(words[i], text=meant)
        reading = _attempt(text, misheard(mended), own)
        if reading is None:
            continue
        repairs = tuple(Repair(words[i].text, meant) for (i, _), (meant, _) in zip(places, choice, strict=True))
        _enter(found, replace(reading, repairs=repairs), max(cost for _, cost in choice))
    if len(found) == 1:
        reading, cost = found[0]
        return replace(reading, confirm=cost > 1 and any(_big(one) for one in reading.meanings))
    if len(found) > 1:
        firm = [
            pair for pair in found if not any(isinstance(one, say.Fragment | NotAReport) for one in pair[0].meanings)
        ]
        if len(firm) == 1:
            return firm[0][0]
        options = " or ".join(f'"{pair[0].as_read}"' for pair in found[:3])
        return NotUnderstood(
            "two-readings", f"That could be {options}, so nothing was recorded.", hint=found[0][0].as_read
        )
    return None


def _enter(found: list[tuple[Reading, int]], reading: Reading, cost: int) -> None:
    """Add a mended reading unless its meaning is there; of two that differ only in telling of something done, that one stays."""
    for place, (other, _) in enumerate(found):
        if _meaning(other) == _meaning(reading):
            if all(getattr(one, "done", True) for one in reading.meanings):
                found[place] = (reading, cost)
            return
    found.append((reading, cost))


def _meaning(reading: Reading) -> tuple[Any, ...]:
    return tuple(_bare_meaning(one) for one in reading.meanings)


def _bare_meaning(value: Any) -> Any:
    """A meaning without the words that it came from."""
    if is_dataclass(value) and not isinstance(value, type):
        return (
            type(value).__name__,
            tuple(
                (one.name, _bare_meaning(getattr(value, one.name)))
                for one in fields(value)
                if one.name not in ("text", "done")
            ),
        )
    return tuple(_bare_meaning(one) for one in value) if isinstance(value, tuple) else value


def _big(meaning: Intent) -> bool:
    return isinstance(meaning, say.Dump | say.Haul | say.ResetMeter | say.Fill | say.SetTank | say.SetRig)
