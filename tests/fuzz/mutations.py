"""Ways to spoil files: bytes at random, and DICOM elements that lie about themselves."""

import struct
from collections.abc import Sequence
from random import Random

LENGTHS = (0, 1, 2, 3, 7, 0xFF, 0xFFFE, 0xFFFF, 0x10000, 0x7FFFFFFF, 0xFFFFFFFE, 0xFFFFFFFF)
NUMBERS = (0, 1, 2, 7, 8, 12, 15, 16, 17, 32, 64, 255, 256, 4096, 60_000, 65_535)
TEXTS = (
    b"",
    b"0",
    b"-1",
    b"1e308",
    b"-1e308\\1e308\\1e308",
    b"nan",
    b"inf\\inf",
    b"1e-300\\1e-300",
    b"0\\0",
    b"1e-6\\99999",
    b"99999\\1e-6",
    b"0\\0\\0",
    b"1\\0\\0\\0\\1\\0",
    b"1\\0\\0\\1\\0\\0",
    b"0\\0\\0\\0\\0\\0",
    b"2147483648",
    b"999999999999999999999999",
    b"1_000",
    b"\xff\xfe\\\\\\",
    b"\x1b$B\\ISO 2022 IR 87",
    b"LOCALIZER",
    b"MONOCHROME1",
    b"RGB",
    b"PALETTE COLOR",
    b"1.2.840.10008.1.2.4.90",
    b"1.2.840.10008.1.2.1.99",
    b"9" * 70,
)
GROUPS = (0x0002, 0x0008, 0x0018, 0x0020, 0x0028, 0x5200, 0x6000, 0x7FE0)


def mutate(data: bytes, random: Random) -> bytes:
    """One to four random changes."""
    for _ in range(random.randint(1, 4)):
        data = random.choice(_MUTATIONS)(data, random)
    return data


def mutate_bytes(data: bytes, random: Random) -> bytes:
    """One to four random changes, none of which knows the format."""
    for _ in range(random.randint(1, 4)):
        data = random.choice((_flip, _flip, _flip, _truncate, _repeat, _remove))(data, random)
    return data


def _flip(data: bytes, random: Random) -> bytes:
    changed = bytearray(data)
    for _ in range(random.randint(1, 8)):
        if changed:
            at = _place(len(changed), random)
            changed[at] = random.choice((0, 0xFF, changed[at] ^ (1 << random.randrange(8))))
    return bytes(changed)


def _place(length: int, random: Random) -> int:
    """More often near the beginning, where headers are."""
    return min(int(length * random.random() ** random.choice((1, 4))), length - 1)


def _truncate(data: bytes, random: Random) -> bytes:
    return data[: random.randint(0, len(data))]


def _repeat(data: bytes, random: Random) -> bytes:
    start = random.randint(0, len(data))
    end = min(start + random.choice((8, 100, 4000)), len(data))
    return data[:end] + data[start:end] + data[end:]


def _remove(data: bytes, random: Random) -> bytes:
    start = _place(len(data) + 1, random)
    return data[:start] + data[start + random.choice((1, 2, 8, 300)) :]


def _elements(data: bytes) -> list[tuple[int, bytes]]:
    """Where something that looks like an explicit element begins, and its type."""
    places = []
    for group in GROUPS:
        at = 132
        mark = struct.pack("<H", group)
        while (at := data.find(mark, at, 20_000)) >= 0:
            vr = data[at + 4 : at + 6]
            if vr.isalpha() and vr.isupper() and at + 12 <= len(data):
                places.append((at, vr))
            at += 2
    return places


def _lie_about_length(data: bytes, random: Random) -> bytes:
    places = _elements(data)
    if not places:
        return data
    at, vr = random.choice(places)
    if vr in (b"OB", b"OW", b"SQ", b"UN", b"UT"):
        return data[: at + 8] + struct.pack("<I", random.choice(LENGTHS)) + data[at + 12 :]
    return data[: at + 6] + struct.pack("<H", random.choice(LENGTHS) & 0xFFFF) + data[at + 8 :]


def _other_value(data: bytes, random: Random) -> bytes:
    """A value of the right form and the wrong content."""
    places = [(at, vr) for at, vr in _elements(data) if vr not in (b"OB", b"OW", b"SQ", b"UN")]
    if not places:
        return data
    at, vr = random.choice(places)
    (length,) = struct.unpack_from("<H", data, at + 6)
    value = random.choice(TEXTS)
    if vr in (b"US", b"SS"):
        value = struct.pack("<H", random.choice(NUMBERS))
    value += b" " * (len(value) % 2)
    return data[: at + 6] + struct.pack("<H", len(value)) + value + data[at + 8 + length :]


def _other_type(data: bytes, random: Random) -> bytes:
    places = _elements(data)
    if not places:
        return data
    at, _ = random.choice(places)
    vr = random.choice((b"SQ", b"UN", b"OB", b"DS", b"US", b"FD", b"UI", b"??", b"\0\0"))
    return data[: at + 4] + vr + data[at + 6 :]


_MUTATIONS = (
    _flip,
    _truncate,
    _repeat,
    _remove,
    _lie_about_length,
    _lie_about_length,
    _other_value,
    _other_value,
    _other_value,
    _other_type,
)


def spoil_text(text: str, random: Random) -> str:
    """One to three random changes to a YAML text."""
    for _ in range(random.randint(1, 3)):
        text = random.choice(_TEXT_MUTATIONS)(text, random)
    return text


ODDITIES = (
    "null", "~", "[]", "{}", "''", "-1", "1e999", ".nan", "0x7f", "2020-13-45", "12:34:56", "yes",
    "&a", "*a", "!!python/object:os.system {}", "!!binary aaaa", "<<: *a", "|", ">", "- - -", "? ",
    "\t", "\u2028", "\x07", "\ufeff", "{coil.mark}", "{", "}", "[show", "[show x]", "]", "'", '"',
    "#", ":", ": :", "%YAML 1.1", "---", "...", "a: b: c", "99999999999999999999", "é" * 300,
)  # fmt: skip


def _spoil_line(text: str, random: Random) -> str:
    lines = text.split("\n")
    k = random.randrange(len(lines))
    change = random.randrange(6)
    if change == 0:
        del lines[k]
    elif change == 1:
        lines.insert(k, lines[random.randrange(len(lines))])
    elif change == 2:
        lines[k] = " " * random.randint(1, 4) + lines[k]
    elif change == 3:
        lines[k] = lines[k].removeprefix("  ")
    elif change == 4 and ":" in lines[k]:
        lines[k] = f"{lines[k].split(':')[0]}: {random.choice(ODDITIES)}"
    else:
        lines[k] = lines[k] + random.choice(ODDITIES)
    return "\n".join(lines)


def _spoil_letters(text: str, random: Random) -> str:
    at = random.randint(0, len(text))
    return text[:at] + random.choice(ODDITIES) + text[at + random.choice((0, 1, 5)) :]


def _cut_text(text: str, random: Random) -> str:
    return text[: random.randint(0, len(text))]


def _swap_words(text: str, random: Random) -> str:
    words: Sequence[str] = text.split(" ")
    changed = list(words)
    i, j = random.randrange(len(words)), random.randrange(len(words))
    changed[i], changed[j] = changed[j], changed[i]
    return " ".join(changed)


_TEXT_MUTATIONS = (_spoil_line, _spoil_line, _spoil_line, _spoil_letters, _swap_words, _cut_text)
