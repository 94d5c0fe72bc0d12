"""Small talks in scripts that run to the left, or without spaces, over the block of `talks`."""

from pathlib import Path

from tests.talks import write_block

FONTS = Path(__file__).parent / "fonts"

JAPANESE = """\
talk:
  title: 焼かれた壺の内側を読む
  subtitle: CT画像が語ること、語らないこと
  speaker: 語り手
  slot_min: 5
  language: ja
  style: own.yaml
scans:
  block: {folder: block, credit: 試験のために作られた, rights: CC0 1.0}
views:
  base: {scan: block, plane: axial, at_mm: 4, window: {center: 100, width: 400}}
  front: {scan: block, plane: coronal, at_mm: 12, window: soft_tissue}
regions:
  coil: {view: base, shape: ellipse, center_mm: [16, 12], radii_mm: [5, 4], color: orange,
    called: 巻かれた針金}
  gap: {view: front, shape: line, from_mm: [8, 2], to_mm: [20, 2], called: 壁との隙間}
findings:
  wire:
    statement: 壺の底の近くに、巻かれた針金が一つある。
    certainty: observed
    evidence: [coil]
slides:
  - {id: opening, kind: title, say: こんばんは。}
  - id: plan
    kind: text
    title: 画像は何も取り去らずに掘る
    points:
      - 土の塊を開けば、そこに保たれていた順序は失われる。まず画像を撮り、「何がどこか」を見る。
      - CT値は水と比べた数であり、物質の名を告げるものではない（空気は約−1000、水は0）。
      - 骨片は壺の下半分に集中し、**上半分はほとんど土**で満たされている。
    say: 発掘は一度しかできない実験です。
  - id: base
    kind: scan
    title: 底の近くに巻かれた針金がある
    views:
      - {view: base, regions: [coil], caption: 底を通る断面。明るいのは金属で、土よりも密である。}
      - {view: front, regions: [gap], caption: 正面の断面}
    say: 明るいものが見えます。[show coil] 針金です。[show gap] 隙間があります。
  - {id: end, kind: findings, title: 言えること, findings: [wire], say: 針金があります。}
  - {id: credits, kind: credits, title: 出典}
waive:
  - {rule: coarse-picture, slide: base, because: 試験の塊は小さい}
panels:
  coil:
    size_mm: [420, 594]
    headline: 土の塊の中の針金
    body: [壺の底の近くに、巻かれた針金が一つある。土の中で錆びているが、形は残っている。]
    views: [{view: base, regions: [coil], caption: 底を通る断面}]
    png_dpi: 50
"""

HEBREW = """\
talk:
  title: לקרוא את פנים הכד השרוף
  subtitle: מה סריקת CT מספרת, ומה איננה מספרת
  speaker: המרצה
  slot_min: 5
  language: he
scans:
  block: {folder: block, credit: נוצר לצורך בדיקה, rights: CC0 1.0}
views:
  base: {scan: block, plane: axial, at_mm: 4, window: {center: 100, width: 400}}
  front: {scan: block, plane: coronal, at_mm: 12, window: soft_tissue}
regions:
  coil: {view: base, shape: ellipse, center_mm: [16, 12], radii_mm: [5, 4], color: orange,
    called: חוט כרוך}
  gap: {view: front, shape: line, from_mm: [8, 2], to_mm: [20, 2], called: הרווח מן הדופן}
findings:
  wire:
    statement: חוט כרוך מונח סמוך לתחתית הכד.
    certainty: observed
    evidence: [coil]
slides:
  - {id: opening, kind: title, say: ערב טוב.}
  - id: plan
    kind: text
    title: סריקה חופרת בלי להסיר דבר
    points:
      - פתיחת הגוש הורסת את הסדר שנשמר בו, ולכן סורקים תחילה ובודקים "מה נמצא היכן".
      - CT משווה את החומר למים (אוויר הוא בערך -1000, מים הם 0); הוא אינו קורא לו בשם.
      - שברי העצם מרוכזים בחצי התחתון של הכד, **והחצי העליון מלא כמעט כולו אדמה**.
    say: חפירה היא ניסוי שנעשה פעם אחת.
  - id: base
    kind: scan
    title: חוט כרוך מונח סמוך לתחתית
    views:
      - view: base
        regions: [coil]
        caption: "חתך דרך התחתית (4 mm). החלק הבהיר הוא מתכת, צפופה בהרבה מן האדמה שסביבה."
      - {view: front, regions: [gap], caption: חתך מלפנים}
    say: משהו בהיר נראה כאן. [show coil] זהו חוט. [show gap] יש רווח.
  - {id: end, kind: findings, title: מה אפשר לומר, findings: [wire], say: יש חוט.}
  - {id: credits, kind: credits, title: מקורות}
waive:
  - {rule: coarse-picture, slide: base, because: הגוש של הבדיקה קטן}
panels:
  coil:
    size_mm: [420, 594]
    headline: חוט כרוך בגוש האדמה
    body: ["סמוך לתחתית הכד מונח חוט כרוך. הוא החליד באדמה, אך צורתו נשמרה."]
    views: [{view: base, regions: [coil], caption: חתך דרך התחתית}]
    png_dpi: 50
"""

