"""The rows of the dimension list as plain values: groups, numbers, choices, texts, list items. No Qt."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from desk.design import edit, table
from desk.design.model import BIT_KINDS, ORIGINS, TARGET_KINDS, Design
from desk.design.table import LISTS, ListName
from desk.ui.list_items import ADD_WORDS, LIST_WORDS
from desk.units import format_value
from desk.views.wording import spaced

RowKind = Literal["group", "list", "item", "number", "choice", "word", "text"]
WHOLE: tuple[ListName, ...] = ("stocks", "bits", "dowels", "screws")
"""Lists that many rows depend on: a change in one shows the whole tree anew."""


@dataclass(eq=False)
class Node:
    """A row and the rows below it. ``key`` is an address, a choice's id or a heading's name."""

    kind: RowKind
    key: str
    label: str
    parent: Node | None = None
    rows: list[Node] = field(default_factory=list)
    help: str = ""

    def add(self, kind: RowKind, key: str, label: str, text: str = "") -> Node:
        """Add a row below."""
        self.rows.append(Node(kind, key, label, self, help=text))
        return self.rows[-1]

    @property
    def place(self) -> int:
        """Which row of its parent it is."""
        return self.parent.rows.index(self) if self.parent else 0


@dataclass(frozen=True)
class Shown:
    """What is seen of a row: its text, whether locked, whether unusual, the worst finding it could mend."""

    text: str = ""
    locked: bool = False
    unusual: str = ""
    status: str = ""


def tree(design: Design) -> Node:
    """All rows for this design."""
    root = Node("group", "", "")
    about = root.add("group", "about", "Name and lettering")
    about.add("text", "header_text", "Lettering on the header", "Cut with the V bit.")
    about.add("text", "notes", "Notes")
    for group in table.groups():
        head = root.add("group", group.id, group.label)
        for spec in table.specs():
            if spec.group == group.id:
                head.add("number", spec.address, spec.label, spec.help)
        for choice in table.choices():
            if _home(choice.id) == group.id:
                head.add("choice", choice.id, choice.label, choice.help)
        if group.id == "board":
            _list(root, "targets", design)
        if group.id == "overall":
            _list(root, "silhouette", design)
    stocks = root.add("group", "stock", "Which stock for what")
    for choice in table.choices():
        if choice.id.startswith("stock."):
            stocks.add("choice", choice.id, choice.label.removesuffix(", stock"), choice.help)
    for name in WHOLE:
        _list(root, name, design)
    return root


def _home(choice_id: str) -> str:
    head = choice_id.split(".", maxsplit=1)[0]
    return "shop" if head == "bit" else head


def _list(root: Node, name: ListName, design: Design) -> None:
    head = root.add("list", name, LIST_WORDS[name], ADD_WORDS[name])
    for k, entry in enumerate(design.entries(name), 1):
        noun = table.ITEM_NOUN[name]
        item = head.add("item", f"{name}.{k}", f"{noun.capitalize()} {k}")
        words = {"targets": "kind", "bits": "kind", "silhouette": "origin"}.get(name)
        for text, label in (("label", "Name"), ("material", "Material"), ("size", "Size")):
            if hasattr(entry, text):
                item.add("text", f"{name}.{k}.{text}", label)
        if words:
            label = "Counted from the" if words == "origin" else "Kind"
            item.add("word", f"{name}.{k}.{words}", label)
        for spec in table.list_fields(name):
            field_id = spec.address.split(".")[1]
            item.add("number", f"{name}.{k}.{field_id}", spec.label, spec.help)


def shape_of(design: Design) -> tuple[int, ...]:
    """What the tree's rows depend on: the lengths of the lists."""
    return tuple(len(design.entries(name)) for name in LISTS)


def touched(old: Design, new: Design) -> set[str] | None:
    """Keys of rows that may show something else in ``new``; None for all of them."""
    if old.own != new.own or old.unit != new.unit or any(old.entries(n) != new.entries(n) for n in WHOLE):
        return None
    keys = {k for k, v in new.values.items() if old.values[k] != v}
    keys |= {k for k, v in new.choices.items() if old.choices[k] != v}
    keys |= {k for k, _ in old.typed.items() ^ new.typed.items()}
    keys |= set(old.locked) ^ set(new.locked)
    keys |= {k for k in ("header_text", "notes") if getattr(old, k) != getattr(new, k)}
    for name in ("targets", "silhouette"):
        pairs = zip(old.entries(name), new.entries(name), strict=True)
        for k, (was, now) in enumerate(pairs, 1):
            if was != now:
                fields = now.__struct_fields__
                keys.add(f"{name}.{k}")
                keys |= {f"{name}.{k}.{f}" for f in fields if getattr(was, f) != getattr(now, f)}
    return keys


def shown(node: Node, design: Design, worst: dict[str, str]) -> Shown:
    """What is seen of a row for this design; ``worst`` gives the worst status that could be mended by address."""
    key = node.key
    status = worst.get(key, "")
    if node.kind == "number":
        spec = table.spec(key)
        value = edit.get(design, key)
        low, high = spec.soft
        text = spaced(edit.shown(design, key))
        unusual = "" if low <= value <= high else f"unusual: {usual_words(spec, design)}"
        return Shown(text, key in design.locked, unusual, status)
    if node.kind == "choice":
        return Shown(option_words(design, key, design.choice(key)), key in design.locked, "", status)
    if node.kind in ("word", "text"):
        return Shown(text_at(design, key))
    if node.kind == "item":
        return Shown(item_words(design, key))
    return Shown()


def usual_words(spec: table.Spec, design: Design) -> str:
    """The soft range in words."""
    low, high = (format_value(v, spec.unit, design.unit, named=True) for v in spec.soft)
    return f"usually {low} to {high}"


def text_at(design: Design, key: str) -> str:
    """A text of the design by address."""
    parts = table.split(key)
    if parts is None:
        return str(getattr(design, key))
    return str(getattr(design.entries(parts[0])[parts[1] - 1], parts[2]))


def item_words(design: Design, key: str) -> str:
    """A list item in a few words, beside its number."""
    name, number = key.split(".")
    entry = design.entries(_list_name(name))[int(number) - 1]
    label = getattr(entry, "label", None) or getattr(entry, "kind", None)
    if label is not None:
        score = getattr(entry, "score", None)
        return f"{label}, {score} points" if score is not None else str(label)
    return f"from the {getattr(entry, 'origin', '')}"


def _list_name(name: str) -> ListName:
    return next(n for n in LISTS if n == name)


def options(node: Node, design: Design) -> tuple[tuple[str, str], ...]:
    """The options of a choice or word as (key, words)."""
    if node.kind == "choice":
        return tuple((o, option_words(design, node.key, o)) for o in design.options(node.key))
    words = {"targets": TARGET_KINDS, "silhouette": ORIGINS, "bits": BIT_KINDS}[node.key.split(".")[0]]
    return tuple((w, w) for w in words)


def option_words(design: Design, key: str, option: str) -> str:
    """An option in words: the label of a stock, a bit or a row of a table, else the option itself."""
    return design.option_label(key, option)


def search_words(node: Node) -> str:
    """What a search looks through: labels down from the group, address, help."""
    words = [node.key, node.help]
    up: Node | None = node
    while up is not None:
        words.append(up.label)
        up = up.parent
    return " ".join(words).casefold()
