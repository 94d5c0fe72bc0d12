"""Decks as pictures, by two independent open-source renderers.

    python -m tests.outside.renderers DECK.pptx OUTDIR             (render-pptx, from PyPI)
    python -m tests.outside.renderers DECK.pptx OUTDIR --browser   (pptx-preview, from npm)

Both show every shape, whatever click it waits for. Arial is drawn with Arimo, which has the same
widths. The second needs Chromium, and the environment variable SLIDEKIT_NPM: a folder that holds
node_modules/pptx-preview.
"""

import argparse
import base64
import io
import json
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image
from pptx import Presentation
from render_pptx import renderer

import slidekit.scene
from tests.outside.chromium import Tab, chromium, open_tab

FONTS = Path(slidekit.scene.__file__).parent / "fonts"
TEST_FONTS = Path(__file__).parents[1] / "fonts"
FACES = {
    "arial": "Arimo-Regular.ttf",
    "arial regular": "Arimo-Regular.ttf",
    "arial bold": "Arimo-Bold.ttf",
    "arial italic": "Arimo-Italic.ttf",
    "arial bold italic": "Arimo-Bold.ttf",
}
NAMED = {
    family: [TEST_FONTS / f"{family.replace(' ', '')}-{face}.ttf" for face in ("Regular", "Bold")]
    for family in ("Noto Sans JP", "Noto Sans Arabic")
}
"""Fonts that styles of tests name: regular and bold."""
WIDTH_PX = 1280


def render_pptx(path: Path, width_px: int = WIDTH_PX) -> list[Image.Image]:
    """All slides, drawn by render-pptx: it draws type 1 pt too small and no inherited bullets."""
    _alias_arial()
    return list(renderer.render_slides(str(path), width=width_px))


def preview_pptx(path: Path, width_px: int = WIDTH_PX) -> list[Image.Image]:
    """All slides, drawn by pptx-preview in Chromium: it draws no slide numbers and no brackets."""
    with open_preview(path, width_px) as tab:
        boxes = tab.evaluate(
            "[...document.querySelectorAll('.pptx-preview-slide-wrapper')].map(slide => {"
            "const box = slide.getBoundingClientRect();"
            "return {x: box.x + scrollX, y: box.y + scrollY, width: box.width,"
            " height: box.height, scale: 1}})"
        )
        return [_screenshot(tab, box) for box in boxes]


@contextmanager
def open_preview(path: Path, width_px: int = WIDTH_PX) -> Iterator[Tab]:
    """A browser tab in which pptx-preview has drawn the deck, for measuring what it drew."""
    missing = preview_missing()
    if missing:
        raise RuntimeError(missing)
    page = Presentation(str(path))
    height_px = round(width_px * page.slide_height / page.slide_width)
    with tempfile.TemporaryDirectory() as folder, open_tab() as tab:
        file = Path(folder) / "preview.html"
        file.write_text(_html(path, (width_px, height_px)), encoding="utf-8")
        tab.send("Page.enable")
        tab.send(
            "Emulation.setDeviceMetricsOverride",
            width=width_px,
            height=height_px,
            deviceScaleFactor=1,
            mobile=False,
        )
        tab.send("Page.navigate", url=file.as_uri())
        tab.evaluate(
            "new Promise(done => {const look = () => window.ready ? window.ready.then(done)"
            " : setTimeout(look, 20); look()})"
        )
        yield tab


def preview_missing() -> str:
    """Why pptx-preview cannot be used here; empty if it can."""
    if chromium() is None:
        return "Chromium is not installed"
    if not _preview_script().is_file():
        return "SLIDEKIT_NPM names no folder with node_modules/pptx-preview"
    return ""


def write_pngs(path: Path, folder: Path, *, browser: bool = False) -> list[Path]:
    """Each slide as slide-01.png, slide-02.png ... in `folder`."""
    images = (preview_pptx if browser else render_pptx)(path)
    folder.mkdir(parents=True, exist_ok=True)
    files = [folder / f"slide-{number:02}.png" for number in range(1, len(images) + 1)]
    for file, image in zip(files, images, strict=True):
        image.save(file)
    return files


def _alias_arial() -> None:
    installed = renderer._scan_installed_fonts()
    installed.update({name: str(FONTS / file) for name, file in FACES.items()})
    for family, (regular, bold) in NAMED.items():
        name = family.lower()
        installed |= {name: str(regular), f"{name} regular": str(regular)}
        installed |= {f"{name} bold": str(bold), f"{name} italic": str(bold)}
    renderer._font_files.clear()


def _preview_script() -> Path:
    folder = Path(os.environ.get("SLIDEKIT_NPM", "."))
    return folder / "node_modules" / "pptx-preview" / "dist" / "pptx-preview.umd.js"


def _html(path: Path, size_px: tuple[int, int]) -> str:
    faces = [
        ("Arial", FONTS / "Arimo-Regular.ttf", "normal", "normal"),
        ("Arial", FONTS / "Arimo-Bold.ttf", "bold", "normal"),
        ("Arial", FONTS / "Arimo-Italic.ttf", "normal", "italic"),
    ]
    for family, (regular, bold) in NAMED.items():
        faces += [(family, regular, "normal", "normal"), (family, bold, "bold", "normal")]
    fonts = "".join(
        f"@font-face {{font-family: '{family}'; font-weight: {weight}; font-style: {style};"
        f" src: url(data:font/ttf;base64,{_base64(file)})}}"
        for family, file, weight, style in faces
    )
    options = json.dumps({"width": size_px[0], "height": size_px[1]})
    return f"""<!doctype html><meta charset="utf-8">
<style>{fonts} body {{margin: 0}} .pptx-preview-wrapper {{height: auto !important}}</style>
<div id="deck"></div>
<script src="{_preview_script().resolve().as_uri()}"></script>
<script>
const bytes = Uint8Array.from(atob("{_base64(path)}"), letter => letter.charCodeAt(0));
window.ready = pptxPreview.init(document.getElementById("deck"), {options})
  .preview(bytes.buffer)
  .then(() => Promise.all([...document.fonts].map(face => face.load())))
  .then(() => Promise.all([...document.images].map(image => image.decode())))
  .then(() => new Promise(done => setTimeout(done, 200)))
  .then(() => true);
</script>"""


def _screenshot(tab: Tab, box: dict[str, float]) -> Image.Image:
    shot = tab.send("Page.captureScreenshot", clip=box, captureBeyondViewport=True)
    return Image.open(io.BytesIO(base64.b64decode(shot["data"]))).convert("RGB")


def _base64(path: Path) -> str:
    return base64.b64encode(path.read_bytes()).decode()


def main() -> None:
    parser = argparse.ArgumentParser(description="Write every slide of a deck as a PNG.")
    parser.add_argument("deck", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--browser", action="store_true", help="draw with pptx-preview")
    options = parser.parse_args()
    for file in write_pngs(options.deck, options.folder, browser=options.browser):
        print(file)


if __name__ == "__main__":
    main()
