"""What a turn left: the room, or the rest, of the tanks it moved; and what is not known of a tank yet.

May import: `amounts`, `times`, `scene`, state's belief and routes.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.say import times
from assistant.scene import Scene
from state.entry import Entry
from state.water import belief, passing, routes

GAUGE_MOVERS = frozenset(
    ["use", "meter", "meter_reset", "fill", "dump", "haul", "level", "rinse", "undo", "redo", "amend"],
)


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def compares(entries: Sequence[Entry], scene: Scene) -> bool:
    """Whether `left` will ask what was believed before these entries, and not only what is now. scene: before them."""
    tanks = scene.world.rig.tanks
    if any(entry.get("tank") and entry.tank.casefold() in tanks for entry in entries):
        return False
    return any(entry.kind in GAUGE_MOVERS for entry in entries) and not _fed(entries, scene)


def left(entries: Sequence[Entry], before: belief.Belief | None, scene: Scene) -> tuple[str, str | None]:
    """The room (or rest) of the tanks named in this turn; where none was named, of the one that the use went to or that moved most.

    A tank nobody told the level of is asked for at the first entry of the day only; of a tank just said to be full nothing is added.
    """
    now = scene.belief
    named = list(dict.fromkeys(e.tank.casefold() for e in entries if e.get("tank") and e.tank.casefold() in now.tanks))
    if not named:
        tank = _target(entries, scene) or _most_moved(now, before)
        if tank is None:
            return "", None
        named = [tank]
    told_full = {
        e.tank.casefold() for e in entries if e.kind == "level" and e.get("fraction") == 1 and e.basis != "sensor"
    }
    telling = [now.tanks[tank] for tank in named[:2] if tank not in told_full]
    if any(is_unknown(tank) for tank in telling) and not _first_today(entries, scene):
        telling = [tank for tank in telling if not is_unknown(tank)]
    return left_in(telling, scene), named[0]


def _first_today(entries: Sequence[Entry], scene: Scene) -> bool:
    """Whether no earlier entry of this day called for the level. Looked at only where a level is unknown."""
    own = {entry.id for entry in entries}
    today = scene.now.date()
    return not any(
        entry.kind in ("use", "meter", "rinse", "haul")
        and entry.id not in own
        and entry.at.astimezone(scene.now.tzinfo).date() == today
        for entry in scene.since(scene.now.replace(hour=0, minute=0, second=0, microsecond=0))
    )


def _target(entries: Sequence[Entry], scene: Scene) -> str | None:
    """The fullest of the waste tanks that logged uses ran to; on the pump the tightest of them and fresh."""
    fitting = _fed(entries, scene)
    if not fitting:
        return None
    tanks = scene.belief.tanks
    fitting = [name for name in fitting if not is_unknown(tanks[name])] or fitting
    if len(fitting) == 1:
        return fitting[0]
    return min(fitting, key=lambda name: tanks[name].room.quantile(0.5) / max(1e-9, tanks[name].capacity.mean))


def _fed(entries: Sequence[Entry], scene: Scene) -> list[str]:
    """The tanks that logged uses ran to, the last one's first, and, on the pump, fresh."""
    uses = [entry for entry in entries if entry.kind == "use"]
    if not uses:
        return []
    tanks = scene.world.rig.tanks
    targets = dict.fromkeys(routes.target(scene.world.rig, entry.activity) for entry in reversed(uses))
    on_pump = scene.world.supply == "tank"
    fresh = [tank.name.casefold() for tank in tanks.values() if on_pump and tank.kind == "fresh"]
    return [name for name in [*targets, *fresh] if name in tanks]


def _most_moved(now: belief.Belief, before: belief.Belief | None) -> str | None:
    if before is None:
        return None
    moves = {
        name: abs(tank.level.quantile(0.5) - before.tanks[name].level.quantile(0.5)) if name in before.tanks else 0.0
        for name, tank in now.tanks.items()
    }
    most = max(moves, key=lambda name: moves[name], default=None)
    return most if most is not None and moves[most] >= 0.05 else None


UNKNOWN = 0.6
"""A level in doubt by more than this part of the tank is told as the rough guess it is."""


def is_vague(tank: belief.TankBelief) -> bool:
    """The level could be nearly anything."""
    return tank.level.quantile(0.9) - tank.level.quantile(0.1) > UNKNOWN * max(1e-9, tank.capacity.mean)


def is_unknown(tank: belief.TankBelief) -> bool:
    """Nothing has been told of this tank's level yet, and it could be anything. What was told once is not unknown again."""
    return tank.since is None and is_vague(tank)


def left_in(tanks: Sequence[belief.TankBelief], scene: Scene) -> str:
    """ "Grey has about 21 gal of room, black about 14 gal." / "Fresh has about 30 gal left." / "Both run to the sewer." """
    flowing = [tank.name for tank in tanks if tank.flowing]
    unknown = [tank.name for tank in tanks if is_unknown(tank) and not tank.flowing]
    waste = [tank for tank in tanks if tank.kind != "fresh" and tank.name not in (*flowing, *unknown)]
    said = (
        [f"{capital(times.listed(flowing))} {'run' if len(flowing) > 1 else 'runs'} to the sewer."] if flowing else []
    )
    if waste:
        words = [_room(tank, scene, first=place == 0) for place, tank in enumerate(waste)]
        said.append(f"{capital(', '.join(words))}.")
    for tank in tanks:
        if tank.kind == "fresh" and tank.name not in unknown:
            amount = scene.amount(tank.room.quantile(0.5))
            said.append(f"{capital(tank.name)} {'is about empty' if amount == 'nothing' else f'has {amount} left'}.")
    if unknown:
        said.append(
            f"How full {times.listed(unknown)} {'are' if len(unknown) > 1 else 'is'} I don't know yet; tell me once."
        )
    return " ".join(said)


def _room(tank: belief.TankBelief, scene: Scene, first: bool) -> str:
    """ "grey has about 21 gal of room", and after it "black about 14 gal"; "grey is about full"."""
    litres = tank.room.quantile(0.5)
    amount, beyond = scene.amount(litres), over(tank.name, scene)
    if beyond == "surely":
        return f"{tank.name} should have run over by now"
    if beyond or amount == "nothing" or litres < FULL * tank.capacity.mean:
        return f"{tank.name} is about full"
    guess = ", at a rough guess" if is_vague(tank) else ""
    return f"{tank.name} has {amount} of room{guess}" if first else f"{tank.name} {amount}{guess}"


FULL = 0.02
"""With less room than this part of the tank it is called full."""


def over(name: str, scene: Scene) -> str | None:
    """Whether more went into a waste tank, by what was told, than it holds: `perhaps`, or `surely`, so that a dump is likely to have been
    left out. What is believed of it stops at full, and would tell of a little room for ever."""
    key, own = name.casefold(), passing.belief_of(scene.world)
    level, most = own.at.get(passing.level_of(key)), own.at.get(passing.capacity_of(key))
    tank = scene.world.rig.tanks.get(key)
    if level is None or most is None or tank is None or key in scene.world.open_valves:
        return None
    beyond = own.mean[level] - own.mean[most]
    var = own.cov[level][level] + own.cov[most][most] - 2.0 * own.cov[level][most]
    if beyond <= 0.0 or is_vague(scene.belief.tanks[key]):
        return None  # after weeks of silence it is what people usually use that would have run over, and nobody was heard to say so
    return "surely" if beyond > max(SURELY * max(0.0, var) ** 0.5, OVER * tank.litres) else "perhaps"


SURELY, OVER = 1.3, 0.1
"""Standard deviations, and part of what the tank holds, by which it must be over full. Our own choice."""
