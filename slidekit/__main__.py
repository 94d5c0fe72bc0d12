"""`python -m slidekit`."""

from slidekit.cli import main

main()
