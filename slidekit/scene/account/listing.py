"""The account as a slim list for a column of a printed panel: a sign, a name, an answer."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from slidekit.scene.account.entries import account_in_words
from slidekit.scene.account.signs import WIDEST, compose_sign
from slidekit.scene.asides.column import Lettering
from slidekit.scene.model import Box, Group, Paragraph, Run
from slidekit.scene.stacks import Layer, Stack, quiet
from slidekit.scene.style import Style
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.storyboard.account import Account, Stage
from slidekit.wording import labelled, phrase

ROW_GAP_MM = 2.0
HEAD_GAP_MM = 3.0
FOOT_GAP_MM = 1.5
SIGN_EM = 0.45  # radius
SIGN_GAP_MM = 2.2


@dataclass(frozen=True)
class Listing:
    """Stages of an account, one below the other. All words are filled in."""

    account: Account
    names: tuple[str, ...]

    def height_mm(self, width_mm: float, lettering: Lettering, style: Style) -> float:
        """Height at these sizes; infinite where a word has to be broken."""
        set_ = _SetListing(self, width_mm, lettering, style)
        return set_.height_mm if set_.words_whole else inf

    def compose(self, box: Box, lettering: Lettering, style: Style) -> Sequence[Group]:
        """A group for the head, for each stage and for the source."""
        return tuple(_SetListing(self, box.width_mm, lettering, style).groups(box))


@dataclass(frozen=True)
class _SetListing:
    listing: Listing
    width_mm: float
    lettering: Lettering
    style: Style

    @property
    def words_whole(self) -> bool:
        rows = [self._row(stage) for stage in self._stages]
        return all(stack.words_whole for stack in (self._head, *rows, self._source))

    @property
    def height_mm(self) -> float:
        rows = [self._row(stage).height_mm + ROW_GAP_MM for stage in self._stages]
        gaps = HEAD_GAP_MM + FOOT_GAP_MM
        return self._head.height_mm + sum(rows) + self._source.height_mm + gaps

    def groups(self, box: Box) -> Iterator[Group]:
        account, left = self.listing.account, box.left_mm
        head = tuple(self._head.texts(left, box.top_mm))
        yield Group("Head of the stages", account.called, head)
        top = box.top_mm + self._head.height_mm + HEAD_GAP_MM
        for name, stage in zip(self.listing.names, self._stages, strict=True):
            row = self._row(stage)
            center = (left + WIDEST * self._sign_mm, top + self._line_mm / 2)
            sign = compose_sign(stage.here, center, self._sign_mm, self.style)
            alt = labelled(stage.called, stage.answer)
            yield Group(f"Stage {name}", alt, (*sign, *row.texts(left + self._indent_mm, top)))
            top += row.height_mm + ROW_GAP_MM
        source = tuple(self._source.texts(left, top + FOOT_GAP_MM))
        yield Group("Source of the stages", account.source, source)

    @property
    def _stages(self) -> tuple[Stage, ...]:
        return tuple(self.listing.account.stages[name] for name in self.listing.names)

    @property
    def _line_mm(self) -> float:
        return line_mm(self.lettering.size_pt)

    @property
    def _sign_mm(self) -> float:
        return SIGN_EM * em_mm(self.lettering.size_pt)

    @property
    def _indent_mm(self) -> float:
        return 2 * WIDEST * self._sign_mm + SIGN_GAP_MM

    @property
    def _head(self) -> Stack:
        called = Run(self.listing.account.called, bold=True)
        words = (Paragraph((called, Run(f", {phrase('and what this case shows')}"))),)
        return self._stack(words, self.width_mm)

    def _row(self, stage: Stage) -> Stack:
        words = (Paragraph((Run(f"{stage.called}: ", bold=True), Run(stage.answer))),)
        return self._stack(words, self.width_mm - self._indent_mm)

    @property
    def _source(self) -> Stack:
        words = account_in_words(self.listing.account)
        return quiet(words, self.lettering.small_pt, self.style.colors, self.width_mm)

    def _stack(self, words: tuple[Paragraph, ...], width_mm: float) -> Stack:
        layer = Layer(words, self.lettering.size_pt, self.style.colors.ink, "key")
        return Stack((layer,), width_mm)
