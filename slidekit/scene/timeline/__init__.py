"""A chronology drawn to scale: events on poles above the axis, periods as bars below it."""

from slidekit.scene.timeline.compose import compose_timeline
from slidekit.scene.timeline.story import Counted, Wish

__all__ = ["Counted", "Wish", "compose_timeline"]
