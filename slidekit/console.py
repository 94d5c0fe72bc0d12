"""What commands say on stderr beside their results: complaints, and a bar while they work."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

from slidekit.errors import SlidekitError

BAD_INPUT = 2


@contextmanager
def complaining() -> Iterator[None]:
    """Our own errors become a message on stderr and exit code 2."""
    try:
        yield
    except SlidekitError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(BAD_INPUT) from None


@contextmanager
def progressing(title: str) -> Iterator[Callable[[int], Callable[[str], None]]]:
    """A bar on stderr while the block runs; silence when stderr is not a terminal."""
    if not sys.stderr.isatty():
        yield lambda _total: lambda _done: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:

        def start(total: int) -> Callable[[str], None]:
            task = bar.add_task(title, total=total)
            return lambda done: bar.update(task, advance=1, description=f"{title} {done}")

        yield start
