"""Plays the invented scenarios through the service, as four people would work them in two shifts.

The demonstration is no recording: every act goes through the same door as a phone's does, refusals
are met where the service refuses, and what is planted is found by the reconciliation alone.
"""

from seed.play.demonstration import demo

__all__ = ["demo"]
