from hypothesis import given
from hypothesis import strategies as st

from slidekit.storyboard.marks import assign_marks
from slidekit.storyboard.model import Storyboard

MARKS = ("blue", "orange", "yellow", "pink")


def board(regions: dict[str, dict], slides: list[list[list[str]]] = ()) -> Storyboard:
    """Regions with their `view` and perhaps `color`; slides as the region names of their views."""
    return Storyboard.model_validate(
        {
            "talk": {"title": "x", "slot_min": 5},
            "regions": {
                name: {"shape": "point", "at_mm": [0, 0], "called": name, **given}
                for name, given in regions.items()
            },
            "slides": [
                {"id": "opening", "kind": "title"},
                *(
                    {
                        "id": f"s{i}",
                        "kind": "scan",
                        "title": "x",
                        "views": [{"view": f"v{j}", "regions": r} for j, r in enumerate(views)],
                    }
                    for i, views in enumerate(slides)
                ),
            ],
        }
    )


def on(view: str, color: str | None = None) -> dict:
    return {"view": view} if color is None else {"view": view, "color": color}


def test_marks_are_given_out_in_the_order_of_definition():
    given_out = assign_marks(board({"a": on("v"), "b": on("v"), "c": on("v")}), MARKS)
    assert given_out == {"a": "blue", "b": "orange", "c": "yellow"}
    assert list(given_out) == ["a", "b", "c"]


def test_each_view_begins_with_the_first_mark():
    assert assign_marks(board({"a": on("v"), "b": on("w")}), MARKS) == {"a": "blue", "b": "blue"}


def test_an_explicit_color_wins_and_is_not_given_out_again():
    regions = {"a": on("v"), "b": on("v", "blue"), "c": on("v")}
    assert assign_marks(board(regions), MARKS) == {"a": "orange", "b": "blue", "c": "yellow"}


def test_regions_of_one_slide_differ_though_their_views_do():
    regions = {"a": on("v"), "b": on("w")}
    assert assign_marks(board(regions, [[["a"], ["b"]]]), MARKS) == {"a": "blue", "b": "orange"}


def test_regions_of_one_panel_differ_too():
    whole = board({"a": on("v"), "b": on("w")}).model_dump(exclude_none=True)
    views = [{"view": "v", "regions": ["a"]}, {"view": "w", "regions": ["b"]}]
    whole["panels"] = {"p": {"size_mm": [420, 594], "headline": "x", "body": ["x"], "views": views}}
    given_out = assign_marks(Storyboard.model_validate(whole), MARKS)
    assert given_out == {"a": "blue", "b": "orange"}


def test_when_all_marks_are_taken_they_begin_again():
    given_out = assign_marks(board({name: on("v") for name in "abcdef"}), MARKS)
    assert list(given_out.values()) == [*MARKS, "blue", "orange"]


def test_a_name_that_leads_nowhere_is_no_matter_here():
    assert assign_marks(board({"a": on("v")}, [[["a", "nowhere"]]]), MARKS) == {"a": "blue"}


views = st.sampled_from("vwx")
names = st.lists(st.sampled_from("abcdefgh"), unique=True, min_size=1, max_size=8)


@given(names=names, data=st.data())
def test_a_region_added_at_the_end_changes_no_mark(names, data):
    regions = {name: on(data.draw(views)) for name in names}
    before = assign_marks(board(regions), MARKS)
    after = assign_marks(board({**regions, "z": on(data.draw(views))}), MARKS)
    assert {**after, "z": None} == {**before, "z": None}


@given(names=names, data=st.data())
def test_neighbours_differ_while_the_marks_last(names, data):
    regions = {name: on(data.draw(views)) for name in names}
    slide = data.draw(st.lists(st.sampled_from(names), unique=True, max_size=4))
    many = tuple(f"mark{i}" for i in range(12))
    worn = assign_marks(board(regions, [[slide]] if slide else []), many)
    for one in names:
        for other in names:
            together = {one, other} <= set(slide) or regions[one] == regions[other]
            assert one == other or not together or worn[one] != worn[other]
