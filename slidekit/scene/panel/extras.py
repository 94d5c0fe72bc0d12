"""What a panel draws with its text, as the storyboard asks for it."""

from slidekit.scene.account.listing import Listing
from slidekit.scene.panel.supplements import Supplement
from slidekit.scene.series.rows import row_of
from slidekit.scene.series.shares import Shares
from slidekit.scene.speech import Resolver
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.printed import with_numbers


def supplements_of(panel: Panel, resolver: Resolver) -> tuple[Supplement, ...]:
    """Its stages, then its counts, with their words filled in."""
    found: list[Supplement] = []
    account = resolver.stages.account
    if panel.stages and account is not None:
        found.append(Listing(with_numbers(account, resolver), panel.stages))
    if panel.counts:
        found.append(Shares(tuple(row_of(name, resolver.tallies) for name in panel.counts)))
    return tuple(found)
