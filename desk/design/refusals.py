"""How an edit refuses: the errors, and the questions they come from."""

from __future__ import annotations

from desk.design import table
from desk.design.model import Design


class EditError(ValueError):
    """The edit cannot be made; the design is as it was."""


class ValueOutOfRange(EditError):  # noqa: N818
    """The number cannot stand at its address: outside the hard range, not finite, or a count not whole."""

    def __init__(self, spec: table.Spec, value: float, text: str) -> None:
        super().__init__(text)
        self.spec = spec
        self.value = value


class Locked(EditError):  # noqa: N818
    """The address is locked."""

    def __init__(self, address: str, title: str) -> None:
        super().__init__(f"{title} is locked; unlock it to change it")
        self.address = address


def refuse(fault: str | None) -> None:
    """Raises EditError when there is a fault."""
    if fault:
        raise EditError(fault)


def refuse_locked(design: Design, address: str) -> None:
    """Raises Locked when the number or choice at the address is."""
    if address in design.locked:
        label = table.choice(address).label if address in design.choices else table.spec(address).title
        raise Locked(address, label)
