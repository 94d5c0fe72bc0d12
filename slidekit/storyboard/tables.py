"""What an author may write of numbers: tables of cases, counts in them, and numbers quoted."""

from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from slidekit.storyboard.parts import Line, Name, Part, advised
from slidekit.wording import phrase

ColumnName: TypeAlias = Annotated[str, Field(pattern=r"\S")]
"""As in the first row of the table."""

DIGITS = r"^\d+(\.\d+)?$"
Digits: TypeAlias = Annotated[
    str,
    Field(pattern=DIGITS),
    # what an editor sees: 34.2 without quotes is a number there
    WithJsonSchema({"type": ["string", "number"], "pattern": DIGITS, "examples": ["34.2"]}),
]
"""A number as it is printed, with all its decimals."""


def _as_list(written: object) -> object:
    return [written] if isinstance(written, str | int) else written


OneOrMore: TypeAlias = Annotated[
    tuple[Line, ...],
    BeforeValidator(_as_list),
    Field(min_length=1),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "array", "items": {"type": ["string", "integer"]}, "minItems": 1},
                {"type": ["string", "integer"]},
            ],
            "examples": ["drilled", ["drilled", "pierced"]],
        }
    ),
]
"""`drilled`, or `[drilled, pierced]`."""

TESTS = ("is", "is_not", "at_least", "at_most", "above", "below")


class Column(Part):
    """One entry of a table's data dictionary; plain words unless `values` or a range is given."""

    about: str = Field(default="", description="What the column says of a case")
    values: tuple[Line, ...] = Field(
        default=(), description="What its cells may hold", examples=[["drilled", "none"]]
    )
    least: float | None = Field(default=None, description="Of a number: not below this")
    most: float | None = Field(default=None, description="Of a number: not above this")

    @model_validator(mode="after")
    def _one_kind(self) -> "Column":
        if (self.least is None) != (self.most is None):
            raise advised("has one end of a range only", "Write both `least` and `most`")
        if self.values and self.least is not None:
            raise advised("has `values` and a range", "Write one of the two")
        if self.least is not None and self.most is not None and self.least > self.most:
            raise advised("`least` is more than `most`", "Exchange the two")
        return self

    @property
    def is_number(self) -> bool:
        return self.least is not None


class Table(Part):
    """A comparative series: a file with one case in each row, and its data dictionary."""

    file: Line = Field(
        description="CSV in UTF-8, a workbook (.xlsx) or Parquet, relative to the storyboard",
        examples=["urns.csv"],
    )
    sheet: Line | None = Field(
        default=None, description="Of a workbook; the first if left out", examples=["Urns"]
    )
    about: Line = Field(
        description="What the series is and where it comes from, as printed with it",
        examples=["64 urns of one cemetery, after their catalogue of 1962"],
    )
    cases: str = Field(
        default="", description="What its cases are called: cases if left out", examples=["urns"]
    )
    id: ColumnName = Field(description="The column that names each case", examples=["find"])
    this_case: Line | None = Field(
        default=None, description="The case that this talk is about", examples=["P14"]
    )
    missing: tuple[str, ...] = Field(
        default=("",), description='Cells that mean "not known"', examples=[["", "?"]]
    )
    columns: Annotated[dict[ColumnName, Column], Field(min_length=1)] = Field(
        description="Column: what it may hold; other columns of the file are not read"
    )

    @property
    def cases_called(self) -> str:
        """What its cases are called, in the language of the talk where the author does not say."""
        return self.cases or phrase("cases")


