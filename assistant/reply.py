"""What one turn gives back. A plain object, so that a one-shot on a phone need not load a model library to print a sentence."""

from __future__ import annotations

from datetime import datetime

from state.lightclass import Any, Literal, dataclass, field

Outcome = Literal["recorded", "answered", "asked", "not_understood", "refused"]


@dataclass(frozen=True)
class Reply:
    """One turn, as the interface names it. `recorded`: the events appended, each a dict of its own fields."""

    heard: str
    outcome: Outcome
    recorded: tuple[dict[str, Any], ...] = ()
    answer: str = ""
    cautions: tuple[str, ...] = ()
    facts: dict[str, Any] = field(default_factory=dict)

    def model_dump(self, mode: Literal["python", "json"] = "python") -> dict[str, Any]:
        """The turn as a dict; with mode="json" only JSON's own types (times as ISO 8601 with offset, litres to the millilitre)."""
        own = {
            "heard": self.heard,
            "outcome": self.outcome,
            "recorded": list(self.recorded),
            "answer": self.answer,
            "cautions": list(self.cautions),
            "facts": self.facts,
        }
        return jsonable(own) if mode == "json" else own


def jsonable(value: Any) -> Any:
    """Datetimes to ISO, floats rounded to a tenth of a thousandth, tuples to lists, throughout."""
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, dict):
        return {str(key): jsonable(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [jsonable(inner) for inner in value]
    return value
