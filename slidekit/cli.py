"""Command line. No decision about slides is taken here; heavy modules load when a command runs.

Exit codes: 0 fine, 1 findings, 2 bad input.
"""

import atexit
import gc
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from slidekit.console import complaining, progressing

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Lecture slides and exhibit panels from annotated CT and MR images. "
    "For teaching and exhibition, not for diagnosis.",
)

FINDINGS = 1
STORYBOARDS = (".yaml", ".yml")

StoryboardArgument = Annotated[Path, typer.Argument(help="The storyboard, a YAML file.")]
StyleOption = Annotated[
    str | None, typer.Option(help="Name or path of a style; else the storyboard's.")
]
VerifyOption = Annotated[
    bool,
    typer.Option(help="Hash the scan files again, and renew kept pictures whose files differ."),
]
LanguageOption = Annotated[
    str | None, typer.Option(help="Of a talk whose texts are given in several: de.")
]
SlotOption = Annotated[
    float | None,
    typer.Option(min=0.1, help="Leave out what may go until the talk fits these minutes."),
]


class Steps(StrEnum):
    """How regions come on: by clicks on one slide, or as one slide after another."""

    clicks = "clicks"
    slides = "slides"


class Form(StrEnum):
    """What the words of a talk are written as."""

    prompter = "prompter"
    captions = "captions"
    print = "print"
    cues = "cues"
    docx = "docx"


class Beside(StrEnum):
    """What stands beside the slides of a handout."""

    words = "words"
    summary = "summary"
    lines = "lines"


class PerSheet(StrEnum):
    """How many slides go on a sheet."""

    one = "1"
    two = "2"
    three = "3"
    six = "6"


class Format(StrEnum):
    """How measured values are printed."""

    table = "table"
    csv = "csv"
    json = "json"


class Report(StrEnum):
    """How the findings of a check are printed."""

    text = "text"
    json = "json"
    sarif = "sarif"


@app.command()
def build(
    storyboard: StoryboardArgument,
    out: Annotated[Path, typer.Option(help="Folder for the files.")],
    style: StyleOption = None,
    only: Annotated[
        list[str] | None, typer.Option(help="Build only this slide; may be repeated.")
    ] = None,
    steps: Annotated[
        Steps, typer.Option(help="`slides` for viewers without animation.")
    ] = Steps.clicks,
    draft: Annotated[bool, typer.Option(help="Quicker, with coarser pictures.")] = False,
    verify: VerifyOption = False,
    slot_min: SlotOption = None,
    language: LanguageOption = None,
) -> None:
    """Build a talk: deck.pptx, script.md, timeline and record.json."""
    from slidekit.build import Options, build_talk
    from slidekit.scene.clock.schedule import balance

    options = Options(
        style,
        tuple(only or ()),
        steps.value,
        draft=draft,
        verify=verify,
        language=language,
        slot_min=slot_min,
    )
    with complaining(), progressing("Building") as progress:
        show, files = build_talk(storyboard, out, options, progress)
    count = len(show.told)
    typer.echo(f"{count} slide{'' if count == 1 else 's'}, {balance(show.schedule)}")
    for gone in show.gone:
        typer.echo(f"left out: {gone}")
    for file in files:
        typer.echo(f"  {file}")
    if verify:
        typer.echo(_renewed(show.sights.renewed))


@app.command()
def look(
    what: Annotated[
        Path,
        typer.Argument(
            help="A storyboard; or a folder or ZIP file of DICOM files, a NIfTI volume, a picture."
        ),
    ],
    view: Annotated[
        str | None, typer.Option(help="Only this view of the storyboard; else all.")
    ] = None,
    out: Annotated[Path, typer.Option(help="Folder for the pictures.")] = Path("look"),
) -> None:
    """See what series there are, or a storyboard's views with a grid to read places from."""
    from slidekit.prepare import look_at_images, look_at_views

    with complaining(), progressing("Looking") as progress:
        if what.suffix.lower() in STORYBOARDS and not what.is_dir():
            looked = look_at_views(what, view, out, progress)
        else:
            looked = look_at_images(what, out, progress)
    for line in (*looked.lines, *looked.files):
        typer.echo(line)
    for line in looked.left_out:
        typer.echo(f"left out: {line}", err=True)


