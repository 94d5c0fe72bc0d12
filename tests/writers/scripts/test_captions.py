import io
import re

import pytest
import srt
import webvtt

from slidekit.scene.clock.captions import Caption
from slidekit.writers.scripts.captions import srt_text, timestamp, vtt_text, write_srt, write_vtt

CAPTIONS = (
    Caption(("This is slice one.",), 0, 4.5),
    Caption(("Bone & teeth", "are <very> bright."), 4.5, 3602.125),
)

# W3C WebVTT, section 4.1: the parts of a cue timing, hours with two digits or more
TIMING = re.compile(r"(\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3} --> (\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3}")


@pytest.mark.parametrize(
    ("seconds", "vtt"),
    [
        (0, "00:00:00.000"),
        (4.5, "00:00:04.500"),
        (59.9996, "00:01:00.000"),  # to whole thousandths first
        (3602.125, "01:00:02.125"),
        (360000, "100:00:00.000"),
    ],
)
def test_times_have_hours_and_thousandths(seconds, vtt):
    assert timestamp(seconds, ".") == vtt
    assert timestamp(seconds, ",") == vtt.replace(".", ",")


def test_a_vtt_file_begins_with_its_name_and_an_empty_line():
    assert vtt_text(CAPTIONS).startswith("WEBVTT\n\n1\n00:00:00.000 --> 00:00:04.500\n")


def test_every_cue_has_a_timing_of_the_standard():
    text = vtt_text(CAPTIONS)
    assert len(TIMING.findall(text)) == text.count("-->") == len(CAPTIONS)


def test_an_independent_reader_finds_all_cues_of_a_vtt_file(tmp_path):
    # webvtt-py drops cues that it cannot read: so they are counted
    write_vtt(CAPTIONS, tmp_path / "talk.vtt")
    cues = webvtt.read(str(tmp_path / "talk.vtt"))
    assert [(cue.start, cue.end) for cue in cues] == [
        ("00:00:00.000", "00:00:04.500"),
        ("00:00:04.500", "01:00:02.125"),
    ]
    assert [cue.identifier for cue in cues] == ["1", "2"]
    assert cues[1].raw_text == "Bone &amp; teeth\nare &lt;very&gt; bright."


def test_a_subrip_file_is_what_another_composer_writes(tmp_path):
    write_srt(CAPTIONS, tmp_path / "talk.srt")
    text = (tmp_path / "talk.srt").read_text(encoding="utf-8")
    subtitles = list(srt.parse(text))
    assert [one.content for one in subtitles] == ["\n".join(one.lines) for one in CAPTIONS]
    assert srt.compose(subtitles).rstrip("\n") == text.rstrip("\n")


def test_a_text_with_an_arrow_ends_no_cue():
    text = vtt_text((Caption(("a --> b",), 0, 1),))
    assert len(list(webvtt.from_buffer(io.StringIO(text)))) == 1
    assert "a --&gt; b" in text


def test_no_caption_gives_an_empty_file_of_each_kind():
    assert vtt_text(()) == "WEBVTT\n"
    assert srt_text(()) == ""
