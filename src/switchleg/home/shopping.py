"""One shopping list for all fans of a home: articles added up, marks that serve every fan, tools bought once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.advice.model import Advice
from switchleg.advice.wording.phrases import listed, number
from switchleg.advice.wording.regional_terms import Say, in_words_of
from switchleg.advice.work.shopping import Purchase, not_to_buy, purchases
from switchleg.advice.work.small_parts import joints
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from collections.abc import Mapping

    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge

Fan = tuple[str, "Mapping[str, Value]", Advice]
"""Its name, the facts, and the advice that was given for them."""


ORDER = {"control": 0, "box": 1, "small": 2, "tool": 3}


@dataclass(frozen=True)
class Article:
    """One article: how many, what, and for which fans."""

    count: int
    text: str
    fans: tuple[str, ...]

    def line(self) -> str:
        """The article with its fans."""
        return f"{self.text} For: {', '.join(self.fans)}." if self.fans else self.text


@dataclass(frozen=True)
class HomeParts:
    """`buy` in the order of a shop, `avoid` with reasons, and the fans for which nothing is settled yet."""

    buy: tuple[Article, ...]
    avoid: tuple[Article, ...]
    open_fans: tuple[str, ...]


def home_parts(knowledge: Knowledge, fans: Sequence[Fan]) -> HomeParts:
    """Everything to buy for these fans. Only recommended schemes are bought for."""
    merged: dict[str, tuple[Purchase, list[str]]] = {}
    avoid: dict[str, list[str]] = {}
    chosen_of: list[tuple[str, SchemeVerdict]] = []
    undecided = []
    say: Say = str
    for name, facts, advice in fans:
        chosen = _chosen(advice)
        if chosen is None:
            undecided.append(name)
            continue
        chosen_of.append((name, chosen))
        say = in_words_of(knowledge.regions.get(str(facts.get("region", ""))))
        for purchase in purchases(knowledge, facts, chosen):
            _merge(merged, purchase, name)
        for text in not_to_buy(knowledge, facts, chosen, advice.motor_settled):
            avoid.setdefault(say(text), []).append(name)
    whole = tuple(name for name, _ in chosen_of)
    articles = [
        (
            ORDER[purchase.sort],
            Article(purchase.count, say(purchase.text()), () if purchase.sort == "tool" else tuple(names)),
        )
        for purchase, names in merged.values()
        if purchase.key not in ("connectors", "caps")
    ]
    articles += [(ORDER["small"], article) for article in _connectors(chosen_of)]
    buy = [article for _, article in sorted(articles, key=lambda found: found[0])]
    return HomeParts(
        tuple(buy),
        tuple(Article(0, text, () if tuple(names) == whole else tuple(names)) for text, names in avoid.items()),
        tuple(undecided),
    )


def _chosen(advice: Advice) -> SchemeVerdict | None:
    if advice.recommendation is None:
        return None
    return next(scheme for scheme in advice.schemes if scheme.id == advice.recommendation.scheme)


def _merge(merged: dict[str, tuple[Purchase, list[str]]], purchase: Purchase, name: str) -> None:
    held = merged.get(purchase.key)
    if held is None:
        merged[purchase.key] = (purchase, [name])
        return
    first, names = held
    count = first.count if purchase.sort == "tool" else first.count + purchase.count
    what = first.what
    if purchase.sort in ("small", "box"):
        what = f"{number(count).capitalize()} times: {first.what.split(' times: ')[-1]}"
    merged[purchase.key] = (
        Purchase(first.key, first.sort, count, what, first.needs.with_other(purchase.needs)),
        [*names, name],
    )


def _connectors(chosen_of: Sequence[tuple[str, SchemeVerdict]]) -> list[Article]:
    """Joints of all plans by the number of their wires, and caps; fans without a plan are named."""
    sizes: dict[int, int] = {}
    caps = 0
    counted: list[str] = []
    uncounted: list[str] = []
    for name, chosen in chosen_of:
        found, capped = joints(chosen)
        (counted if found or capped else uncounted).append(name)
        caps += capped
        for ends, count in found.items():
            sizes[ends] = sizes.get(ends, 0) + count
    articles = []
    if sizes:
        told = listed(f"{count} for {ends} wires" for ends, count in sorted(sizes.items()))
        text = f"Wire connectors, {sum(sizes.values())} at most: {told}; listed for the size of the wires."
        articles.append(Article(sum(sizes.values()), text, tuple(counted)))
    if caps:
        articles.append(Article(caps, f"{number(caps).capitalize()} connectors to cap unused ends.", tuple(counted)))
    if uncounted:
        articles.append(
            Article(0, "Wire connectors and caps, to be counted when the joints are known.", tuple(uncounted))
        )
    return articles
