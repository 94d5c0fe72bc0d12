"""The rooms of the package: who may import whom, and which module knows which file format."""

import ast
from pathlib import Path

import pytest

import slidekit

PACKAGE = Path(slidekit.__file__).parent

MAY_IMPORT = {
    "errors": set(),
    "shipped": set(),
    "cache": {"errors"},
    "wording": {"errors"},
    "evidence": {"wording", "errors", "cache"},
    "storyboard": {"wording", "errors", "evidence"},
    "scans": {"wording", "errors", "shipped", "cache"},
    "scene": {"wording", "errors", "shipped", "evidence", "storyboard", "scans"},
    "writers": {"wording", "errors", "cache", "evidence", "storyboard", "scans", "scene"},
    "checks": {"wording", "errors", "evidence", "storyboard", "scans", "scene"},
    "basis": {"wording", "errors", "shipped", "storyboard", "scene"},
    "build": {"wording", "errors", "cache", "storyboard", "scene", "writers", "basis"},
    "panels": {"wording", "errors", "cache", "storyboard", "scene", "writers", "basis"},
    "review": {"checks", "build", "basis"},
    "prepare": {"basis", "errors", "shipped", "cache", "storyboard", "scans", "scene", "writers"},
    "programme": {"wording", "errors", "build", "basis", "scene", "storyboard", "writers"},
    "lectern": {"wording", "errors", "build", "basis", "scene", "storyboard", "writers"},
    "console": {"errors"},
    "cli": {
        "console",
        "errors",
        "cache",
        "build",
        "panels",
        "review",
        "prepare",
        "lectern",
        "programme",
        "scene",
        "storyboard",
        "checks",
        "shipped",
    },
    "__main__": {"cli"},
}
"""Room: the rooms it may import, besides itself."""

FORMATS = {
    "pydicom": ("scans/dicom/decoding.py", "scans/dicom/library.py", "scans/dicom/nameless.py"),
    "pptx": ("writers/decks/*.py",),
    "matplotlib": ("writers/figures/*.py",),
    "nibabel": ("scans/nifti.py",),
    "yaml": ("storyboard/yaml_text.py", "scene/style*.py"),
    "fontTools": ("scene/fonts.py",),
    "uharfbuzz": ("scene/lettering/shaping.py",),
    "bibtexparser": ("evidence/sources/bibtex.py",),
    "pylatexenc": ("evidence/sources/bibtex.py",),
    "xraydb": ("evidence/attenuation.py",),
    "polars": ("evidence/counts/table_rows.py",),
    "dicomweb_client": ("scans/dicomweb.py",),
    "imagecodecs": ("scans/dicom/jpeg.py",),
    "babel": ("wording/*.py",),
    "docx": ("writers/scripts/docx.py",),
}
"""Third-party format: the modules that may know it."""

MODULES = sorted(path.relative_to(PACKAGE) for path in PACKAGE.rglob("*.py"))


def imported(module: Path) -> set[str]:
    """Everything that a module imports, by a statement or by `import_module` of a plain name."""
    tree = ast.parse((PACKAGE / module).read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        match node:
            case ast.Import():
                names |= {alias.name for alias in node.names}
            case ast.ImportFrom(module=str(name), level=0):
                names.add(name)
            case ast.Call(
                func=ast.Name("import_module") | ast.Attribute(attr="import_module"),
                args=[ast.Constant(str(name))],
            ):
                names.add(name)
    return names


def room_of(module: Path) -> str:
    return module.parts[0].removesuffix(".py")


@pytest.mark.parametrize(
    "module", [m for m in MODULES if room_of(m) in MAY_IMPORT], ids=lambda m: m.as_posix()
)
def test_a_room_imports_only_what_lies_before_it(module: Path):
    rooms = {name.split(".")[1] for name in imported(module) if name.startswith("slidekit.")}
    assert rooms - {room_of(module)} <= MAY_IMPORT[room_of(module)]


@pytest.mark.parametrize("format_name", sorted(FORMATS))
def test_a_file_format_is_known_to_its_own_modules_only(format_name: str):
    users = {
        module
        for module in MODULES
        if any(n.split(".")[0] == format_name for n in imported(module))
    }
    allowed = {m for m in users if any(m.match(pattern) for pattern in FORMATS[format_name])}
    assert users
    assert users == allowed


def test_every_room_is_known():
    assert {room_of(module) for module in MODULES} - {"__init__", "__main__"} <= set(MAY_IMPORT)


@pytest.mark.parametrize(
    "module", [m for m in MODULES if m.name != "cli.py"], ids=lambda m: m.as_posix()
)
def test_no_module_imports_our_own_package_inside_a_function(module: Path):
    tree = ast.parse((PACKAGE / module).read_text(encoding="utf-8"))
    inner = [
        node
        for function in ast.walk(tree)
        if isinstance(function, (ast.FunctionDef, ast.AsyncFunctionDef))
        for node in ast.walk(function)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("slidekit")
    ]
    assert inner == []
