"""The script in large type as one HTML file, for the screen and for a browser's printer."""

import base64
import io
from collections.abc import Iterator
from html import escape
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from slidekit.scene.cautions import cautions
from slidekit.scene.clock.schedule import Passage, Schedule, Turn, balance, times_in_words
from slidekit.scene.fonts import named_families
from slidekit.scene.lettering.bidi import reads_right_to_left
from slidekit.scene.model import Run
from slidekit.scene.paper.script_sheets import Thumbnail, seen_after
from slidekit.scene.paper.sentences import sentences_of
from slidekit.storyboard.talk import Talk
from slidekit.writers.files import write_text

_CSS = """\
body { margin: 2em auto; max-width: 52em; padding: 0 1em; font: 20pt/1.4 Arial, Arimo, sans-serif;
  color: #111; background: #fff; }
section { break-before: page; }
h1 { font-size: 1.4em; } h2 { font-size: 0.95em; margin: 2.5em 0 0.1em 0; }
.data { font-size: 0.55em; color: #555; margin: 0 0 1em 0; border-bottom: 1px solid #bbb; padding-bottom: 0.6em; }
.row { display: grid; grid-template-columns: 9.5rem 1fr; gap: 1.2rem; margin-bottom: 0.8em; break-inside: avoid; }
.row p { margin: 0; }
figure { margin: 0 0 0.6rem 0; font-size: 0.45em; line-height: 1.3; color: #555; }
img { width: 100%; display: block; border: 1px solid #bbb; }
footer { font-size: 0.55em; color: #555; border-top: 1px solid #bbb; margin-top: 3em; }
@media print { body { margin: 0; max-width: none; padding: 0; } @page { size: A4; margin: 18mm; } }
"""  # noqa: E501 - one rule of the style sheet in a line


def write_script_html(talk: Talk, schedule: Schedule, thumbnail: Thumbnail, path: Path) -> None:
    """Each slide begins a sheet, no paragraph is parted; pictures are in the file."""
    write_text(script_html(talk, schedule, thumbnail), path)


def script_html(talk: Talk, schedule: Schedule, thumbnail: Thumbnail) -> str:
    """The whole page."""
    closing = "".join(f"<p>{escape(caution)}</p>" for caution in cautions())
    turns = "\n".join(_section(turn, schedule, thumbnail) for turn in schedule.turns)
    who = " · ".join(filter(None, (talk.speaker, talk.occasion, balance(schedule))))
    toward = ' dir="rtl"' if reads_right_to_left(talk.language) else ""
    named = "".join(f"{family.name!r}, " for family in named_families())
    css = _CSS.replace("Arial, Arimo", f"{named}Arial, Arimo")
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(talk.language)}"{toward}>\n'
        '<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(talk.title)}</title>\n<style>\n{css}</style>\n</head>\n<body>\n"
        f'<h1>{escape(talk.title)}</h1>\n<p class="data">{escape(who)}</p>\n{turns}\n'
        f"<footer>{closing}</footer>\n</body>\n</html>\n"
    )


def _section(turn: Turn, schedule: Schedule, thumbnail: Thumbnail) -> str:
    data = times_in_words(turn, schedule)
    asides = "".join(f"<br>{escape(sentence)}" for sentence in turn.asides)
    rows = "\n".join(_rows(turn, thumbnail))
    return (
        f"<section>\n<h2>{turn.number}. {escape(turn.title)}</h2>\n"
        f'<p class="data">{data}{asides}</p>\n{rows}\n</section>'
    )


def _rows(turn: Turn, thumbnail: Thumbnail) -> Iterator[str]:
    """Each paragraph beside what is on the screen while it is spoken."""
    first = _figure(thumbnail(turn.number, 0), seen_after(0), "")
    for passage in turn.passages or (Passage(()),):
        figures = [first] if first else []
        first = ""
        for cue in passage.cues:
            pixels = thumbnail(turn.number, cue.number)
            mark = f"<b>[{cue.number}]</b> {escape(cue.appears)}"
            figures.append(_figure(pixels, seen_after(cue.number), mark))
        words = "".join(map(_run, (run for one in sentences_of(passage) for run in one.runs)))
        yield f'<div class="row"><div>{"".join(figures)}</div><p>{words}</p></div>'


def _figure(pixels: NDArray[np.uint8], alt: str, caption: str) -> str:
    png = io.BytesIO()
    Image.fromarray(pixels).save(png, "PNG", optimize=True)
    data = base64.b64encode(png.getvalue()).decode("ascii")
    image = f'<img alt="{escape(alt)}" src="data:image/png;base64,{data}">'
    return f"<figure>{image}{caption}</figure>"


def _run(run: Run) -> str:
    text = escape(run.text)
    text = f"<b>{text}</b>" if run.bold else text
    return f'<span style="color:{run.color}">{text}</span>' if run.color else text
