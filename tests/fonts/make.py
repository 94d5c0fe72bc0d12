"""Makes the fonts of these tests: `python -m tests.fonts.make FOLDER_OF_THE_WHOLE_FONTS`.

They are subsets of fonts under the SIL Open Font License 1.1 (OFL.txt), with the letters of
`tests/language_talks.py`, all kana, and what their letters join to.
"""

import sys
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

from tests import language_talks

HERE = Path(__file__).parent
KANA = "".join(map(chr, range(0x3041, 0x30FF))) + "、。「」『』（）！？：；・…ー々"

ARABIC = "".join(map(chr, range(0x0621, 0x0653)))


def subset(whole: Path, small: Path, letters: str) -> None:
    """The font with these letters only."""
    font = TTFont(whole)
    options = Options(hinting=False, name_IDs=["*"], notdef_outline=True)
    chosen = Subsetter(options)
    chosen.populate(text=letters)
    chosen.subset(font)
    font.save(small)


def main(folder: Path) -> None:
    """Regular and bold of both families."""
    ascii_letters = "".join(map(chr, range(0x20, 0x7F))) + "–—−•’“”×±°·‰"
    for stem, letters in {
        "NotoSansJP": language_talks.JAPANESE + KANA + ascii_letters,
        "NotoSansArabic": language_talks.ARABIC + ARABIC + ascii_letters,
    }.items():
        for face in ("Regular", "Bold"):
            [whole] = folder.rglob(f"{stem}_*00{face}.ttf")
            subset(whole, HERE / f"{stem}-{face}.ttf", letters)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
