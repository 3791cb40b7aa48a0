"""What a practical record answers when it cannot be written or read."""

from __future__ import annotations

import errno

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EFBIG: "the disk takes no more of this file",
    errno.EROFS: "the disk or folder is read-only",
    errno.EACCES: "writing or reading is not allowed there",
    errno.EPERM: "writing or reading is not allowed there",
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "its folder is not a folder",
    errno.EISDIR: "it is a folder",
    errno.ENAMETOOLONG: "its name is too long",
    errno.EIO: "the disk reports a fault",
}
if hasattr(errno, "EDQUOT"):  # Windows has no quota error of this name
    _REASONS[errno.EDQUOT] = "your share of the disk is used up"


class RecordTrouble(Exception):
    """A record that cannot be written or read. The message is one sentence for the reader."""


class RecordRefused(RecordTrouble):
    """A file of which nothing can be read as a practical record."""


class RecordInUse(RecordTrouble):
    """A record that another window is writing."""


def reason(error: OSError) -> str:
    """Why the operating system refused, in words that fit into a sentence."""
    known = _REASONS.get(error.errno or 0)
    return known or (error.strerror or type(error).__name__)
