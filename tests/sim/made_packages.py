"""Made-up packages: small zips that stand for an embeddable Python, wheels, and their pins."""

import hashlib
import io
import zipfile

X64, X86 = 0x8664, 0x14C


def zipped(contents):
    """A zip of these files."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in contents.items():
            archive.writestr(name, content)
    return packed.getvalue()


def program(machine):
    """The start of a Windows program for a kind of processor."""
    return (
        b"MZ".ljust(0x3C, b"\0")
        + (0x40).to_bytes(4, "little")
        + b"PE\0\0"
        + machine.to_bytes(2, "little")
    )


def embeddable(version="312", machine=X64, within=""):
    """The zip of an embeddable Python."""
    library = zipped({"argparse.pyc": b"words", "pydoc_data/topics.pyc": b"a handbook"})
    return zipped(
        {
            f"{within}python.exe": program(machine),
            f"{within}python{version}.zip": library,
            f"{within}python{version}._pth": f"python{version}.zip\r\n.\r\n",
            f"{within}sqlite3.dll": b"a database",
        }
    )


def wheel(package="counting", version="1.0", **others):
    """The name and content of a wheel with a module, a test of it, and these other files."""
    about = f"{package}-{version}.dist-info"
    contents = {
        f"{package}/__init__.py": f"VERSION = {version!r}\n",
        f"{package}/tests/test_it.py": "assert True\n",
        f"{about}/METADATA": f"Metadata-Version: 2.1\nName: {package}\nVersion: {version}\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        f"{about}/RECORD": "",
        **others,
    }
    return f"{package}-{version}-py3-none-any.whl", zipped(contents)


def pins(*wheels):
    """What pins these wheels."""
    lines = ['python = "3.12"', "[wheels]"]
    lines += [f'"{name}" = "{hashlib.sha256(content).hexdigest()}"' for name, content in wheels]
    lines += ["[[left_out]]", 'why = "tests"', 'files = ["*/tests/*"]']
    lines += ["[[left_out]]", 'why = "a database"', 'files = ["python/sqlite3.dll"]']
    lines += ["[[left_out]]", 'why = "a handbook"', 'files = ["*/pydoc_data/*"]']
    return "\n".join(lines)


def laid_out(folder, *wheels, python=None):
    """A folder with all that the command wants, and the command's words."""
    folder.mkdir(exist_ok=True)
    (folder / "wheels").mkdir(exist_ok=True)
    for name, content in wheels:
        (folder / "wheels" / name).write_bytes(content)
    (folder / "pins.toml").write_text(pins(*wheels), encoding="utf-8")
    (folder / "python.zip").write_bytes(embeddable() if python is None else python)
    given = {"--python": "python.zip", "--wheels": "wheels", "--pins": "pins.toml", "--out": "out"}
    return ["portable", *(part for flag, name in given.items() for part in (flag, folder / name))]