class Condition(Part):
    """One test of one column. Exactly one test is written."""

    column: ColumnName = Field(description="A column of the table", examples=["hole"])
    is_: OneOrMore = Field(default=(), alias="is", description="This value, or one of these")
    is_not: OneOrMore = Field(default=(), description="Any value but this, or but these")
    at_least: float | None = Field(default=None, description="Of a number: this or more")
    at_most: float | None = Field(default=None, description="Of a number: this or less")
    above: float | None = Field(default=None, description="Of a number: more than this")
    below: float | None = Field(default=None, description="Of a number: less than this")

    @model_validator(mode="after")
    def _one_test(self) -> "Condition":
        if len(self.tests) != 1:
            wrong = "tests nothing" if not self.tests else f"has {len(self.tests)} tests"
            raise advised(wrong, f"Write one of {', '.join(TESTS)}")
        return self

    @property
    def tests(self) -> tuple[str, ...]:
        """The tests that are written."""
        of_words = [test for test, values in self._of_words.items() if values]
        of_numbers = [test for test, bound in self._of_numbers.items() if bound is not None]
        return (*of_words, *of_numbers)

    @property
    def test(self) -> str:
        """The one test."""
        return self.tests[0]

    @property
    def values(self) -> tuple[str, ...]:
        """What the cell is compared with; empty for a test of numbers."""
        return self._of_words.get(self.test, ())

    @property
    def bound(self) -> float:
        """The number of a test of numbers."""
        return self._of_numbers.get(self.test) or 0.0

    @property
    def _of_words(self) -> dict[str, tuple[str, ...]]:
        return {"is": self.is_, "is_not": self.is_not}

    @property
    def _of_numbers(self) -> dict[str, float | None]:
        return {
            "at_least": self.at_least,
            "at_most": self.at_most,
            "above": self.above,
            "below": self.below,
        }


class Count(Part):
    """How many cases of a table meet conditions; all of them, or those of another count."""

    called: Line = Field(
        description="What its cases have, as on the slide", examples=["A hole in the wall"]
    )
    table: Name | None = Field(default=None, description="A name from `tables`", examples=["urns"])
    of: Name | None = Field(
        default=None, description="Instead of `table`: only of the cases of this count"
    )
    where: Annotated[tuple[Condition, ...], Field(min_length=1)] = Field(
        description="Conditions, all of which must hold",
        examples=[[{"column": "hole", "is": "drilled"}]],
    )

    @model_validator(mode="after")
    def _one_base(self) -> "Count":
        if (self.table is None) == (self.of is None):
            raise advised("needs `table` or `of`, and not both", "Write one of them")
        return self


class Comparison(Part):
    """Two counts of different cases: whether their shares differ by more than chance."""

    called: Line = Field(description="What is compared", examples=["Early graves and late ones"])
    counts: tuple[Name, Name] = Field(
        description="Two names from `counts` that have no case in common",
        examples=[["early_holes", "late_holes"]],
    )


class Agreement(Part):
    """Two columns by two readers of the same cases: how far they agree beyond chance."""

    called: Line = Field(description="What was read", examples=["Two readers of the holes"])
    table: Name = Field(description="A name from `tables`", examples=["urns"])
    readers: tuple[ColumnName, ColumnName] = Field(
        description="Two columns with the same `values`", examples=[["first_reader", "second"]]
    )


class QuotedNumber(Part):
    """A percentage or mean of somebody else, checked against the counts it can come from."""

    source: Line = Field(description="Author, title, year, page", examples=["Survey, 1987, 12"])
    percent: Digits | None = Field(default=None, description="As it is printed, without the sign")
    mean: Digits | None = Field(default=None, description="Of whole numbers, as it is printed")
    parts: dict[Name, Digits] = Field(
        default={},
        description="Percentages of one whole, as they are printed",
        examples=[{"burnt": "33.3", "raw": "66.7"}],
    )
    n: Annotated[int, Field(ge=1, le=1_000_000)] | None = Field(
        default=None, description="Of how many, if that is known", examples=[76]
    )
    although: str = Field(
        default="", description="Why it is quoted all the same if no count can give it"
    )

    @model_validator(mode="after")
    def _one_form(self) -> "QuotedNumber":
        if sum((self.percent is not None, self.mean is not None, bool(self.parts))) != 1:
            raise advised("needs one of `percent`, `mean` and `parts`", "Write exactly one")
        if len(self.parts) == 1:
            raise advised("has one part only", "Write `percent`, or all the parts")
        return self

    @property
    def sayable(self) -> tuple[str, ...]:
        """The parts of it that can be said, as far as they are known."""
        words = ("words",) if self.percent is not None else ()
        known = self.n is not None
        has_count = known and self.percent is not None and not self.although
        return (
            *words,
            *(("count",) if has_count else ()),
            *(("n",) if known else ()),
            "source",
        )


COUNT_PARTS: tuple[str, ...] = ("percent", "words", "interval", "k", "n", "missing", "called")
COMPARISON_PARTS: tuple[str, ...] = ("p", "odds_ratio", "difference", "called")
AGREEMENT_PARTS: tuple[str, ...] = ("kappa", "interval", "same", "n", "missing", "called")

Chart: TypeAlias = Literal["intervals", "cases"]
