"""A few seconds of spoiled input in every run of the tests; `targets` goes on as long as wanted."""

from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.targets import spoil_files, spoil_scans, spoil_storyboard

quickly = settings(
    max_examples=300,
    deadline=20_000,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@quickly
@given(random=st.randoms(use_true_random=False))
def test_spoiled_scans_end_in_a_picture_or_a_message(tmp_path_factory, random: Random):
    spoil_scans(random, tmp_path_factory.mktemp("scans"))


@quickly
@given(random=st.randoms(use_true_random=False))
def test_spoiled_volumes_pictures_and_archives_end_alike(tmp_path_factory, random: Random):
    spoil_files(random, tmp_path_factory.mktemp("files"))


@quickly
@given(random=st.randoms(use_true_random=False))
def test_spoiled_storyboards_end_in_a_talk_or_a_message(tmp_path_factory, random: Random):
    spoil_storyboard(random, tmp_path_factory.mktemp("board"))
