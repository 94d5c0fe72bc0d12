"""The page is also driven in a real browser, with keys and clicks."""

import json
import re
import time
from html.parser import HTMLParser

import html5lib
import pytest

from slidekit.scene.clock.pace import parse_log
from slidekit.scene.clock.schedule import Cue, Passage, Said, Schedule, Silence, Turn
from slidekit.storyboard.talk import Talk
from slidekit.writers.scripts.prompter import prompter_html, write_prompter
from tests.outside.chromium import chromium, open_tab

TALK = Talk(title="What the urn <holds> & keeps", slot_min=1)
PIECES = (
    Said("Something is bright", 120, 10, 60),
    Cue(1, "orange ellipse A, the coil", 70),
    Said(", and it is here.", 20, 70, 10),
    Silence(2.5, 80),
)
GREETING = Said("Good <b>evening</b>.", 20, 0, 10)
LONG = Said(" ".join(["word"] * 240), 240, 82.5, 120)
SCHEDULE = Schedule(
    (
        Turn(
            1, "opening", "Opening", 0, 10, (Passage((Said("Good <b>evening</b>.", 20, 0, 10),)),)
        ),
        Turn(2, "coil", "Coil", 10, 72.5, (Passage(PIECES),)),
        Turn(3, "rest", "Rest", 82.5, 120, (Passage((LONG,), keep="may"),), keep="should"),
    ),
    slot_s=240,
    words_per_min=120,
    questions_s=30,
)
PAGE = prompter_html(TALK, SCHEDULE)


