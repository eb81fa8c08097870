"""A busy machine must not fail a law: no example of these tests has a deadline."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("no deadline", settings.default, deadline=None)
settings.load_profile("no deadline")
