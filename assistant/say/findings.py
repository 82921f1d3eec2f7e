"""What history shows and the person should know, one short sentence each, keyed by the finding's reference."""

from __future__ import annotations

from collections.abc import Callable

from assistant.scene import Scene
from state.world import Finding


def sentence(finding: Finding, scene: Scene) -> str:
    """The finding in words; empty for one that only `why` should show."""
    say = SENTENCES.get(finding.reference)
    return say(finding, scene) if say is not None else ""


SENTENCES: dict[str, Callable[[Finding, Scene], str]] = {}  # filled once the findings' references are settled
