"""What an author says of the images of a talk: where they come from, and whose they are."""

from typing import Annotated, Literal, TypeAlias, get_args

from pydantic import AfterValidator, Field, model_validator

from slidekit.evidence.sources.rights import Rights, read_rights
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.parts import Line, Part, Positive, advised
from slidekit.wording import phrase

Uid: TypeAlias = Annotated[str, Field(pattern=r"^[0-9.]{1,64}$")]


def _known(rights: str) -> str:
    read_rights(rights)  # a RightsError is a ValueError with what to write instead
    return rights


RightsText: TypeAlias = Annotated[Line, AfterValidator(_known)]

Origin: TypeAlias = Literal["folder", "archive", "nifti", "picture", "dicomweb", "demo"]
"""Where the images of a scan may come from: exactly one of these fields each."""

ORIGINS: tuple[Origin, ...] = get_args(Origin)

PATHS = ("folder", "archive", "nifti", "picture")
"""Those of them that are paths, relative to the storyboard."""

_BESIDE = {
    "series": ("folder", "archive", "demo"),
    "volume": ("nifti",),
    "unit": ("nifti",),
    "mm_per_px": ("folder", "archive", "picture", "dicomweb"),
}
"""Fields that only some origins have a use for."""


class DicomWeb(Part):
    """A series on a DICOMweb server."""

    url: Annotated[str, Field(pattern=r"^https?://[^/@?#\s]+[^@?#\s]*$")] = Field(
        description="Of the DICOMweb service, before /studies; without user name and password",
        examples=["https://scans.example.org/dicomweb"],
    )
    study: Uid | None = Field(
        default=None,
        description="Study Instance UID; the server is asked for it if left out",
        examples=["1.2.826.0.1.3680043.8.498.1"],
    )
    series: Uid = Field(
        description="Series Instance UID", examples=["1.2.826.0.1.3680043.8.498.1.2"]
    )
    token_env: Annotated[str, Field(pattern=r"^[A-Za-z_][A-Za-z0-9_]*$")] | None = Field(
        default=None,
        description="Name of the environment variable that holds a bearer token",
        examples=["SCANS_TOKEN"],
    )


class Scan(Part):
    """A series of images, or one picture, and whose it is."""

    folder: Line | None = Field(
        default=None,
        description="Folder of the DICOM files, relative to the storyboard",
        examples=["scans/urn"],
    )
    archive: Line | None = Field(
        default=None,
        description="ZIP file of DICOM files, relative to the storyboard",
        examples=["scans/urn.zip"],
    )
    picture: Line | None = Field(
        default=None,
        description="PNG, JPEG or TIFF file, relative to the storyboard; views show it with "
        "`plane: picture`",
        examples=["find.jpg"],
    )
    nifti: Line | None = Field(
        default=None,
        description="NIfTI volume (.nii, .nii.gz), relative to the storyboard",
        examples=["scans/head.nii.gz"],
    )
    volume: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="Which volume of a NIfTI file of several, from 1"
    )
    unit: Line | None = Field(
        default=None,
        description="Of the values of a NIfTI file, which does not say it",
        examples=["HU"],
    )
    dicomweb: DicomWeb | None = Field(
        default=None,
        description="A series on a DICOMweb server; fetched once, kept without names in the cache",
    )
    demo: str | None = Field(default=None, description="A synthetic series that slidekit makes")
    series: Line | None = Field(
        default=None, description="UID or description, when there are several series"
    )
    mm_per_px: Positive | None = Field(
        default=None,
        description="What a pixel of a picture without a scale of its own measures on the thing "
        "shown, mm",
        examples=[0.12],
    )
    credit: Line = Field(
        description="Line printed with every picture of this scan",
        examples=["Scan by the town museum, 2025"],
    )
    rights: RightsText = Field(
        description="Who may use it: a licence of Creative Commons or a statement of "
        "rightsstatements.org by name or URI, or words",
        examples=["CC BY 4.0", "InC", "http://rightsstatements.org/vocab/InC/1.0/"],
    )
    permission: Literal["granted", "asked", "not needed"] | None = Field(
        default=None, description="Whether whoever owns the pictures has allowed them to be shown"
    )
    permission_note: str = Field(
        default="",
        description="By whom, when, for what: printed with the credits",
        examples=["by the town museum, 3 May 2026, for teaching"],
    )
    human_remains: bool = Field(
        default=False, description="The scan shows human remains: a notice slide is required"
    )

    @property
    def origin(self) -> Origin:
        """The one field that says where the images are."""
        return next(name for name in ORIGINS if getattr(self, name) is not None)

    @property
    def statement(self) -> Rights:
        """What `rights` means."""
        return read_rights(self.rights)

    @property
    def permission_in_words(self) -> str:
        """ "Permission granted by …"; "" where there is nothing to say."""
        said = {
            "granted": phrase("Permission granted"),
            "asked": phrase("Permission has been asked for"),
        }
        return " ".join(filter(None, (said.get(self.permission or ""), self.permission_note)))

    @model_validator(mode="after")
    def _noted(self) -> "Scan":
        if self.permission_note and self.permission is None:
            wrong = "has `permission_note` without `permission`"
            raise advised(wrong, "Write `permission: granted`, `asked` or `not needed` too")
        return self

    @model_validator(mode="after")
    def _one_origin(self) -> "Scan":
        given = [name for name in ORIGINS if getattr(self, name) is not None]
        if len(given) != 1:
            known = listed([f"`{name}`" for name in ORIGINS])
            if not given:
                raise advised("does not say where its images are", f"Write one of {known}")
            both = " and ".join(f"`{name}`" for name in given)
            raise advised(f"has {both}, and its images come from one place", "Keep one of them")
        for name, owners in _BESIDE.items():
            if getattr(self, name) is not None and given[0] not in owners:
                instead = f"Remove it: it goes with {listed([f'`{owner}`' for owner in owners])}"
                raise advised(f"has `{name}` beside `{given[0]}`", instead)
        return self
