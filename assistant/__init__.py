"""The conversation: joins what was said (`grammar`) with what happened (`state`).

The door for Python is `open_conversation`. May import: grammar, state, and prompt_toolkit (only in `chat`).
"""

from __future__ import annotations

from state.lightclass import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from assistant.reply import Reply as Reply
    from assistant.talk import Conversation as Conversation
    from assistant.talk import open_conversation as open_conversation

__all__ = ["Conversation", "Reply", "open_conversation"]


def __getattr__(name: str) -> Any:
    """Loads the conversation when it is first asked for, so that `--help` and `--version` need none of it."""
    if name == "Reply":
        from assistant.reply import Reply

        return Reply
    if name in __all__:
        from assistant import talk

        return getattr(talk, name)
    raise AttributeError(name)