@app.command()
def new(
    images: Annotated[
        Path,
        typer.Argument(help="A folder or ZIP file of DICOM files, a NIfTI volume, or a picture."),
    ],
    out: Annotated[Path, typer.Option(help="The storyboard to write; never over a file.")],
) -> None:
    """Write a first storyboard for a scan or picture, with a comment at every step."""
    from slidekit.prepare import start_storyboard

    with complaining():
        start_storyboard(images, out)
    typer.echo(out)


@app.command()
def panels(
    storyboard: StoryboardArgument,
    out: Annotated[Path, typer.Option(help="Folder for the files.")],
    style: StyleOption = None,
    verify: VerifyOption = False,
    language: LanguageOption = None,
) -> None:
    """Build the exhibit panels: one PDF and one PNG each."""
    from slidekit.panels import build_panels

    with complaining(), progressing("Panels") as progress:
        hung = build_panels(storyboard, out, style, progress, verify=verify, language=language)
    for file in hung.files:
        typer.echo(file)
    if verify:
        typer.echo(_renewed(hung.renewed))


@app.command()
def check(
    storyboard: Annotated[
        Path | None, typer.Argument(help="The storyboard, a YAML file.", show_default=False)
    ] = None,
    style: StyleOption = None,
    form: Annotated[
        Report, typer.Option("--format", help="text to read; json or sarif to go on with.")
    ] = Report.text,
    explain: Annotated[
        str | None, typer.Option(help="Print the page of reasons of this rule, and end.")
    ] = None,
    verify: VerifyOption = False,
    language: LanguageOption = None,
) -> None:
    """Say what to look at again before the talk is given; exit code 1 if there is anything."""
    from slidekit.checks.explain import explain_rule
    from slidekit.checks.report import report
    from slidekit.review import check_talk

    with complaining():
        if explain is not None:
            typer.echo(explain_rule(explain), nl=False)
            return
        if storyboard is None:
            raise typer.BadParameter("name a storyboard, or a rule with --explain RULE")
        with progressing("Checking") as progress:
            checked = check_talk(storyboard, style, progress, verify=verify, language=language)
    typer.echo(report(checked, storyboard, form.value), nl=False)
    if checked.remarks:
        raise typer.Exit(FINDINGS)


@app.command()
def script(
    storyboard: StoryboardArgument,
    out: Annotated[Path, typer.Option(help="Folder for the files.")],
    form: Annotated[
        list[Form] | None,
        typer.Option(help="Only this form; may be given again. Else all but docx."),
    ] = None,
    style: StyleOption = None,
    slot_min: SlotOption = None,
    language: LanguageOption = None,
) -> None:
    """Write the words: large on paper, to run at your pace, as captions, as a list of clicks."""
    from slidekit.build import Options
    from slidekit.lectern import write_forms

    forms = [one.value for one in form or Form if form or one is not Form.docx]
    options = Options(style, draft=True, language=language, slot_min=slot_min)
    with complaining(), progressing("Writing") as progress:
        files = write_forms(storyboard, out, forms, options, progress)
    for file in files:
        typer.echo(file)


@app.command()
def programme(
    file: Annotated[Path, typer.Argument(help="The programme, a YAML file.")],
    out: Annotated[
        Path | None, typer.Option(help="Folder to build all talks into.", show_default=False)
    ] = None,
) -> None:
    """Put several talks against the clock of the day; exit code 1 if one runs over its slot."""
    from slidekit.programme import run_programme

    with complaining(), progressing("Programme") as progress:
        ordered = run_programme(file, out, progress)
    for line in ordered.lines:
        typer.echo(line)
    for path in ordered.files:
        typer.echo(f"  {path}")
    if ordered.late:
        raise typer.Exit(FINDINGS)


