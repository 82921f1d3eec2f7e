"""Keys of the chat beyond the usual ones: Tab offers, the right arrow takes the ghost of an empty line, a paste keeps its lines."""

from __future__ import annotations

from collections.abc import Callable

from prompt_toolkit.application import get_app
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.filters import Condition, has_completions
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys


def bindings(ghost: Callable[[str], str]) -> KeyBindings:
    """`ghost`: what an empty line shows."""
    keys = KeyBindings()
    line_is_empty = Condition(lambda: not get_app().current_buffer.text)

    @keys.add("tab")
    def _(event: KeyPressEvent) -> None:
        """The first Tab fills in what alone can follow, or lists what could; the next ones go through the list."""
        buffer = event.current_buffer
        if buffer.complete_state:
            buffer.complete_next()
            return
        found = list(buffer.completer.get_completions(buffer.document, CompleteEvent(completion_requested=True)))
        if len(found) == 1:
            buffer.apply_completion(found[0])
        elif found:
            buffer.start_completion()

    @keys.add("s-tab")
    def _(event: KeyPressEvent) -> None:
        if event.current_buffer.complete_state:
            event.current_buffer.complete_previous()

    @keys.add("escape", filter=has_completions, eager=True)
    def _(event: KeyPressEvent) -> None:
        event.current_buffer.cancel_completion()

    @keys.add("right", filter=line_is_empty)
    @keys.add("c-e", filter=line_is_empty)
    @keys.add("c-f", filter=line_is_empty)
    def _(event: KeyPressEvent) -> None:
        event.current_buffer.insert_text(ghost(""))

    @keys.add(Keys.BracketedPaste)
    def _(event: KeyPressEvent) -> None:
        """Several lines stay several lines, to be looked at; Enter has them heard one by one."""
        text = event.data.replace("\r\n", "\n").replace("\r", "\n")
        lines = [line.strip() for line in text.split("\n")]
        event.current_buffer.insert_text("\n".join(line for line in lines if line) if len(lines) > 1 else text)

    several_lines = Condition(lambda: "\n" in get_app().current_buffer.text)

    @keys.add("enter", filter=several_lines)
    def _(event: KeyPressEvent) -> None:
        """The block goes, since each of its lines is written again above its answer."""
        event.app.erase_when_done = True
        event.current_buffer.validate_and_handle()

    return keys
