"""Uses that were named and nothing more ("dishes", "coffee and dishes"): it is asked whether they were done.

May import: context, replies, table, assistant.say, grammar.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.interpret.context import Context, Draft
from assistant.interpret.replies import bare_use
from assistant.interpret.table import interpret
from assistant.say import echo
from grammar.intents import Intent, Use
from grammar.rejoinders import Fragment


def ask_of_list(meanings: Sequence[Intent], context: Context) -> None:
    """ "coffee and dishes": only named, so it is asked of all of them at once whether they were done."""
    named = [one for meaning in meanings if isinstance(meaning, Fragment) and (one := bare_use(meaning)) is not None]
    if len(named) < 2 or len(named) < len(meanings):
        return
    booked = [draft for one in named for draft in interpret(one, context)]
    rows = [
        f"{echo.NOUNS.get(one['activity']) or one['activity']}, about {context.scene.rounded(one['litres'])}"
        for one in booked
    ]
    context.guard("only-named", f"Shall I book {'; '.join(rows)}, as usual? Or say how much for each.", "statement")


def named_only(named: Use, context: Context) -> list[Draft]:
    """ "dishes": only the activity was named, so it is asked whether it was done, and how much it took."""
    drafts = interpret(named, context)
    if drafts[0]["kind"] != "use":
        return drafts  # a plan, which has been asked about
    usual = sum(one["litres"] for one in drafts)
    noun = echo.NOUNS.get(drafts[0]["activity"]) or drafts[0]["activity"]
    context.guard("only-named", f"Shall I book {noun}, about {context.scene.rounded(usual)} as usual? Or say how much.")
    return drafts
