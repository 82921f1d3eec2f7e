"""What a person is told when a phrase was not understood, or cannot be true. Plain words; says that nothing was recorded.

May import: intents, nearest, reading, tokens, when, chunks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Amount
from grammar.lightclass import Any, is_dataclass
from grammar.nearest import nearest
from grammar.pieces.clause import VOLUMES
from grammar.reading import Impossible, NotUnderstood, Reading
from grammar.when import MONTHS, When, days_in


def not_understood(text: str, toks: Sequence[Tok]) -> NotUnderstood:
    unknown = [tok for tok in toks if not tok.known]
    places = tuple((tok.start, tok.end) for tok in unknown) or (((0, len(text)),) if text.strip() else ())
    hint = nearest(toks)
    amount = next((tok for n, tok in enumerate(toks) if not tok.known and n and toks[n - 1].number is not None), None)
    if amount is not None:
        return NotUnderstood(
            "unknown-unit",
            f'I don\'t know "{text[amount.start : amount.end]}" as an amount of water, so nothing was recorded.',
            places,
            hint,
        )
    if unknown:
        words = _listed([text[tok.start : tok.end] for tok in unknown[:4]])
        return NotUnderstood(
            "unknown-words", f"I don't know what {words} means here, so nothing was recorded.", places, hint
        )
    if not text.strip():
        return NotUnderstood("nothing-said", "Nothing was said, so nothing was recorded.", (), hint)
    return NotUnderstood(
        "unknown-phrase", "I know the words but not what they say together, so nothing was recorded.", places, hint
    )


def unanswerable(text: str, toks: Sequence[Tok]) -> NotUnderstood:
    """A question in words that are known, about something that is not kept here."""
    return NotUnderstood(
        "unknown-question",
        "That is a question I can't answer, so nothing was recorded. Say help for those I can.",
        ((0, len(text)),),
        nearest(toks),
    )


def too_long(size: str) -> NotUnderstood:
    return NotUnderstood("too-long", f"That is longer than {size}, so nothing was recorded. Please say it in parts.")


def taught_beside(word: str, means: str) -> NotUnderstood:
    return NotUnderstood(
        "taught-beside",
        f'"{word}" stands for "{means}", and I can\'t tell how the words beside it go with that, '
        "so nothing was recorded. Please say it in full.",
    )


def _listed(words: Sequence[str]) -> str:
    quoted = [f'"{word}"' for word in words]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]


# ---------------------------------------------------------------- what cannot be true


def impossible(reading: Reading) -> Impossible | None:
    for meaning in reading.meanings:
        for value in _inside(meaning):
            found = (
                _bad_date(value)
                if isinstance(value, When)
                else _bad_amount(value, meaning)
                if isinstance(value, Amount)
                else None
            )
            if found is not None:
                return found
    return None


def _inside(value: Any) -> Iterator[Any]:
    if isinstance(value, When | Amount):
        yield value
    elif is_dataclass(value) and not isinstance(value, type):
        for one in vars(value).values():
            if one is not None and not isinstance(one, str | bool | float):  # most fields are empty or plain
                yield from _inside(one)
    elif isinstance(value, tuple):
        for one in value:
            yield from _inside(one)


def _bad_date(when: When) -> Impossible | None:
    if when.day is None or (when.month is None and when.day <= 31):
        return None
    month = when.month or 1
    if not 1 <= month <= 12:
        return Impossible("no-such-date", f"There is no month {month}, so nothing was recorded.")
    most = days_in(when.year or 2024, month)
    if not 1 <= when.day <= most:
        return Impossible("no-such-date", f"There is no {when.day} {MONTHS[month - 1]}, so nothing was recorded.")
    return None


def _bad_amount(amount: Amount, meaning: say.Intent) -> Impossible | None:
    if amount.value is None or isinstance(meaning, say.Frost):
        return None
    if isinstance(meaning, back.Amend | back.Fragment) and amount.unit in ("degree", "celsius", "fahrenheit"):
        return None  # "make that -5 C", of the low told before; "-3 C", where it was asked for
    if amount.value < 0:
        what = "An amount of water" if amount.unit in VOLUMES or amount.unit is None else "That"
        return Impossible("negative", f"{what} cannot be less than nothing, so nothing was recorded.")
    if amount.value == 0 and isinstance(meaning, say.SetTank | say.SetRig):
        return Impossible("no-room", "It must hold more than nothing, so nothing was recorded.")
    return None
