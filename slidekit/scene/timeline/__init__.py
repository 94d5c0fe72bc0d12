"""A chronology drawn to scale: events on poles above the axis, periods as bars below it."""

from slidekit.scene.timeline.compose import compose_timeline

__all__ = ["compose_timeline"]
