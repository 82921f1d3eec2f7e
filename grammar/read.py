"""A phrase into typed meanings, or into what was not understood of it. The only door of this package; never raises.

Order: words (hear) → tokens (tokens, settle, people) → sentences (sentences, mood) → pieces (chunks, phrases.lark) → clauses (statements:
the cheapest division of the phrase that the frames read whole). Misspellings are tried next and kept only if a whole reading follows
from exactly one; then orders ("dump grey"), which are asked about; then names that nobody knows yet. What only a phrase needs that is not
read as it stands is loaded when one comes. May import: everything in grammar.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.asking.asking import asks_from, measures, tells_first
from grammar.asking.how_to import how_to_say
from grammar.asking.led_up import amid, loosely, of_the_same, said_when
from grammar.asking.round_questions import own_words
from grammar.asking.what_is import what_is
from grammar.hearing.hear import LONGEST, Word, hear
from grammar.hearing.heard import after_hesitation, even_out
from grammar.hearing.likely import big, may_be_slip, may_turn, surely_ours
from grammar.hearing.numbers import NUMBER_WORDS, with_points
from grammar.hearing.spoken import as_spelled
from grammar.hearing.tense import as_done, done_after_all
from grammar.hearing.tokens import Tok, between, tokens
from grammar.lexicon import Own, lexicon
from grammar.lightclass import TYPE_CHECKING, Any, replace
from grammar.own_words import own_of
from grammar.reading import Impossible, Names, NotUnderstood, Reading, days_first
from grammar.sentences import meanings
from grammar.settling.as_written import as_written
from grammar.settling.settle import settle
from grammar.telling.known_uses import of_which
from grammar.telling.verbatim import taught_in, verbatim, written_down, written_out
from grammar.weighed import (
    as_read,
    asks,
    by_a_slip,
    by_somebody,
    denies,
    hangs_on_talk,
    held_back,
    misspelt,
    only_at,
    plain_report,
    stands,
    taken_in,
)
from grammar.why_not import impossible, not_understood, taught_beside, too_long, unanswerable

if TYPE_CHECKING:
    from grammar.hearing.mend import Attempt

LONG_PHRASE, MOST_WORDS = 120, 600  # words and marks
MOST_OFFERED = 60  # words of a phrase of which a part is offered
Result = Reading | NotUnderstood | Impossible


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


def _read(text: str, names: Names, mended: bool = False) -> Result:
    if len(text) > LONGEST:
        return too_long(f"{LONGEST} characters")
    literal = own_words(text) or verbatim(text) or how_to_say(text) or what_is(text)
    if literal is not None:
        return Reading((replace(literal, text=text.strip()),), as_read=text)
    behind = after_hesitation(text)
    told = _read(behind, names) if behind else None
    if isinstance(told, Reading) and stands(told):
        return told
    manifold = _stands_for_several(text, names)
    if manifold is not None:
        return manifold
    said, text = text, written_out(text, names)
    _senseless.clear()
    _tried.clear()
    heard = hear(text)
    if len(heard) > MOST_WORDS:
        return too_long(f"{MOST_WORDS} words")
    own = own_of(names)
    words, weak = done_after_all(even_out(as_spelled(heard, own)))
    found = _understood(text, words, own)
    if isinstance(found, Reading) and any(not tok.known for tok in _tokens(words, own)):
        from grammar.newcomers import surely_named

        found = surely_named(found, words, _settled(words, own), own, _attempts(text, own))
    if isinstance(found, Reading) and found.repairs and not (found.left or mended):
        found = _typed_right(found, text, heard, names)
    idle = isinstance(found, NotUnderstood) or all(isinstance(one, say.NotAReport) for one in found.meanings)
    respelt = () if isinstance(found, NotUnderstood) else tuple(one.heard for one in found.repairs)
    written = written_down(text, respelt) if idle or respelt else None
    if written is not None:
        return Reading((replace(written, text=text.strip()),), as_read=text)
    if isinstance(found, NotUnderstood):
        return found if text == said else replace(found, words=())  # they would point at places of other words
    if any(isinstance(one, say.NotAReport) and one.why == "question" for one in found.meanings):
        return unanswerable(text, tokens(words, lexicon(), own))
    found = replace(found, meanings=of_which(as_written(found.meanings, text), text))
    if weak and any(big(one) for one in found.meanings):
        found = replace(found, confirm=True)
    if names.day_first and "/" in text:
        found = replace(found, meanings=days_first(found.meanings))
    return impossible(found) or found


def _stands_for_several(text: str, names: Names) -> NotUnderstood | None:
    """Of a taught word that stands for several things ("coffee 1 litre and dishes 1 gal"), or for so much of one and is counted ("two of the
    usual"), nobody can tell what the words beside it go with."""
    for one in taught_in(text, names):
        if one.alone:
            continue
        found = _read(one.means, replace(names, taught=()))
        several = isinstance(found, Reading) and len(found.meanings) > 1
        if several or (
            one.counted and any(word.value is not None or word.text in NUMBER_WORDS for word in hear(one.means))
        ):
            return taught_beside(text[one.start : one.end], one.means)
    return None


def _typed_right(found: Reading, text: str, heard: Sequence[Word], names: Names) -> Reading:
    """What the phrase means when it is typed as it was mended: some ways of reading look at more than the words alone."""
    taken = {one.heard: one.taken for one in found.repairs}
    mended = text
    for word in reversed(heard):
        if word.text in taken and text[word.start : word.end].casefold() == word.text:
            right = taken[word.text].capitalize() if word.capital else taken[word.text]
            mended = mended[: word.start] + right + mended[word.end :]
    again = _read(mended, names, mended=True) if mended != text else found
    if not isinstance(again, Reading) or again.left:
        return found if asks(found) else replace(found, confirm=True)
    as_read = again.as_read if again.confirm else mended
    return replace(again, repairs=found.repairs, confirm=again.confirm or found.confirm, as_read=as_read)


def _understood(text: str, words: Sequence[Word], own: Own) -> Reading | NotUnderstood:
    """The first of the ways of reading that gives a whole: as it stands, mended, as an order, with a new name in it."""
    as_it_stands = _attempt(text, words, own)
    strange = [tok for tok in _tokens(words, own) if not tok.known and tok.text.isalpha()]
    slips = [tok.text for tok in strange if not tok.capital and may_be_slip(tok.text)]
    turned = any(may_turn(word) for word in slips)
    if as_it_stands is not None and not turned:
        spoilt = all(isinstance(one, say.NotAReport) and one.why != "question" for one in as_it_stands.meanings)
        as_it_stands = (_beside_remarks(text, words, own) if spoilt else None) or as_it_stands
        if not taken_in(as_it_stands, slips, words) or len(words) > LONG_PHRASE:
            return as_it_stands
    both = _report_and_question(text, words, own)
    if both is not None:
        return both
    if len(words) > LONG_PHRASE:  # nothing is mended: each way of reading it again would take as long as the first
        return _with_names(text, words, own) or not_understood(text, _settled(words, own))
    named = _with_names(text, words, own) if strange else None
    reports = named is not None and not asks(named)
    if named is not None and not by_somebody(named.meanings):
        named = None
    corrects = named is not None and bool(slips) and any(isinstance(one, back.Amend) for one in named.meanings)
    if named is not None and not turned and not corrects and not misspelt(named):
        return named
    beside = None if slips else _passing_over(text, words, own)
    if beside is not None:
        return beside

    from grammar.hearing.mend import repaired

    attempt = _attempts(text, own)
    mended = repaired(words, own, attempt)
    told = as_it_stands is not None and not turned and not denies(as_it_stands)
    if mended is not None and not (reports and asks(mended)) and not (told and denies(mended)):
        return mended  # but "Finn fetched 10 gal" does not ask whether all is "fine"
    if named is not None and not turned:
        return mended if mended is not None and denies(mended) else named  # "nobosy did the dishes"
    last = _order(text, words, own) or (repaired(words, own, attempt, far=True) if strange else None)
    if told and as_it_stands is not None and (last is None or denies(last) or (last.confirm and asks(as_it_stands))):
        last = as_it_stands  # "which tank is fullest" need not be "fullish"
    if last is None and slips:
        last = as_it_stands if not turned else None
        if last is None and (last := _passing_over(text, words, own)) is not None and not asks(last):
            left = {*slips} - {one.heard for one in last.repairs}
            last = replace(last, confirm=last.confirm or any(map(surely_ours, left)))
    if last is None and strange and not turned:
        last = _attempt(text, words, own, hold_back=False, new_activity=True)
    if last is not None:
        return replace(last, confirm=True) if turned and not asks(last) else last
    toks = _settled(words, own)
    loose = loosely(text, toks)
    if loose:
        return Reading(tuple(loose), as_read=as_read(words))
    return _offered(text, words, own) or not_understood(text, toks)


def _attempts(text: str, own: Own) -> Attempt:
    def attempt(tried: Sequence[Word], mended: frozenset[str], names: bool) -> Reading | None:
        return _attempt(text, tried, own, hold_back=not names, no_names=mended) or _order(text, tried, own)

    return attempt


def _passing_over(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """The report or the question of a phrase in which all else is only talk."""
    return _in_a_story(text, words, own) or _beside_remarks(text, words, own) or _question_amid(text, words, own)


def _report_and_question(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """ "Keith's had his shower, 9 litres, so are we still all right for Sunday?": a question at the end, and before it a report that is
    read by itself, in whatever way it can be."""
    toks = _tokens(words, own)
    if len(words) > MOST_OFFERED or not any(
        tok.has("QWORD", "AUX", "QLEAD", "LEFT", "DAYSLEFT", "STATUS") for tok in toks[1:]
    ):
        return None
    turns = [
        i
        for i in range(2, len(toks))
        if measures(toks[i])
        or (toks[i].has("QWORD", "STATUS") and toks[i].text.split()[0] in _ASKS and not said_when(toks[i:]))
        or (asks_from(toks, i) and tells_first(toks[: i + 1]))
    ]
    for i in turns[-TURNS:]:
        asked = _understood(text, [word for word in words if word.start >= toks[i].start], own)
        if not isinstance(asked, Reading) or not all(isinstance(one, say.Ask) for one in asked.meanings):
            continue
        mark = toks[i - 1].has("COMMA", "STOP", "SEMI", "AND", "BUT", "THEN", "FILLER")
        head = toks[i - 1].start if mark else toks[i].start
        told = _understood(text, [word for word in words if word.end <= head], own)
        if (
            isinstance(told, Reading)
            and not told.left
            and not any(isinstance(one, _NO_REPORT) or only_at(one) for one in told.meanings)
        ):
            meanings = (*told.meanings, *asked.meanings)
            return replace(told, meanings=meanings, repairs=(*told.repairs, *asked.repairs), as_read=as_read(words))
    return None


def _question_amid(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """A question with idle talk around it, none of which is a report when it is read by itself."""
    if len(words) > MOST_OFFERED:
        return None
    toks = _settled(words, own)
    for start, end in amid(toks):
        asked = _attempt(text, between(words, toks, start, end), own)
        if asked is None or not all(isinstance(one, say.Ask) for one in asked.meanings):
            continue
        beside = [between(words, toks, 0, start), between(words, toks, end, len(toks))]
        around = [_attempt(text, some, own) for some in beside if some]
        if all(one is None or all(isinstance(each, _NO_REPORT) for each in one.meanings) for one in around):
            about = of_the_same(text, list(asked.meanings), toks[:start], toks[start:end])
            return replace(asked, meanings=tuple(about), as_read=as_read(words))
    return None


TURNS = 3
_NO_REPORT = (say.Ask, say.NotAReport, back.Fragment, back.Yes, back.No)


def _offered(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """The clauses that can be understood of a phrase that cannot be as a whole; to be asked about."""
    if len(words) > MOST_OFFERED:
        return None

    def told(some: Sequence[Word]) -> tuple[say.Intent, ...] | None:
        found = _attempt(text, some, own)
        return found.meanings if found is not None else None

    from grammar.in_part import in_part

    part = in_part(text, words, tokens(words, lexicon(), own), told)
    if part is None:
        return None
    again = done_after_all(even_out(hear(part.heard)))[0]
    found = _attempt(part.heard, again, own)
    if found is None:
        return None
    sure = part.sure and all(plain_report(one, frozenset()) for one in found.meanings)
    return replace(found, as_read=part.heard, confirm=not sure, left=part.left, denied=part.denied)


def _beside_remarks(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """A report in so many words, where all beside it are remarks ("toted 8 gal of grey, kids rode on top")."""
    found = _offered(text, words, own)
    return found if found is not None and (found.denied or not found.confirm) else None


def _in_a_story(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """The report in a story ("since it was my turn I washed the dishes with a gallon"), if it is explicit."""
    from grammar.hearing.story import without_scenery

    told = without_scenery(words, _tokens(words, own))
    if told is None:
        return None
    report, named, done = told
    found = _understood(text, report, own)
    if not isinstance(found, Reading):
        return None
    if not all(plain_report(one, named if isinstance(one, say.Use) else done) for one in found.meanings):
        return None
    kept = {word.start for word in report}
    place = any(word.start not in kept and (word.capital or word.text in _STAYED) for word in words[1:])
    place = place or hangs_on_talk(report, words)
    if place and any(isinstance(one, say.Arrive | say.Stop) for one in found.meanings):
        return None  # "Addrived at Pine Hollow, no hookups": what was passed over is the name, or how long they stay
    idle = any(isinstance(one, say.NotAReport) for one in found.meanings)
    return None if idle and words[0].text in _ASKS else found  # "when do we need to dmup" asks, misspelt


_STAYED = frozenset("night nights day days week weeks fortnight month".split())
_ASKS = frozenset("when what how where which who will can is are do does".split())


def _order(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """ "dump grey", "wash dishes 2 gal": a report in the shortest form, or a plan. A use with its amount is taken as said; the rest
    is asked about, and so is what was read off without a point ("meter twelve eighty")."""
    done = as_done(words)
    pointed = with_points(words) if done is None else None
    found = _attempt(text, done or pointed or (), own) if done or pointed else None
    if found is None or any(isinstance(one, say.NotAReport | back.Fragment | say.Ask) for one in found.meanings):
        return None
    counted = any(tok.has("TIMES", "TIMESWORD") for tok in tokens(words, lexicon(), own))  # "wash hands x5" is a tally
    clear = pointed is None and all(
        isinstance(one, say.Use)
        and ((one.amount is not None and one.amount.value is not None) or (counted and one.count))
        for one in found.meanings
    )
    return found if clear else replace(found, confirm=True)


# ---------------------------------------------------------------- one set of words


def _attempt(
    text: str,
    words: Sequence[Word],
    own: Own,
    hold_back: bool = True,
    new_activity: bool = False,
    no_names: frozenset[str] = frozenset(),
) -> Reading | None:
    """A whole reading of these words, if there is one. `hold_back`: words that may be misspellings are not taken as names yet; nor ever
    are those of `no_names`."""
    said = (text, tuple((word.text, word.start) for word in words), hold_back, new_activity, no_names)
    if said not in _tried:
        _tried[said] = _first_attempt(text, words, own, hold_back, new_activity, no_names)
    return _tried[said]


def _first_attempt(
    text: str, words: Sequence[Word], own: Own, hold_back: bool, new_activity: bool, no_names: frozenset[str]
) -> Reading | None:
    toks = _tokens(words, own)
    doubtful = no_names | (held_back(toks) if hold_back else set())
    settled = settle(toks, lexicon(), doubtful, new_activity) if doubtful or new_activity else _settled(words, own)
    if _senseless == [(text, settled)]:
        return None
    found = meanings(text, settled)
    if not found:
        _senseless[:] = [(text, settled)]
        return None
    reading = Reading(tuple(found), as_read=as_read(words))
    return None if by_a_slip(reading, words, own) else reading


def _with_names(text: str, words: Sequence[Word], own: Own) -> Reading | None:
    """A whole reading in which words that may be misspellings are names; where there are none it would be the one already tried."""
    return _attempt(text, words, own, hold_back=False) if held_back(_tokens(words, own)) else None


def _tokens(words: Sequence[Word], own: Own) -> list[Tok]:
    """The tokens of the words. A phrase is tried in several ways: those of the last words are at hand."""
    if not (_latest and _latest[0] is words and _latest[1] is own):
        _latest[:] = [words, own, tokens(words, lexicon(), own), None]
    return list(_latest[2])


def _settled(words: Sequence[Word], own: Own) -> list[Tok]:
    """The tokens of the words with names settled, none of them doubtful."""
    toks = _tokens(words, own)
    _latest[3] = _latest[3] or settle(toks, lexicon())
    return list(_latest[3])


_latest: list[Any] = []
"""The last words, the names they were read with, their tokens, and what settling made of these."""
_tried: dict[tuple[object, ...], Reading | None] = {}
"""What came of the words of this phrase, or of some of them, each time they were tried."""
_senseless: list[tuple[str, list[Tok]]] = []
"""The last tokens of this phrase that gave no reading: where another way of reading comes to the same, it need not be tried."""
