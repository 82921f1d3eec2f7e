"""The conversation: joins what was said (`grammar`) with what happened (`state`). The door for Python is `open_conversation`.

May import: grammar, state, and prompt_toolkit (only in `chat`).
"""
