"""What all tests share."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
"""No example fails for being slow: tests run beside each other, and on computers that do other things too."""
