"""What history shows and the person should know, one short sentence each, keyed by the finding's reference."""

from __future__ import annotations

from collections.abc import Callable

from assistant.say import amounts, times
from assistant.scene import Scene
from state.world import Finding


def sentence(finding: Finding, scene: Scene) -> str:
    """The finding in words; empty for one that only `why` should show."""
    say = SENTENCES.get(finding.reference)
    return say(finding, scene) if say is not None else ""


def _since(finding: Finding, scene: Scene) -> str:
    return f" since {times.exactly(finding.since, scene.now)}" if finding.since is not None else ""


def _unmentioned_reset(finding: Finding, scene: Scene) -> str:
    last = finding.detail.get("last")
    return (
        f"That is less than {scene.exact(last)} last time, so I take it that the meter was reset."
        if last is not None
        else ""
    )


def _away(finding: Finding, scene: Scene) -> str:
    return f"{scene.exact(finding.litres or 0.0)} ran while nobody was aboard: a leak, or a tap left on?"


def _contradicts(finding: Finding, scene: Scene) -> str:
    gap = finding.litres or 0.0
    more = "more" if gap > 0 else "less"
    return f"That is {scene.amount(abs(gap))} {more} than I had; the gap is booked as unexplained."


SENTENCES: dict[str, Callable[[Finding, Scene], str]] = {
    "unmentioned-reset": _unmentioned_reset,
    "lower-reading": _unmentioned_reset,
    "water-ran-while-away": _away,
    "level-contradicts": _contradicts,
    "logged-more-than-metered": lambda finding, scene: (
        f"That is {amounts.some(finding.litres or 0.0, scene.units)} less than was logged, so I take what was logged as less."
    ),
    "hauled-more": lambda finding, scene: "That is more than I believed was in it, so I take it as empty now.",
    "metered-on-the-tank": lambda finding, scene: (
        f"The meter ran {scene.exact(finding.litres or 0.0)} while you were on the pump, so I take it as a fill."
    ),
    "use-out-of-habit": lambda finding, scene: (
        f"{scene.exact(finding.litres or 0.0)}{_since(finding, scene)} is out of all habit: a leak, or a tap left on?"
    ),
}
