"""What the practical answers when an action cannot be done."""


class NotPossible(ValueError):
    """An action that cannot be done now. The message is one sentence for the student."""
