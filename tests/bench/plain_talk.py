"""The plain way, to compare with: pydicom, a float volume per series, one figure per picture saved
at 900 pixels, python-pptx. Usage: plain_talk.py PLAN.json OUT.pptx [INTERPOLATION]
"""

import json
import sys
from io import BytesIO
from pathlib import Path

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np
import pydicom
from pptx import Presentation
from pptx.enum.shapes import MSO_SHAPE
from pptx.util import Inches


def load_volume(folder: Path) -> tuple[np.ndarray, float, float, np.ndarray]:
    files = [pydicom.dcmread(path) for path in folder.iterdir()]
    files.sort(key=lambda ds: float(ds.ImagePositionPatient[2]))
    first = files[0]
    volume = np.stack(
        [ds.pixel_array * float(ds.RescaleSlope) + float(ds.RescaleIntercept) for ds in files]
    )
    step = float(files[1].ImagePositionPatient[2]) - float(first.ImagePositionPatient[2])
    return volume, float(first.PixelSpacing[0]), step, np.array(first.ImagePositionPatient, float)


def picture(volume, spacing, step, origin, view, interpolation) -> BytesIO:
    at = view["at_mm"]
    if view["plane"] == "axial":
        pixels, aspect = volume[round((at - origin[2]) / step)], 1
    elif view["plane"] == "coronal":
        pixels, aspect = volume[::-1, round((at - origin[1]) / spacing), :], step / spacing
    else:
        pixels, aspect = volume[::-1, :, round((at - origin[0]) / spacing)], step / spacing
    low = view["center"] - view["width"] / 2
    figure = plt.figure(figsize=(9, 9), dpi=100)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.imshow(
        pixels, cmap="gray", vmin=low, vmax=low + view["width"], aspect=aspect,
        interpolation=interpolation,
    )  # fmt: skip
    axes.axis("off")
    stream = BytesIO()
    figure.savefig(stream, format="png")
    plt.close(figure)
    stream.seek(0)
    return stream


def main(plan_path: str, out: str, interpolation: str) -> None:
    plan = json.loads(Path(plan_path).read_text(encoding="utf-8"))
    volumes = {name: load_volume(Path(folder)) for name, folder in plan["series"].items()}
    deck = Presentation()
    deck.slide_width, deck.slide_height = Inches(13.333), Inches(7.5)
    for number, views in enumerate(plan["slides"], start=1):
        slide = deck.slides.add_slide(deck.slide_layouts[5])
        slide.shapes.title.text = f"Slide {number}"
        for j, view in enumerate(views):
            stream = picture(*volumes[view["series"]], view, interpolation)
            slide.shapes.add_picture(stream, Inches(0.5 + 6.2 * j), Inches(1.5), Inches(5.5))
            for k in range(view["marks"]):
                slide.shapes.add_shape(
                    MSO_SHAPE.OVAL, Inches(2 + 6.2 * j + k), Inches(3), Inches(1), Inches(0.7)
                ).fill.background()
        slide.notes_slide.notes_text_frame.text = f"The words of slide {number}."
    deck.save(out)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], sys.argv[3] if len(sys.argv) > 3 else "antialiased")
