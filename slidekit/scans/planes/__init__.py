"""Planes and curved surfaces of a series: where they lie, and how they are sampled."""
