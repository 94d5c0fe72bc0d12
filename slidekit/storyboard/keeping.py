"""What may go when there is less time."""

from typing import Literal, TypeAlias

Keep: TypeAlias = Literal["must", "should", "may"]
"""How much a slide or paragraph matters: what may go goes before what should stay."""
