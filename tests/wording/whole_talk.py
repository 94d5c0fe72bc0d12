"""A German talk with every kind of slide and everything that can stand beside a picture."""

from pathlib import Path

from tests.materials_talk import write_materials_talk
from tests.storyboard.boards import write
from tests.storyboard.number_boards import TABLE
from tests.talks import write_block

WHOLE_TALK = """\
talk:
  title: Ein Block, ganz gelesen
  subtitle: Eine Probe
  speaker: A. Sprecherin
  occasion: Ein erfundenes Seminar
  slot_min: 14
  language: de
  audience: student
scans:
  block: {folder: block, credit: Für eine Probe gemacht, rights: CC0 1.0, human_remains: true}
  seal: {folder: seal/block, credit: Auch dafür gemacht, rights: CC0 1.0}
views:
  base: {scan: block, plane: axial, at_mm: 4, window: soft_tissue}
  twice: {scan: block, plane: axial, at_mm: 3, window: {split: [bone, {center: 100, width: 400}]}}
  front: {scan: block, plane: coronal, at_mm: 12, window: {percentiles: [1, 99]}}
  side: {scan: block, plane: sagittal, at_mm: 16, window: {percentiles: [1, 99], region: coil_side}}
  whole: {scan: block, plane: coronal, at_mm: 12, slab_mm: 12, slab: max, window: bone}
  taken: {scan: block, plane: acquired, slice: 4, window: {center: 1, width: 90, curve: sigmoid}}
  slanted:
    scan: block
    plane: oblique
    along_mm: [[4, 4, 3], [28, 16, 3]]
    facing: coronal
    window: bone
  unrolled:
    scan: block
    plane: curved
    path_mm: [[4, 8, 4], [12, 12, 4], [20, 13, 4], [28, 12, 4]]
    across: [0, 0, 1]
    width_mm: 6
    window: bone
  thin: {scan: block, plane: axial, at_mm: 4, slab_mm: 2, slab: min, window: bone}
  mouth: {scan: seal, plane: axial, at_mm: 2, window: soft_tissue}
regions:
  coil:
    view: base
    shape: ellipse
    center_mm: [16, 12]
    radii_mm: [5, 4]
    certainty: probable
    called: die Spirale
  wire: {view: base, shape: rectangle, center_mm: [16, 11.5], size_mm: [2, 3], called: der Draht}
  lean: {view: base, shape: angle, vertex_mm: [4, 4], arms_mm: [[9, 4], [9, 9]], called: der Knick}
  pit: {view: base, shape: point, at_mm: [26, 18], called: die Grube}
  gap: {view: front, shape: line, from_mm: [8, 2], to_mm: [20, 2], called: die Lücke}
  hint: {view: front, shape: arrow, tail_mm: [6, 5], tip_mm: [12, 3], called: der Rand}
  coil_side: {view: side, shape: rectangle, center_mm: [12, 4], size_mm: [6, 4], called: der Kern}
  veiled: {view: thin, shape: rectangle, center_mm: [16, 12], size_mm: [8, 6], called: der Schleier}
  far: {view: slanted, shape: ellipse, center_mm: [0, 0], radii_mm: [5, 2], called: die Schräge}
  left: {view: mouth, shape: rectangle, center_mm: [7.5, 12], size_mm: [12, 18], called: das Siegel}
  right:
    view: mouth
    shape: polygon
    points_mm: [[18.5, 3], [30.5, 3], [30.5, 21], [18.5, 21]]
    called: die Naht
volumes:
  metal:
    scan: block
    shape: box
    center_mm: [16, 11.5, 3.5]
    size_mm: [20, 16, 8]
    from_value: 300
    called: das Metall
chronology:
  periods:
    bronze: {label: Bronzezeit, start: c. 2200 BCE, end: c. 800 BCE}
    iron: {label: Eisenzeit, start: 800 BCE, end: ..}
    early: {label: Form, start: 1300 BCE, end: 1100 BCE, lane: 2}
    late: {label: Späte Form, start: 1100 BCE?, end: 850 BCE, lane: 2}
  lanes: {2: Gefäße}
  events:
    twigs:
      label: Zweige
      calibrated: {from: 2905 cal BP, to: 2780 cal BP, percent: 95.4, lab: XY-1, curve: IntCal20}
    ditch: {label: Graben, at: after 60 CE}
  this_case: {label: Dieser Block, earliest: 1000 BCE, latest: c. 850 BCE}
tables:
  urns:
    file: urns.csv
    about: Zehn Urnen
    id: find
    this_case: P05
    missing: ["?"]
    columns:
      phase: {values: [early, late]}
      hole: {values: [drilled, none]}
      second: {values: [drilled, none]}
      lid: {values: [sealed, loose]}
counts:
  holes: {called: Ein Loch, table: urns, where: [{column: hole, is: drilled}]}
  lids: {called: Deckel dicht, of: holes, where: [{column: lid, is: sealed}]}
  early_ones: {called: Frühe, table: urns, where: [{column: phase, is: early}]}
  early_holes: {called: Frühe Löcher, of: early_ones, where: [{column: hole, is: drilled}]}
  late_ones: {called: Späte, table: urns, where: [{column: phase, is: late}]}
  late_holes: {called: Späte Löcher, of: late_ones, where: [{column: hole, is: drilled}]}
comparisons:
  phases: {called: Früh gegen spät, counts: [late_holes, early_holes]}
agreements:
  readers: {called: Zwei Lesungen, table: urns, readers: [hole, second]}
quoted:
  counted: {percent: 34.2, n: 76, source: survey}
sources:
  survey:
    type: book
    title: Urnen der Ebene
    author: [{family: Quill, given: S.}, {family: Moor, given: A.}, {family: Vale, given: J.}]
    editor: [{family: Moor, given: Audrey}]
    issued: 1987
    edition: 2
    page: "12"
  diary: {type: manuscript, title: Grabungsbuch, archive: Archiv von Nirgendwo}
account:
  called: Wie ein Block gefüllt wurde
  source: survey
  stages:
    pyre: {called: Brand, about: Es wird verbrannt, here: as described, by: [coil]}
    gift: {called: Gabe, about: Metall kommt darauf, here: differs, by: [wire], series: holes}
    soil: {called: Erde, about: Erde kommt hinein, here: absent}
    stone: {called: Stein, about: Ein Stein steht darauf, here: not assessable}
materials:
  seal_is:
    called: Was das Siegel sein kann
    region: left
    candidates: [pine_resin, beeswax, quartz]
    mix: [beeswax, pine_resin]
  veil_is: {called: Der Schleier, region: veiled, energy_kev: 70, candidates: [bone, iron]}
contrasts:
  both: {called: Siegel und Flicken, regions: [right, left]}
findings:
  wire_in_it:
    statement: Ein Draht liegt im Block
    certainty: observed
    evidence: [coil, survey]
  rare:
    statement: Solche Löcher sind selten
    certainty: possible
    evidence: [holes]
    against: Es sind wenige Urnen
    alternatives:
      - {statement: Die Lesung irrt, why_less: zwei lasen es}
      - {statement: Der Zufall}
  purpose:
    statement: Wozu das Loch diente
    certainty: cannot be shown
    evidence: [wire]
    alternatives: [{statement: Ein Abfluss}, {statement: Ein Ausgang}]
  glue:
    statement: Das Siegel ist kein Wachs
    certainty: probable
    evidence: [left.mean, both]
    although: Ein Geruch
glossary:
  ct_number: {term: CT-Zahl, also: [CT-Zahlen], plain: wie stark eine Stelle schwächt}
slides:
  - {id: opening, kind: title, section: Anfang, say: "Guten Tag. {later: shares}."}
  - id: notice
    kind: notice
    title: Knochen kommen vor
    points: [Sie dürfen wegsehen]
    say: "[pause 5] Wegsehen ist erlaubt."
  - {id: why, kind: text, title: Warum wir messen, points: ["Eine {ct_number.term} ist kein Name"]}
  - {id: words, kind: quote, title: Ein Wort von damals, quote: Hier ruht der Rest., source: diary}
  - id: when
    kind: timeline
    title: "{bronze.called}, {bronze.duration}"
    highlight: [bronze, this_case]
    zoom: [late]
    tally: {table: urns, column: phase}
    say: |
      {bronze} war {bronze.duration}. {twigs}. {ditch}. Es ist {this_case}.

      [may] {iron} folgt.
  - id: base
    kind: scan
    title: Die Werte
    stage: gift
    views:
      - view: base
        regions: [coil, wire]
        table: [coil, wire]
        columns: [range, n, feret]
        locator: front
        caption: "{wire.mark} misst {wire.area}"
    say: |
      [show coil] {coil.mark} ist {coil.called}. [show wire] {wire.warning}: {wire.mean}, {wire.n}.
      Metall: {metal}. Eine {ct_number.term}.
  - id: more
    kind: scan
    title: Alles auf zwei Bildern
    views:
      - {view: base, regions: [lean, pit], inset: {region: pit, times: 1.5}}
      - {view: front, regions: [gap, hint], profile: gap}
    say: |
      [show lean] {lean.angle}. [show pit] {pit.mark}. [show gap] {gap.length}. [show hint]
      {hint.mark}.
  - id: turns
    kind: scan
    title: Es bewegt sich
    keep: should
    views:
      - {view: taken, cine: {from_slice: 2, to_slice: 6}, caption: Aufnahme}
      - {view: whole, turntable: {frames: 12}}
      - {view: slanted, cine: {before_mm: 2, behind_mm: 2, step_mm: 1}, regions: [far]}
    say: "{earlier: base}. [show far] {far.mark}."
  - id: ways
    kind: scan
    title: Gekrümmt und geteilt
    views:
      - {view: twice}
      - {view: unrolled}
      - {view: side, regions: [coil_side]}
      - {view: thin, regions: [veiled], values: [veiled]}
    say: "[show coil_side] {coil_side.mark}. [show veiled] {veiled.warning}, {veiled.mean}."
  - id: two
    kind: scan
    title: Sie unterscheiden sich um {both.difference}
    views: [{view: mouth, regions: [left, right], contrast: both}]
    say: |
      {left.mark} und {right.mark}: {both}, {both.difference}, {both.interval}, {both.effect},
      {both.overlap}.
  - id: alike
    kind: scan
    title: Gleich groß
    same_scale: true
    views: [{view: mouth}, {view: base}]
    say: Beide.
  - id: question
    kind: materials
    title: Was es sein kann
    question: seal_is
    say: |
      {seal_is}. {seal_is.remain}, {seal_is.excluded}, {seal_is.share}, {seal_is.energy}.
  - {id: veil, kind: materials, title: Und der Schleier, question: veil_is, say: "{veil_is}."}
  - id: shares
    kind: series
    title: "{holes.words}"
    counts: [holes, lids]
    say: |
      [show holes] {holes}, {holes.percent}, {holes.interval}. [show lids] {lids}. {phases},
      {phases.p}. {readers}, {readers.interval}, {readers.same}. {counted}, {counted.count},
      {counted.source}, {counted.words}, {survey}.
  - {id: each, kind: series, title: Jede, counts: [holes], chart: cases, say: "[show holes] Da."}
  - id: custom
    kind: compare
    title: Der Brauch
    say: |
      [show pyre] {pyre}, {pyre.number}, {pyre.here}. [show gift, soil] {gift.here}, {soil.here}.
      [show stone] {stone.here}.
  - id: end
    kind: findings
    title: Was wir wissen
    section: Schluss
    findings: [wire_in_it, rare, purpose, glue]
    say: "{rare.certainty}, {survey.author}."
  - {id: terms, kind: glossary, title: Begriffe}
  - {id: credits, kind: credits, title: Nachweise, points: ["Löcher: {counted.count}"]}
panels:
  poster:
    size_mm: [594, 841]
    headline: Ein Block
    body: ["Im Block liegt ein Draht. {holes} haben ein Loch. Eine {ct_number.term} ist kein Name."]
    views:
      - {view: base, regions: [coil, wire], values: [wire], caption: Schnitt}
      - {view: mouth, regions: [left, right], contrast: both}
    counts: [holes]
    stages: [pyre, gift, soil, stone]
    png_dpi: 40
"""


def write_whole_talk(folder: Path, language: str = "de") -> Path:
    """The talk, its two scans and its table in `folder`."""
    write_block(folder / "block")
    (folder / "seal").mkdir()
    write_materials_talk(folder / "seal")
    write(folder, TABLE, "urns.csv")
    return write(folder, WHOLE_TALK.replace("language: de", f"language: {language}"))
