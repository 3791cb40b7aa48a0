"""What the analysis answers when it cannot go on."""


class Refused(ValueError):
    """An input that cannot be judged. The message is one sentence ready for the reader."""
