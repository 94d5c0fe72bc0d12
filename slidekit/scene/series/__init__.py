"""How rare it is: the shares of a comparative series, drawn from the same counts that are said."""

from slidekit.scene.series.compose import compose_series

__all__ = ["compose_series"]
