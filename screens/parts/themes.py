"""The two colour themes: dusk and day. Colour only repeats what a word or a sign says already."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="dusk",
    primary="#e0a060",
    secondary="#7fb8ad",
    accent="#e0a060",
    warning="#e6c15a",
    error="#ec8a78",
    success="#94c585",
    foreground="#e6e3dc",
    background="#15191b",
    surface="#1b2124",
    panel="#252d31",
    dark=True,
)
LIGHT = Theme(
    name="day",
    primary="#8a4f12",
    secondary="#1f665c",
    accent="#8a4f12",
    warning="#7a5600",
    error="#a32c1a",
    success="#2f6b23",
    foreground="#22282a",
    background="#f7f4ee",
    surface="#efeae0",
    panel="#e3dccd",
    dark=False,
)
