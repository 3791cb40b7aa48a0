"""Words said aloud by the system's own speech program, where there is one.

The words go to its standard input, never to a shell or a command line.
"""

from __future__ import annotations

from shutil import which
from subprocess import DEVNULL, PIPE, Popen, TimeoutExpired

SPEAKERS: tuple[tuple[str, ...], ...] = (
    ("spd-say", "-e"),
    ("espeak-ng", "--stdin"),
    ("say", "-f", "-"),
    (
        "powershell",
        "-NoProfile",
        "-Command",
        "Add-Type -AssemblyName System.Speech; "
        "(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak([Console]::In.ReadToEnd())",
    ),
)
"""Programs that speak what they read, the first that is found: Linux, macOS, Windows."""
NO_SPEAKER = (
    "No speech program was found (spd-say, espeak-ng, say, PowerShell): what would be said stands "
    "in the window's title and at its foot."
)
SOON_S = 0.5


def speaker_here() -> tuple[str, ...] | None:
    """The command of the speech program of this machine, or None."""
    return next((command for command in SPEAKERS if which(command[0])), None)


class Voice:
    """Says one text at a time: a new one cuts the last one short."""

    def __init__(self, command: tuple[str, ...]) -> None:
        """Speak with a command of `SPEAKERS`."""
        self._command = command
        self._speaking: Popen[bytes] | None = None

    def say(self, words: str) -> bool:
        """Begin to say it; whether the program could be started."""
        self.hush()
        try:
            speaking = Popen(self._command, stdin=PIPE, stdout=DEVNULL, stderr=DEVNULL)
            assert speaking.stdin is not None
            speaking.stdin.write(f"{words}\n".encode())
            speaking.stdin.close()
        except OSError:
            return False
        self._speaking = speaking
        return True

    def hush(self) -> None:
        """Stop what is being said."""
        speaking, self._speaking = self._speaking, None
        if speaking is None:
            return
        if speaking.poll() is None:
            speaking.terminate()
        try:
            speaking.wait(SOON_S)
        except TimeoutExpired:
            speaking.kill()
            speaking.wait()
