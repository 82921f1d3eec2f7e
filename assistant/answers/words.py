"""Names of activities as a sentence has them. May import: nothing."""

from __future__ import annotations

PLURAL = {
    "shower": "showers", "bath": "baths", "handwash": "washing hands", "teeth": "brushing teeth", "shave": "shaving", "face": "washing faces",
    "toilet": "the toilet", "outside": "water used outside", "other": "other use", "coffee": "coffee", "pets": "the pets",
}  # fmt: skip


def noun(activity: str) -> str:
    """ "showers", "dishes"; an own activity keeps its name."""
    return PLURAL.get(activity, activity)
