"""How tests start a program that may run on: it hears Ctrl+C, and does not outlive the tests."""

import ctypes
import os
import signal
import sys

LIBC = ctypes.CDLL(None) if sys.platform == "linux" else None
PR_SET_PDEATHSIG = 1
"""Source: Linux, include/uapi/linux/prctl.h."""


def _begins():
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # a shell starts what is in the background deaf
    if LIBC is not None:
        LIBC.prctl(PR_SET_PDEATHSIG, signal.SIGKILL)


AS_OUR_CHILD = {"preexec_fn": _begins} if os.name == "posix" else {}
"""For `subprocess`. On Linux alone a child is ended with the tests, however these end."""