@app.command()
def handout(
    storyboard: StoryboardArgument,
    out: Annotated[Path, typer.Option(help="The PDF to write.")],
    per_sheet: Annotated[PerSheet, typer.Option(help="Slides on a sheet.")] = PerSheet.two,
    beside: Annotated[Beside, typer.Option(help="What stands beside each slide.")] = Beside.words,
    style: StyleOption = None,
    slot_min: SlotOption = None,
    language: LanguageOption = None,
) -> None:
    """Write the slides for the audience to take home, as a PDF."""
    from slidekit.build import Options
    from slidekit.lectern import write_handout

    options = Options(style, language=language, slot_min=slot_min)
    with complaining(), progressing("Handout") as progress:
        file = write_handout(storyboard, out, int(per_sheet.value), beside.value, options, progress)
    typer.echo(file)


@app.command()
def pace(
    storyboard: StoryboardArgument,
    took: Annotated[
        str | None, typer.Option(help="How long the whole talk took: 14:40.", show_default=False)
    ] = None,
    log: Annotated[
        Path | None,
        typer.Option(
            help="A text file with a line for each slide, when it came: 4:10 coil. "
            "The last line: 14:40 end.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Say what pace a rehearsal had, to write into the storyboard, and which slides were uneven."""
    from slidekit.lectern import time_rehearsal

    if (took is None) == (log is None):
        raise typer.BadParameter("give the time of the whole talk, --took 14:40, or a --log")
    with complaining(), progressing("Reading") as progress:
        lines = time_rehearsal(storyboard, took, log, progress)
    for line in lines:
        typer.echo(line)


@app.command()
def measure(
    storyboard: StoryboardArgument,
    region: Annotated[
        list[str] | None,
        typer.Option(help="Only this region or volume; may be given again. Else all."),
    ] = None,
    form: Annotated[
        Format, typer.Option("--format", help="table to read; csv or json to go on with.")
    ] = Format.table,
    verify: VerifyOption = False,
) -> None:
    """Measure every region and volume: values, sizes, angles, and what speaks against them."""
    from slidekit.prepare import measure_storyboard

    with complaining(), progressing("Measuring") as progress:
        names = tuple(region or ())
        text = measure_storyboard(storyboard, names, form.value, progress, verify=verify)
    typer.echo(text, nl=False)


@app.command()
def demo(out: Annotated[Path, typer.Option(help="Folder for the copies.")]) -> None:
    """Copy the storyboards of the demo, to read and to change."""
    from slidekit.prepare import copy_demo

    with complaining():
        copies = copy_demo(out)
    for copy in copies:
        typer.echo(copy)


@app.command()
def cache(
    clear: Annotated[bool, typer.Option("--clear", help="Remove all that is kept.")] = False,
) -> None:
    """Say where pictures are kept from one run to the next, and how much; or clear it."""
    from slidekit.cache import clear_cache, measure_cache

    if clear:
        clear_cache()
    with complaining():
        size = measure_cache()
    typer.echo(f"folder: {size.folder}")
    typer.echo(
        f"kept: {size.entries} entries, {_mib(size.entries_bytes)} of at most"
        f" {_mib(size.limit_bytes)}; set SLIDEKIT_CACHE_MIB for another limit"
    )
    typer.echo(f"series of the demo: {_mib(size.demo_bytes)}")
    typer.echo(f"series fetched from servers: {_mib(size.fetched_bytes)}")


def _mib(size: int) -> str:
    return f"{size / 2**20:,.0f} MiB"


@app.command()
def schema() -> None:
    """Print the JSON Schema of a storyboard, for editors."""
    import json

    from slidekit.storyboard.schema import storyboard_schema

    typer.echo(json.dumps(storyboard_schema(), indent=1))


def main() -> None:
    """The entry point of the installed command."""
    # Modules and pages live to the end of a command. Looking through them for what does not, and
    # once more at the end, takes a fifth of the time of a build in which nothing changed.
    gc.set_threshold(200_000)
    atexit.register(gc.freeze)
    app()


def _renewed(views: tuple[str, ...]) -> str:
    if not views:
        return "verified: every kept picture is of the files that are there"
    return f"renewed, since their files are others than when they were kept: {', '.join(views)}"
