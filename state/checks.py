"""Checking an event without building a model of it: what the prepared table surely allows passes, all else is for events.py to judge.

events.py is the one place that says what an event may hold. `event_table.py` is prepared from its models (`python -m state.checks`), and a
test holds it against them. The table is only ever used to say yes: an event that it cannot vouch for, whether wrong or merely unusual, goes
to the models, whose verdict and whose error count. So a phone's one-shot, which books plain events, loads no model library.
May import: `event_table`; `events` (only for what the table cannot vouch for).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from math import inf, isfinite

from state.event_table import KINDS, ONE_OF
from state.lightclass import Any

UNSURE = object()
REQUIRED = "required"
SAID_TYPES: dict[str, tuple[type, ...]] = {
    "field": (str,), "value": (float, int, type(None)), "unit": (str, type(None)), "text": (str,),
}  # fmt: skip


def check(fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of one event as events.check gives them: checked, brought to their types, defaults filled in.

    Raises: ValueError if a field is wrong or unknown, KeyError if the kind is.
    """
    checked = surely(fields)
    if checked is not None:
        return checked
    from state import events

    return events.check(dict(fields))


def surely(fields: Mapping[str, Any]) -> dict[str, Any] | None:
    """The checked fields if the table can vouch for every one of them, else None (which is no verdict)."""
    rules = KINDS.get(fields.get("kind", ""))
    if rules is None:
        return None
    checked: dict[str, Any] = {}
    for name in fields.keys() - rules.keys():
        if fields["kind"] != "amend" or not _passes_as_changed(name, fields[name]):
            return None
        checked[name] = fields[name]
    for name, (rule, default) in rules.items():
        if name in fields:
            value = _taken(fields[name], *rule)
            if value is UNSURE:
                return None
            checked[name] = value
        elif default == REQUIRED:
            return None
        else:
            checked[name] = default
    needed = ONE_OF.get(fields["kind"])
    return None if needed and all(checked[name] is None for name in needed) else checked


def _taken(value: Any, what: str, low: float, high: float, choices: tuple[Any, ...] | None, may_be_none: bool) -> Any:
    """The value as the model would keep it, or UNSURE. low, high: bounds of a number, or of a text's length."""
    if value is None:
        return None if may_be_none else UNSURE
    kind = type(value)
    if choices is not None:
        return value if kind is str and value in choices else UNSURE
    if what == "text":
        return value if kind is str and low <= len(value) <= high and _is_clean(value) else UNSURE
    if what == "number":
        return float(value) if kind in (float, int) and isfinite(value) and low <= value <= high else UNSURE
    if what == "count":
        return value if kind is int and low <= value <= high else UNSURE
    if what == "truth":
        return value if kind is bool else UNSURE
    if what == "moment":
        return value if kind is datetime and value.tzinfo is not None and value.utcoffset() is not None else UNSURE
    if what == "id":
        return value if kind is str and _is_id(value) else UNSURE
    if what == "names":
        rows = [value] if kind is str else value if kind is tuple else [UNSURE]
        return value if all(type(one) is str and _is_clean(one) for one in rows) else UNSURE
    return _said(value) if what == "said" else UNSURE


def _is_id(text: str) -> bool:
    """10 to 40 of the digits and the small letters a to z."""
    return 10 <= len(text) <= 40 and text.isascii() and text.isalnum() and text == text.lower()


def _is_clean(text: str) -> bool:
    """No blanks at its ends, and nothing that could not be written down as UTF-8."""
    return text == text.strip() and (text.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in text))


def _passes_as_changed(name: str, value: Any) -> bool:
    """A changed field beside an amend: events.py keeps it as it stands, but for moments told as text."""
    if type(value) is str:
        return name not in ("until", "from") and _is_clean(value)
    if type(value) is datetime:
        return value.utcoffset() is not None
    return value is None or type(value) in (bool, int) or (type(value) is float and isfinite(value))


def _said(value: Any) -> Any:
    if type(value) not in (tuple, list):
        return UNSURE
    rows = []
    for one in value:
        if type(one) is not dict or "field" not in one or not one.keys() <= SAID_TYPES.keys():
            return UNSURE
        row = {"field": "", "value": None, "unit": None, "text": "", **one}
        if any(type(row[name]) not in types for name, types in SAID_TYPES.items()):
            return UNSURE
        if any(type(text) is str and not _is_clean(text) for text in row.values()):
            return UNSURE
        if row["value"] is not None:
            row["value"] = float(row["value"])
        rows.append(row)
    return tuple(rows)


def prepare() -> str:
    """The text of event_table.py, from the JSON Schema of each model in events.py. Fields that the table cannot speak for are `unsure`."""
    from state import events

    lines = [
        '"""Prepared by `python -m state.checks` from the models of events.py: what a field surely may hold, and its default.\n\n'
        'Not to be edited by hand. May import: nothing."""\n\nfrom math import inf\nfrom state.lightclass import Any\n\n'
        "# (what, low, high, choices, may be None), default\n"
        "KINDS: dict[str, dict[str, tuple[tuple[str, float, float, tuple[Any, ...] | None, bool], Any]]] = {"
    ]
    for kind, model in events.MODELS.items():
        schema = model.model_json_schema(by_alias=True)
        lines.append(f"    {kind!r}: {{")
        for name, field in schema["properties"].items():
            default = field.get("default", REQUIRED) if name not in schema.get("required", ()) else REQUIRED
            default = () if default == [] else default
            lines.append(f"        {name!r}: ({_rule(field)!r}, {default!r}),")
        lines.append("    },")
    one_of = {kind: model.ONE_OF for kind, model in events.MODELS.items() if model.ONE_OF}
    return "\n".join([*lines, "}", f"ONE_OF: dict[str, tuple[str, ...]] = {one_of!r}", ""])


def _rule(field: Mapping[str, Any]) -> tuple[str, float, float, tuple[Any, ...] | None, bool]:
    options = field.get("anyOf", [field])
    plain = [one for one in options if one.get("type") != "null"]
    may_be_none = len(plain) < len(options)
    if [one.get("type") for one in plain] == ["string", "array"] and plain[1].get("items") == {"type": "string"}:
        return ("names", -inf, inf, None, may_be_none)
    if len(plain) != 1:
        return ("unsure", -inf, inf, None, may_be_none)
    one = plain[0]
    if "const" in one or "enum" in one:
        return ("choice", -inf, inf, tuple(one.get("enum", [one.get("const")])), may_be_none)
    if "pattern" in one:
        return ("id", -inf, inf, None, may_be_none)
    if one.get("format") == "date-time":
        return ("moment", -inf, inf, None, may_be_none)
    if one.get("items", {}).get("$ref", "").endswith("/Said"):
        return ("said", -inf, inf, None, may_be_none)
    low, high = one.get("minimum", -inf), one.get("maximum", inf)
    if "exclusiveMinimum" in one:
        low = max(low, _just_above(one["exclusiveMinimum"]))
    what = {"string": "text", "number": "number", "integer": "count", "boolean": "truth"}.get(
        one.get("type", ""), "unsure"
    )
    if what == "text":
        low, high = one.get("minLength", 0), one.get("maxLength", inf)
    return (what, low, high, None, may_be_none)


def _just_above(bound: float) -> float:
    from math import nextafter

    return nextafter(float(bound), inf)


if __name__ == "__main__":
    from pathlib import Path

    Path(__file__).with_name("event_table.py").write_text(prepare(), encoding="utf-8")
