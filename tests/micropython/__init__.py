"""The trade package on the browser's interpreter, for tests."""

from tests.micropython.brain import Brain, BrainLost

__all__ = ["Brain", "BrainLost"]
