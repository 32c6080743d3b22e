"""What every screen shares: the line on top, the calm line, the keys, the help, the smallest window."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import ClassVar, TypeVar, cast

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from switchleg.errors import SwitchlegError

from ..parts.body import Body
from ..parts.widgets import KeyBar, Notice
from ..parts.words.fit_text import shorten
from .ui import Ui

Result = TypeVar("Result")

SCROLLS = "Body, ReasonList"
"""What may have more below."""
SMALLEST = (30, 10)
"""Columns and rows below which a screen asks for more room."""


class Page(Screen[Result]):
    """A screen with the shared frame. `body` yields what is its own; `HELP` is the text behind "?"."""

    # The frame declares these as plain attributes.
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-tiny"),
        (SMALLEST[0], "-narrow"),
        (72, "-wide"),
        (110, "-vast"),
    ]
    VERTICAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-flat"),
        (SMALLEST[1], "-short"),
        (24, "-medium"),
        (36, "-high"),
    ]
    AUTO_FOCUS = ""
    HELP: ClassVar[str] = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "page_down", "Further down", show=False, id="page.down", tooltip="Show what is below"),
        Binding("pageup", "page_up", "Further up", show=False, id="page.up", tooltip="Show what is above"),
    ]

    @property
    def ui(self) -> Ui:
        return cast("Ui", self.app)

    @property
    def too_small(self) -> bool:
        """Nothing can be read at this size, so nothing may be answered either."""
        return self.app.size.width < SMALLEST[0] or self.app.size.height < SMALLEST[1]

    @property
    def alive(self) -> bool:
        """Mounted and not left: its widgets are there to be painted."""
        return self.is_mounted and self in self.app.screen_stack

    @property
    def awake(self) -> bool:
        """This is the page that the person looks at and can read: keys that come late find it replaced."""
        return self.is_mounted and self.is_current and not self.too_small

    def compose(self) -> ComposeResult:
        yield Static("Please make the window larger.", id="too-small", markup=False)
        yield Static("", id="head", markup=False)
        yield Static("", id="banner", markup=False)
        yield from self.body()
        yield Notice()
        yield KeyBar(self.shown_keys)

    def body(self) -> ComposeResult:
        yield Body(id="body")

    def on_mount(self) -> None:
        self.paint()

    def on_screen_resume(self) -> None:
        self.keys.refresh_keys()

    def paint(self) -> None:
        """Bring the widgets up to date with what they show."""

    def on_resize(self) -> None:
        self.call_after_refresh(self.show_more_cue)

    @property
    def notice(self) -> Notice:
        return self.query_one(Notice)

    @property
    def keys(self) -> KeyBar:
        return self.query_one(KeyBar)

    def head(self, left: str, right: str = "") -> None:
        """The top line: what this is on the left, how far one is on the right."""
        width = max(1, self.app.size.width - 2)
        left = shorten(left, max(8, width - cell_len(right) - 1))
        gap = " " * max(1, width - cell_len(left) - cell_len(right))
        self.query_one("#head", Static).update(Content.assemble((left, "bold"), gap, right), layout=False)

    def banner(self, text: str) -> None:
        """A standing remark under the top line (read-only, throw-away); empty hides it."""
        banner = self.query_one("#banner", Static)
        if banner.content != text or banner.display != bool(text):
            banner.update(text)
            banner.display = bool(text)

    def put(self, id: str, text: str) -> None:
        """Show `text` in the widget `id`; an empty one takes no room."""
        widget = self.query_one(f"#{id}", Static)
        widget.display = bool(text)
        if text:
            widget.update(text)

    def say(self, text: str, *, error: bool = False) -> None:
        self.notice.say(text, error=error)
        if not text:
            self.show_more_cue()

    @contextmanager
    def calmly(self) -> Iterator[None]:
        """Turn an error that a person can act on into the calm line."""
        try:
            yield
        except SwitchlegError as error:
            self.say(error.line(), error=True)

    def show_more_cue(self) -> None:
        """Say that there is more below while there is."""
        if not self.alive:
            return
        for body in (body for body in self.query(SCROLLS).results(Widget) if body.display):
            below = body.max_scroll_y - body.scroll_y > 0.5
            self.notice.hint("▼ more below" if below else "")

    def action_page_down(self) -> None:
        self.query_one(Body).scroll_page_down(animate=False)

    def action_page_up(self) -> None:
        self.query_one(Body).scroll_page_up(animate=False)

    def action_line_down(self) -> None:
        self.query_one(Body).scroll_down(animate=False)

    def action_line_up(self) -> None:
        self.query_one(Body).scroll_up(animate=False)

    def ways(self) -> list[tuple[Binding, DOMNode]]:
        """Every key of this screen and the app that does something now, and whose it is; one an action."""
        found: dict[str, tuple[Binding, DOMNode]] = {}
        nodes: tuple[DOMNode, ...] = (self, self.app)
        for node in nodes:
            for kind in type(node).__mro__:
                for binding in kind.__dict__.get("BINDINGS", ()):
                    if not isinstance(binding, Binding) or not binding.id or binding.action in found:
                        continue
                    if self.can(binding.action.partition("(")[0]):
                        found[binding.action] = (binding, node)
        return list(found.values())

    def key_words(self, binding: Binding) -> str:
        """How the first key of a binding is written."""
        return binding.key_display or self.app.get_key_display(next(iter(Binding.make_bindings([binding]))))

    def shown_keys(self) -> list[tuple[str, str, str]]:
        """(key, word, action) of the keys that the bar shows: the screen's own, then the app's."""
        return [
            (
                self.key_words(binding),
                binding.description,
                binding.action if node is self else f"app.{binding.action}",
            )
            for binding, node in self.ways()
            if binding.show
        ]

    def help_text(self) -> str:
        """The help of this screen: its own words, then every key that works now."""
        keys = [(self.key_words(binding), binding.tooltip) for binding, _ in self.ways() if binding.tooltip]
        return "\n".join([self.HELP, "", *(f"{key}: {words}" for key, words in keys)])

    def can(self, action: str) -> bool:
        """Whether an action makes sense as things stand here."""
        return action not in {"page_down", "page_up"} or bool(self.query(Body))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002
        """Below the smallest size only quitting works: nobody can confirm what they cannot read."""
        return action == "quit" or (self.awake and self.can(action))
