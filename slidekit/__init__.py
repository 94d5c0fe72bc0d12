"""slidekit: lecture slides and exhibit panels from annotated CT and MR images."""

__version__ = "0.1.0"
