"""What somebody should look at again before the talk is given."""

import tempfile
from pathlib import Path

from slidekit.basis import Progress
from slidekit.build import Options, Show, compose_show, write_talk_deck
from slidekit.checks.heard import Heard
from slidekit.checks.talk import Checked, check_heard


def check_talk(
    storyboard: Path,
    style_name: str | None,
    progress: Progress,
    *,
    verify: bool = False,
    language: str | None = None,
) -> Checked:
    """What somebody should look at again, in the talk and in its deck."""
    draft = Options(style_name, draft=True, verify=verify, language=language)
    show = compose_show(storyboard, draft, progress)
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder, "deck.pptx")
        write_talk_deck(show, deck, draft)
        return check_heard(heard_of(show, deck))


def heard_of(show: Show, deck: Path | None = None) -> Heard:
    """The talk for the rules; without its finished `deck`, the rules about that say nothing."""
    basis = show.basis
    return Heard(
        basis.source,
        basis.style,
        show.library.series,
        show.sights,
        show.told,
        show.schedule,
        basis.tallies,
        deck,
    )
