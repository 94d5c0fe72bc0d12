"""What every talk and every panel says of its pictures (customary wording)."""

from slidekit.wording import phrase


def short_caution() -> str:
    """At the foot of every slide."""
    return phrase("For teaching and exhibition, not for diagnosis")


def no_name() -> str:
    """Wherever CT numbers are shown as numbers."""
    return phrase("CT numbers alone do not name a substance.")


def panel_caution() -> str:
    """At the foot of every panel."""
    handling = phrase("Remains and radiation are handled by local rules and licensed practice.")
    return f"{short_caution()}. {no_name()} {handling}"


def cautions() -> tuple[str, ...]:
    """At the end of every talk and script."""
    return (
        phrase(
            "The pictures are windowed, resampled and annotated for teaching and exhibition; "
            "they are not for diagnosis."
        ),
        phrase(
            "CT numbers alone do not name a substance; materials named here are interpretations."
        ),
        phrase(
            "The handling of human remains and of radiation follows local rules and licensed "
            "practice."
        ),
    )


def ethics() -> str:
    """Where human remains are shown."""
    return phrase(
        "Human remains are shown with reference to the ICOM Code of Ethics for Museums, "
        "3.7\N{NO-BREAK SPACE}and\N{NO-BREAK SPACE}4.3."
    )
