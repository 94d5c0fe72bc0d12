"""Captions as WebVTT (W3C) and as SubRip."""

from collections.abc import Sequence
from pathlib import Path

from slidekit.scene.clock.captions import Caption
from slidekit.writers.files import write_text


def write_vtt(captions: Sequence[Caption], path: Path) -> None:
    """WebVTT: W3C, section 4, "Syntax"."""
    write_text(vtt_text(captions), path)


def write_srt(captions: Sequence[Caption], path: Path) -> None:
    """SubRip, which has no standard: a number from 1, the times with commas, the lines."""
    write_text(srt_text(captions), path)


def vtt_text(captions: Sequence[Caption]) -> str:
    """A cue for each caption, numbered from 1."""
    cues = (
        f"{number}\n{_times(one, '.')}\n{_escaped(chr(10).join(one.lines))}\n"
        for number, one in enumerate(captions, start=1)
    )
    return "\n".join(["WEBVTT\n", *cues])


def srt_text(captions: Sequence[Caption]) -> str:
    """A numbered block for each caption."""
    cues = (
        f"{number}\n{_times(one, ',')}\n{chr(10).join(one.lines)}\n"
        for number, one in enumerate(captions, start=1)
    )
    return "\n".join(cues)


def timestamp(seconds: float, point: str) -> str:
    """Hours, minutes, seconds and thousandths: "01:02:03.500"."""
    ms = round(seconds * 1000)
    minutes, ms = divmod(ms, 60_000)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{ms // 1000:02d}{point}{ms % 1000:03d}"


def _times(caption: Caption, point: str) -> str:
    return f"{timestamp(caption.from_s, point)} --> {timestamp(caption.to_s, point)}"


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
