"""What a region could be made of: bands of candidates against what was measured."""

from slidekit.scene.materials.compose import compose_materials

__all__ = ["compose_materials"]
