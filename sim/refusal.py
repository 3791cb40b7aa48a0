"""What the practical answers when an action cannot be done."""

from analysis.refusal import Refused


class NotPossible(Refused):
    """An action that cannot be done now. The message is one sentence for the student."""
