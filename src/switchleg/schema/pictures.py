"""Drawings that help to recognise a thing: a file each, with words for whoever cannot see it."""

from __future__ import annotations

from pydantic import Field, field_validator

from switchleg.schema.questions import Strict

TITLE = 40
SAYS = 300


class Picture(Strict):
    """A drawing in signs, its twin in plain ASCII, a title, and `says`: what it shows, in words."""

    title: str = Field(max_length=TITLE)
    says: str = Field(max_length=SAYS)
    drawing: str
    ascii: str

    @field_validator("drawing", "ascii")
    @classmethod
    def _bare(cls, text: str) -> str:
        return text.strip("\n")