class Words(HTMLParser):
    """The second and the text of each timed span."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[float, str]] = []
        self.at: float | None = None

    def handle_starttag(self, _tag, attrs):
        self.at = float(dict(attrs)["data-at"]) if "data-at" in dict(attrs) else None

    def handle_data(self, data):
        if self.at is not None:
            self.found.append((self.at, data))

    def handle_endtag(self, _tag):
        self.at = None


def test_every_word_stands_in_its_order_with_the_second_at_which_it_is_said():
    words = Words()
    words.feed(PAGE)
    texts = [text for _, text in words.found]
    assert texts[:5] == ["Good", "<b>evening</b>.", "Something", "is", "bright"]
    assert texts[5:8] == ["1 orange ellipse A, the coil", ",", "and"]
    ats = [at for at, _ in words.found]
    assert ats == sorted(ats)
    assert words.found[5] == (70, "1 orange ellipse A, the coil")


def test_the_page_is_sound_html():
    # html5lib parses by the WHATWG standard and notes what the standard calls a parse error
    parser = html5lib.HTMLParser(strict=False)
    parser.parse(PAGE)
    assert [code for _, code, _ in parser.errors] == []


def test_the_page_asks_nothing_of_a_network():
    assert not re.search(r"https?://|src=|@import|url\(", PAGE)


def test_texts_of_the_author_are_text():
    assert "<title>What the urn &lt;holds&gt; &amp; keeps</title>" in PAGE
    assert "&lt;b&gt;evening&lt;/b&gt;." in PAGE


def test_no_space_stands_before_a_comma_after_a_click():
    assert '</span><span data-at="70.000">,</span>' in PAGE


@pytest.fixture(scope="module")
def tab(tmp_path_factory):
    if chromium() is None:
        pytest.skip("Chromium is not installed")
    path = tmp_path_factory.mktemp("prompter") / "prompter.html"
    write_prompter(TALK, SCHEDULE, path)
    with open_tab() as tab:
        tab.send("Page.enable")
        tab.send(
            "Emulation.setDeviceMetricsOverride",
            width=1000,
            height=700,
            deviceScaleFactor=1,
            mobile=False,
        )
        tab.send("Page.navigate", url=path.as_uri())
        tab.evaluate(
            "new Promise(done => {const look = () => document.readyState === 'complete'"
            " && typeof begin === 'function' ? done() : setTimeout(look, 20); look()})"
        )
        yield tab


@pytest.fixture
def page(tab):
    tab.evaluate("pace = facts.pace; size = 44; enlarge(0); begin()")
    return tab


def press(page, key: str, text: str = "") -> None:
    page.send("Input.dispatchKeyEvent", type="keyDown", key=key, **({"text": text} if text else {}))
    page.send("Input.dispatchKeyEvent", type="keyUp", key=key)


def click(page, name: str) -> None:
    x, y = page.evaluate(
        f"(() => {{const b = get('{name}').getBoundingClientRect();"
        " return [b.x + b.width / 2, b.y + b.height / 2]})()"
    )
    for kind in ("mousePressed", "mouseReleased"):
        page.send("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)


def shown(page, name: str) -> str:
    page.evaluate("draw()")
    return page.evaluate(f"get('{name}').textContent")


def height_px(page) -> float:
    return page.evaluate("new DOMMatrix(getComputedStyle(text).transform).f")


def test_the_space_bar_starts_and_stops(page):
    press(page, " ", " ")
    assert shown(page, "go") == "Stop"
    time.sleep(0.5)
    press(page, " ", " ")
    at = page.evaluate("at")
    assert 0.3 < at < 5
    time.sleep(0.2)
    assert page.evaluate("at") == at
    assert shown(page, "go") == "Start"


def test_the_text_runs_at_the_planned_pace(page):
    press(page, " ", " ")
    before = page.evaluate("[at, performance.now()]")
    time.sleep(1)
    after = page.evaluate("[at, performance.now()]")
    press(page, " ", " ")
    passed_s = (after[1] - before[1]) / 1000
    assert after[0] - before[0] == pytest.approx(passed_s, abs=0.1)


def test_the_text_moves_up_as_time_goes_on(page):
    page.evaluate("at = 90; draw()")
    before = height_px(page)
    page.evaluate("at = 120; draw()")
    assert height_px(page) < before - 44


def test_the_word_that_is_said_stands_at_the_line(page):
    for at in (0, 10, 95, 190):
        page.evaluate(f"at = {at}; draw()")
        off = page.evaluate(
            "(() => {const i = ats.findLastIndex(one => one <= at);"
            "const word = words[i].getBoundingClientRect();"
            "const line = get('line').getBoundingClientRect();"
            "return [word.top - line.bottom, line.top - word.bottom]})()"
        )
        assert max(off) < 44 * 1.45  # within the line, or the one it is about to leave


def test_arrows_change_the_pace(page):
    press(page, "ArrowUp")
    press(page, "ArrowUp")
    assert shown(page, "pace") == "130 words/min"
    press(page, "ArrowDown")
    assert shown(page, "pace") == "125 words/min"


def test_a_faster_pace_runs_faster(page):
    page.evaluate("pace = 240")
    press(page, " ", " ")
    before = page.evaluate("[at, performance.now()]")
    time.sleep(0.6)
    after = page.evaluate("[at, performance.now()]")
    press(page, " ", " ")
    passed_s = (after[1] - before[1]) / 1000
    assert after[0] - before[0] == pytest.approx(2 * passed_s, abs=0.15)


@pytest.mark.parametrize("keys", [("PageDown", "PageUp"), ("ArrowRight", "ArrowLeft")])
def test_a_clicker_goes_on_and_back_by_paragraphs(page, keys):
    on, back = keys
    press(page, on)
    assert page.evaluate("at") == 10
    press(page, on)
    assert page.evaluate("at") == 82.5
    press(page, back)
    assert page.evaluate("at") == 10


def test_the_picture_can_be_mirrored(page):
    press(page, "m", "m")
    matrix = page.evaluate("getComputedStyle(get('window')).transform")
    assert matrix.startswith("matrix(-1, 0, 0, 1")
    assert page.evaluate("get('mirror').getAttribute('aria-pressed')") == "true"
    press(page, "m", "m")
    assert page.evaluate("getComputedStyle(get('window')).transform") == "none"


def test_letters_can_be_larger(page):
    press(page, "+", "+")
    assert page.evaluate("getComputedStyle(text).fontSize") == "48px"


def test_buttons_do_what_keys_do_and_leave_the_space_bar_alone(page):
    click(page, "faster")
    assert shown(page, "pace") == "125 words/min"
    press(page, " ", " ")
    assert shown(page, "go") == "Stop"
    assert shown(page, "pace") == "125 words/min"
    click(page, "go")
    assert shown(page, "go") == "Start"


def test_the_clock_stands_against_the_slot_without_questions(page):
    assert shown(page, "clock") == "0:00 / 3:30"
    page.evaluate("started = performance.now() - 60000; at = 30; draw()")
    assert shown(page, "clock") == "1:00 / 3:30"
    # 172.5 s of words are left, and 150 s of the slot
    assert shown(page, "standing") == "0:30 behind, 0:23 over"
    assert page.evaluate("get('clock').classList.contains('late')")


def test_the_saved_times_are_a_log_for_the_pace(page):
    page.evaluate("set(true)")
    for at in (0, 15, 90, 202.4):
        page.evaluate(f"at = {at}")
        time.sleep(0.25)
    deadline = time.monotonic() + 5
    while page.evaluate("running") and time.monotonic() < deadline:
        time.sleep(0.05)
    text = page.evaluate("times()")
    assert [line.split()[1] for line in text.splitlines()] == ["opening", "coil", "rest", "end"]
    assert set(parse_log(text, SCHEDULE)) == {"opening", "coil", "rest"}


def test_everything_can_be_reached_by_name(tab):
    names = json.loads(
        tab.evaluate(
            "JSON.stringify([...document.querySelectorAll('button')]"
            ".map(one => one.textContent.trim()))"
        )
    )
    assert all(names)
    assert len(names) == len(set(names))


def test_a_talk_that_runs_to_the_left_says_so():
    hebrew = TALK.model_copy(update={"language": "he"})
    assert '<html lang="he" dir="rtl">' in prompter_html(hebrew, SCHEDULE)
    assert "dir=" not in prompter_html(TALK, SCHEDULE).partition(">")[2].partition(">")[0]
