"""Why, asked of the answer before: how one came to it, on what it rests, where it is from; and asked behind a doubt.

May import: intents, patterns, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok
from grammar.intents import Ask, Intent
from grammar.patterns import Pattern

_LONGEST = 18  # tokens
_OATH = "(?: (?:in the world|on earth|in (?:heaven|god|hell) ?'s name|in blazes|the heck|the hell|the devil|the dickens|exactly|precisely|actually))?"
_THING = "(?:figure|number|estimate|answer|result|value|reckoning|claim|calculation|conclusion|idea|amount|percentage|date|day)s?"
_IT = f"(?:(?:that|this|it|those|these|your)(?: {_THING})?|all (?:that|this)|the {_THING})"
_DID = "(?:did|do|can|could|would|have) you(?: ever)?"
_CAME = (
    "(?:come up with|arrive at|arrived at|get to|get|reach|reached|figure out|figure|know|work out|come to|come by|make|tell|conclude|derive|compute|"
    "determine|establish|calculate|obtain)"
)
_GROUNDS = "(?:basis|evidence|justification|source|reasoning|grounds|method|logic|working|derivation|proof)"
_UPON = f"(?:on|upon) what(?: {_GROUNDS}| data| readings| entries| assumptions?)?"
_SAY = "(?:reckon|think|say|believe|figure|suppose|guess|conclude|expect|claim|make out)"
_SO = "(?:so|such|that|this)"
_DEGREE = "(?:many|few|much|little|high|low|long|short|soon|late|early|big|small|full|empty|sure|certain)"
_WAYS = "|".join(
    (
        rf"where{_OATH} (?:does|did|do|would|could) {_IT} (?:come|spring|arise|originate|appear) from",
        rf"where{_OATH} (?:is|are|was) {_IT} from",
        rf"(?:why|how come){_OATH} (?:do |did |would |should )?you {_SAY} (?:{_IT}|so|it)",
        rf"what{_OATH} makes you {_SAY} (?:{_IT}|so)",
        rf"how{_OATH} (?:do|did) you (?:figure|reckon)(?: {_IT})?",
        rf"what{_OATH} is behind {_IT}",
        rf"(?:why|how come){_OATH}(?: is it| are they| is that)? {_SO} {_DEGREE}",
        r"(?:talk|walk|take|run|step) me through (?:the |your |that )?(?:sum|maths?|number|figure|working|arithmetic|calculation|reasoning|logic)s?",
        rf"what {_DID} (?:count|base it on|go on|go by)",
        rf"how{_OATH} {_DID} {_CAME}(?: to)? {_IT}(?: out)?",
        rf"how{_OATH} (?:is|was|are|were|did) {_IT} (?:get )?(?:all )?(?:worked out|figured out|found out|calculated|computed|arrived at|"
        rf"reached|derived|obtained|come by|estimated|made up|reckoned)",
        rf"where{_OATH} {_DID} (?:get|have|take|find|dig up|pull|obtain) {_IT}(?: from| out of)?",
        rf"{_UPON} (?:{_DID}|are you) (?:base|basing|based|rest|say|assert) {_IT}(?: on)?",
        rf"{_UPON} (?:is|was|are|were) {_IT}(?: (?:based|founded|built))?",
        rf"what (?:is|was|are) (?:the |your )?{_GROUNDS} (?:for|of|behind) {_IT}",
        rf"(?:the )?{_GROUNDS} (?:for|of|behind) {_IT}",
        rf"from (?:where|what) {_DID} (?:have|get|take|derive|draw|know) {_IT}",
        rf"what (?:leads|led|brings|brought|made|makes) you to (?:{_IT}|(?:say|think|believe|conclude) (?:that|this|so))",
        rf"what (?:makes|made) you (?:so |quite )?(?:sure|certain|confident) (?:of|about) {_IT}",
        r"what makes you (?:think|say|believe) (?:it|we|that|they) (?:will|will not|would not|would|is not|can not|can)",
        r"who (?:told|says|said)(?: you)? (?:that|so)",
        r"how would you know(?: that| this| it)?",
        rf"(?:explain|justify|derive|account for|substantiate|prove|defend|back up)(?: to me| me)? {_IT}",
        rf"(?:explain|tell me|show me|show|say)(?: to me)? how you (?:reached|got to|got|arrived at|came to|came by|worked out|computed|"
        rf"calculated|derived|made|know) {_IT}",
        rf"(?:how )?can {_IT}(?: really| possibly)? be (?:right|correct|true|so)",
        rf"(?:what|which) (?:readings|entries|figures|data) {_DID} (?:use|take|go by|count)(?: (?:for {_IT}|to get (?:that|there)|there))?",
        rf"what {_DID} (?:count|use|take) to (?:get|reach) (?:there|{_IT})",
    )
)
_HOW_COME = Pattern(
    (
        "why", "where", "how come", "how did", "how do", "how on", "how in", "how the", "what makes", "behind", "me through", "did you",
        "base", "basis", "evidence", "justif", "source", "reason", "grounds", "method", "derive", "account for", "substantiate", "prove", "defend",
        "back up", "explain", "up with", "arrive", "reach", "figure", "conclu", "how would you know", "makes you", "leads you", "led you",
        "brings you", "told you", "says ", "world", "on earth", "name", "blazes", "heck", "devil", "dickens", "how you", "be right",
        "be correct",
        "be true", "be so", "did you count", "did you use", "do you count", "do you use", "from where", "from what", "work out", "obtain",
        "derivation", "proof", "worked out", "figured out", "calculated", "computed", "estimated", "from", "why", "reckoned",
    ),
    r"(?:(?:and|so|but|now|well|please|kindly|then|hm|hmm|oh|really|dear|sorry|pray|can you|could you|would you|will you|i ask|may i ask|"
    r"go on|alright|all right|right|ok|okay|come on|hang on|hold on|blimey|crikey|gosh) )*"
    rf"(?:{_WAYS})"
    r"(?: (?:please|then|exactly|dear|now|kindly|for me|again|if i may ask|i wonder))*"
    r"(?: (?:i|we) (?:would have|had|would) (?:said|say|thought|guessed|expected|reckoned|put it at|guess)(?: [a-z0-9.]+){1,6})?",
)  # fmt: skip


def how_come(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """The question why, of whatever was answered before; None if these words ask for anything else."""
    if not toks or len(toks) > _LONGEST:
        return None
    toks = _without_ones_own(toks)
    said = " ".join(tok.text for tok in toks if not tok.has("QMARK", "STOP", "COMMA"))
    asked = _HOW_COME.fullmatch(said) is not None or _doubted(toks)
    return [Ask(topic="explain", text=text.strip())] if asked else None


_OWN = frozenset(
    "i we would should have had make made said say thought think reckoned guessed figured put expected it that at about was be to".split()
)


def _without_ones_own(toks: Sequence[Tok]) -> Sequence[Tok]:
    """The question without what one would have said oneself: "where does that number come from? I'd have said eight."."""
    ends = [n for n, tok in enumerate(toks) if tok.has("QMARK", "STOP", "SEMI")]
    if not ends or ends[0] + 2 >= len(toks):
        return toks
    first, last = toks[: ends[0]], toks[ends[0] + 1 :]
    if _ones_own(last):
        return first
    return last if _ones_own(first) else toks


def _ones_own(part: Sequence[Tok]) -> bool:
    """ "I'd have said eight", "we thought it was more"."""
    words = [
        word for tok in part if not tok.has("NUMBER", "FRACTION", "UNIT", "MORE", "STOP") for word in tok.text.split()
    ]
    return len(words) > 1 and words[0] in ("i", "we") and all(word in _OWN for word in words)


_OF_WATER = (
    "NUMBER FRACTION UNIT ACT ACTS TANK TANKS METER DUMP FILL HAUL RINSE USE WASH ARRIVE DEPART OPEN SHUT STOW PERSON KIN CANCEL UNDO AMEND FIX "
    "QWORD LEFT"
).split()


def _doubted(toks: Sequence[Tok]) -> bool:
    """ "That can't be right, show me the sums", "I find that hard to believe. Explain.": why, asked behind a doubt that tells nothing."""
    core = [tok for tok in toks if not tok.has("QMARK", "STOP", "FILLER") or tok.has("EXPLAIN")]
    if len(core) < 3 or not core[-1].has("EXPLAIN") or core[-1].has("YES"):
        return False
    marked = toks[list(toks).index(core[-1]) - 1].has("COMMA", "STOP", "SEMI", "AND", "SO", "QMARK")
    if not marked and len(core[-1].text.split()) < _CLEARLY:
        return False  # "… and that is why"
    return not any(tok.has(*_OF_WATER) and not tok.has("FILLER", "BE", "SELF") for tok in core[:-1])


_CLEARLY = 4  # words