_ARABIC = {
    "לקרוא את פנים הכד השרוף": "قراءة باطن الجرة المحروقة",
    "מה סריקת CT מספרת, ומה איננה מספרת": "ما يقوله التصوير CT وما لا يقوله",
    "המרצה": "المحاضر",
    "language: he": "language: ar\n  style: own.yaml",
    "נוצר לצורך בדיקה": "صُنع للاختبار",
    "חוט כרוך מונח סמוך לתחתית הכד.": "سلك ملفوف يقع قرب قاع الجرة.",
    "חוט כרוך מונח סמוך לתחתית": "سلك ملفوف يقع قرب القاع",
    "חוט כרוך בגוש האדמה": "سلك ملفوف في كتلة التراب",
    "סמוך לתחתית הכד מונח חוט כרוך. הוא החליד באדמה, אך צורתו נשמרה.":
        "قرب قاع الجرة يقع سلك ملفوف. صدئ في التراب، لكن شكله باق.",
    "חוט כרוך": "سلك ملفوف",
    "הרווח מן הדופן": "المسافة عن الجدار",
    "סריקה חופרת בלי להסיר דבר": "التصوير ينقب دون أن يزيل شيئا",
    'פתיחת הגוש הורסת את הסדר שנשמר בו, ולכן סורקים תחילה ובודקים "מה נמצא היכן".':
        "فتح الكتلة يفسد الترتيب المحفوظ فيها، ولذلك نصور أولا لنعرف «أين يوجد كل شيء».",
    "CT משווה את החומר למים (אוויר הוא בערך -1000, מים הם 0); הוא אינו קורא לו בשם.":
        "CT يقارن المادة بالماء (الهواء نحو -1000 والماء 0)؛ ولا يسميها باسمها.",
    "שברי העצם מרוכזים בחצי התחתון של הכד, **והחצי העליון מלא כמעט כולו אדמה**.":
        "شظايا العظم مجتمعة في النصف الأسفل من الجرة، **والنصف الأعلى مملوء كله تقريبا بالتراب**.",
    "חתך דרך התחתית (4 mm). החלק הבהיר הוא מתכת, צפופה בהרבה מן האדמה שסביבה.":
        "مقطع عبر القاع (4 mm). الجزء اللامع معدن أكثف بكثير من التراب حوله.",
    "חתך מלפנים": "مقطع أمامي",
    "חתך דרך התחתית": "مقطع عبر القاع",
    "מה אפשר לומר": "ما يمكن قوله",
    "מקורות": "المصادر",
}  # fmt: skip

ARABIC = HEBREW
for _hebrew, _arabic in _ARABIC.items():
    ARABIC = ARABIC.replace(_hebrew, _arabic)

STYLES = {
    "JAPANESE": ("Noto Sans JP", "NotoSansJP"),
    "ARABIC": ("Noto Sans Arabic", "NotoSansArabic"),
}
"""Families that the talks name, and how their files begin."""


def write_language_talk(folder: Path, name: str) -> Path:
    """The talk of that name, its scan, and the style with its fonts, in `folder`."""
    write_block(folder / "block")
    if name in STYLES:
        family, stem = STYLES[name]
        (folder / "own.yaml").write_text(
            f"like: lecture-dark\nfonts:\n  family: {family}\n"
            f"  regular: {FONTS / stem}-Regular.ttf\n  bold: {FONTS / stem}-Bold.ttf\n",
            encoding="utf-8",
        )
    path = folder / "talk.yaml"
    path.write_text(globals()[name], encoding="utf-8")
    return path
