"""A shorter talk of the same storyboard: what may go goes, and nothing is left that leans on it."""

from slidekit.scene.shorter.shorten import Gone, Shorter, shorten

__all__ = ["Gone", "Shorter", "shorten"]
