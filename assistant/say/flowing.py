"""How long water runs, and at which flow: "five minutes at 1.5 gal a minute". May import: `amounts`, `scene`, state's figures."""

from __future__ import annotations

from assistant.say import amounts
from assistant.scene import Scene
from state.habits import typical


def run_for(minutes: float, activity: str, scene: Scene, count: int = 1) -> str:
    """Minutes of a use, or of each of several, with the flow that was told, or the usual one of such a use."""
    whole = minutes == int(minutes)
    length = amounts.counted(int(minutes), "minute") if whole else f"{amounts.plain(minutes, 1)} minutes"
    length += " each" if count > 1 else ""
    flow = typical.flow(scene.world, activity)
    usual = "" if scene.world.flow_litres_per_minute is not None else "a usual "
    return f"{length} at {usual}{scene.exact(flow)} a minute"
