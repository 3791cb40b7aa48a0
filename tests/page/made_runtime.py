"""A made-up runtime for the page: small files of the pinned names, taken for the pinned ones."""

import hashlib
import io
import zipfile

from sim.page import builder


def wheel():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        packed.writestr("msgspec-0.22.0.dist-info/licenses/LICENSE", "a licence <of> its own")
    return made.getvalue()


def laid_out(folder, monkeypatch):
    """Put the files into a folder, and their hashes for the pins."""
    folder.mkdir(exist_ok=True)
    contents = {name: name.encode() for name in builder.RUNTIME_FILES}
    contents[builder.WHEEL] = wheel()
    for name, content in contents.items():
        (folder / name).write_bytes(content)
    pins = {name: hashlib.sha256(content).hexdigest() for name, content in contents.items()}
    monkeypatch.setattr(builder, "WHEEL_HASH", pins.pop(builder.WHEEL))
    monkeypatch.setattr(builder, "RUNTIME_FILES", pins)
    return folder
